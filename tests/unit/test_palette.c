/* Every action by its word: each word is in the list, is understood, and is found by its start. */
#include "expect.h"

#include <stdio.h>
#include <string.h>

#include "view/palette.h"
#include "view/words.h"

static const struct palette_word *list[PALETTE_MOST];

static void every_word_of_the_list_is_understood(void **unused)
{
    (void)unused;
    for (int replaying = 0; replaying < 2; replaying++) {
        size_t n = palette_match("", replaying, list);
        assert_true(n > 10);
        for (size_t i = 0; i < n; i++) {
            char text[64], why[RECORD_TEXT_SIZE] = "";
            struct words words;
            if (list[i]->act != PALETTE_SAYS) {
                continue;
            }
            snprintf(text, sizeof text, "%s%s", list[i]->word,
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
        assert_true(palette_match(words[i], false, list) + palette_match(words[i], true, list) > 0);
    }
}

static void a_start_finds_its_words(void **unused)
{
    static const struct {
        const char *typed;
        bool replaying;
        size_t count;
        const char *first;
    } rows[] = {
        {"do", false, 2, "done"},
        {"DON", false, 1, "done"},
        {"look", false, 4, "look own"},
        {"look s", true, 1, "look sunlight"},
        {"moved ", false, 6, "moved right "},
        {"note loose nut", false, 1, "note "},
        {"az 1", false, 1, "az "},
        {"lock yes PTARMIGAN", false, 1, "lock yes"},
        {"done", true, 0, NULL},
        {"seek ", true, 10, "seek "},
        {"seek n", true, 4, "seek "},
        {"seek 4:10", true, 1, "seek "},
        {"seek step peak", true, 1, "seek step "},
        {"pause", false, 0, NULL},
        {"doner", false, 0, NULL},
        {"x", false, 0, NULL},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(palette_match(rows[i].typed, rows[i].replaying, list), rows[i].count);
        if (rows[i].first) {
            assert_string_equal(list[0]->word, rows[i].first);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_word_of_the_list_is_understood),
        cmocka_unit_test(every_word_of_the_grammar_is_in_the_list),
        cmocka_unit_test(a_start_finds_its_words),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
