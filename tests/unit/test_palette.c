/* Every action by its word: each word is in the list, is understood, and is found by its start. */
#include "expect.h"

#include <stdio.h>
#include <string.h>

#include "view/own_words.h"
#include "view/palette.h"
#include "view/words.h"

static const struct palette_word *list[PALETTE_MOST];

static const unsigned places[] = {PALETTE_LIVE, PALETTE_LIVE | PALETTE_ON_REQUEST, PALETTE_REPLAY,
                                  PALETTE_ASKING};

/* By the session's grammar, by a face itself, or by a drill or a quiz that takes it first. */
static void every_word_of_the_list_is_understood(void **unused)
{
    (void)unused;
    for (size_t place = 0; place < sizeof places / sizeof *places; place++) {
        size_t n = palette_match("", places[place], list);
        assert_true(n > 10);
        for (size_t i = 0; i < n; i++) {
            bool answer = list[i]->where == PALETTE_ASKING;
            char text[64], why[RECORD_TEXT_SIZE] = "";
            struct words words;
            if (list[i]->act != PALETTE_SAYS || own_word_find(list[i]->word) != OWN_WORD_NONE ||
                strcmp(list[i]->word, "ask") == 0 || strcmp(list[i]->word, "pass") == 0) {
                continue;
            }
            snprintf(text, sizeof text, "%s%s%s", answer ? "moved " : "", list[i]->word,
                     strcmp(list[i]->more, "TEXT") == 0    ? "nut"
                     : strspn(list[i]->more, "0123456789") ? list[i]->more
                     : list[i]->more[0]                    ? "12.5"
                                                           : "");
            if (words_parse(text, LEVEL_DB, &words, why) < 0) {
                fail_msg("'%s': %s", text, why);
            }
        }
    }
}

static void every_word_of_the_grammar_is_in_the_list(void **unused)
{
    static const char *const words[] = {
        "done",    "skip",       "back",   "repeat",  "az ",     "el ",    "skew ",
        "moved",   "level ",     "lock",   "note ",   "mark",    "quit",   "help",
        "pause",   "play",       "speed ", "seek ",   "forward", "rewind", "download ",
        "upload ", "isolation ", "next",   "previous"};

    (void)unused;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        assert_true(palette_match(words[i], PALETTE_LIVE, list) +
                        palette_match(words[i], PALETTE_REPLAY, list) >
                    0);
    }
}

static void a_start_finds_its_words(void **unused)
{
    static const struct {
        const char *typed;
        unsigned where;
        size_t count;
        const char *first;
    } rows[] = {
        {"do", PALETTE_LIVE, 2, "done"},
        {"DON", PALETTE_LIVE, 1, "done"},
        {"look", PALETTE_LIVE, 4, "look own"},
        {"look s", PALETTE_REPLAY, 1, "look sunlight"},
        {"moved ", PALETTE_LIVE, 6, "moved right "},
        {"note loose nut", PALETTE_LIVE, 1, "note "},
        {"az 1", PALETTE_LIVE, 1, "az "},
        {"lock yes PTARMIGAN", PALETTE_LIVE, 1, "lock yes"},
        {"done", PALETTE_REPLAY, 0, NULL},
        {"seek ", PALETTE_REPLAY, 10, "seek "},
        {"seek n", PALETTE_REPLAY, 4, "seek "},
        {"seek 4:10", PALETTE_REPLAY, 1, "seek "},
        {"seek step peak", PALETTE_REPLAY, 1, "seek step "},
        {"pause", PALETTE_LIVE, 0, NULL},
        {"doner", PALETTE_LIVE, 0, NULL},
        {"x", PALETTE_LIVE, 0, NULL},
        {"as", PALETTE_LIVE, 0, NULL}, /* nobody is to be asked */
        {"as", PALETTE_LIVE | PALETTE_ON_REQUEST, 1, "ask"},
        {"no", PALETTE_LIVE, 2, "note "},
        {"left 0.4", PALETTE_ASKING, 1, "left "},
        {"seek", PALETTE_ASKING, 0, NULL}, /* time stands still until there is an answer */
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(palette_match(rows[i].typed, rows[i].where, list), rows[i].count);
        if (rows[i].first) {
            assert_string_equal(list[0]->word, rows[i].first);
        }
    }
}

static void a_scene_has_its_words(void **unused)
{
    struct face_scene scene = {.speed = 1.0};

    (void)unused;
    assert_int_equal(palette_where(&scene), PALETTE_LIVE);
    scene.on_request = true;
    assert_int_equal(palette_where(&scene), PALETTE_LIVE | PALETTE_ON_REQUEST);
    scene = (struct face_scene){.replaying = true};
    assert_int_equal(palette_where(&scene), PALETTE_REPLAY);
    scene.asking = true;
    assert_int_equal(palette_where(&scene), PALETTE_ASKING);
}

static void a_face_knows_its_own_words(void **unused)
{
    static const struct {
        const char *line;
        enum own_word want;
    } rows[] = {
        {"now", OWN_WORD_NOW},       {" Tone\t", OWN_WORD_TONE},  {"ALOUD\r", OWN_WORD_ALOUD},
        {"now what", OWN_WORD_NONE}, {"nowhere", OWN_WORD_NONE},  {"no", OWN_WORD_NONE},
        {"", OWN_WORD_NONE},         {"note now", OWN_WORD_NONE},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(own_word_find(rows[i].line), rows[i].want);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_word_of_the_list_is_understood),
        cmocka_unit_test(every_word_of_the_grammar_is_in_the_list),
        cmocka_unit_test(a_start_finds_its_words),
        cmocka_unit_test(a_scene_has_its_words),
        cmocka_unit_test(a_face_knows_its_own_words),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
