/* From keys to words: every word that keys say is understood, nothing destructive at one press. */
#include "expect.h"

#include <locale.h>
#include <stdlib.h>
#include <string.h>

#include "view/keyboard.h"
#include "view/own_words.h"
#include "view/palette.h"
#include "view/words.h"

struct desk {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct face_scene scene;
    struct keyboard keyboard;
    char words[FACE_WORDS_SIZE];
};

static int set_up(void **ret_desk)
{
    struct desk *desk = calloc(1, sizeof *desk);

    job_init(&desk->job);
    desk->job.mount.axes[AXIS_AZIMUTH].turn_deg = 1.5;
    state_init(&desk->state, &desk->job, &desk->magnetic);
    desk->scene = (struct face_scene){.state = &desk->state,
                                      .procedure = &desk->procedure,
                                      .title = "peak",
                                      .log_path = "",
                                      .speed = 1.0};
    keyboard_init(&desk->keyboard);
    *ret_desk = desk;
    return 0;
}

static int tear_down(void **desk)
{
    free(*desk);
    return 0;
}

/* What a key says; "" = nothing. */
static const char *press(struct desk *desk, uint32_t stroke)
{
    desk->words[0] = '\0';
    return keyboard_press(&desk->keyboard, &desk->scene, stroke, desk->words) == 1 ? desk->words
                                                                                   : "";
}

static const char *type(struct desk *desk, const char *text)
{
    for (; *text; text++) {
        assert_string_equal(press(desk, (uint32_t)(unsigned char)*text), "");
    }
    return press(desk, STROKE_ENTER);
}

static void a_nudge_is_an_eighth_where_turns_are_known(void **state)
{
    struct desk *desk = *state;

    assert_string_equal(press(desk, STROKE_RIGHT), "moved right 1/8 turns");
    assert_string_equal(press(desk, STROKE_SHIFT_LEFT), "moved left 1 turns");
    assert_string_equal(press(desk, STROKE_UP), "moved up 0.1 deg");
    assert_string_equal(press(desk, STROKE_SHIFT_DOWN), "moved down 1 deg");
    assert_string_equal(press(desk, '.'), "moved clockwise 0.5 deg");
    assert_string_equal(press(desk, '<'), "moved anticlockwise 5 deg");
}

/* Enter, pressed so many seconds after the caution came up. */
static const char *enter_after(struct desk *desk, double s)
{
    desk->scene.t = desk->state.advice_t + s;
    return press(desk, STROKE_ENTER);
}

static void advise(struct desk *desk, double t, enum advice_move move, enum axis axis)
{
    struct record record = {.t = t, .kind = RECORD_ADVICE};

    record.advice = (struct advice){.move = move, .axis = axis, .deg = NAN, .turns = NAN};
    state_apply(&desk->state, &record);
}

static void a_caution_is_not_answered_before_it_can_be_read(void **state)
{
    struct desk *desk = *state;

    advise(desk, 10.0, ADVICE_CONFIRM, AXIS_NONE);
    assert_string_equal(enter_after(desk, 0.2), "");
    assert_non_null(strstr(desk->keyboard.hint, "Too soon"));
    assert_string_equal(enter_after(desk, 1.3), "done");
}

/* A keyboard repeats a held key some thirty times a second. */
static void a_held_key_answers_one_caution_and_no_more(void **state)
{
    struct desk *desk = *state;
    int answered = 0;

    advise(desk, 0.0, ADVICE_CONFIRM, AXIS_NONE);
    for (int i = 0; i < 300; i++) {
        desk->scene.t = 2.0 + i / 30.0;
        if (press(desk, STROKE_ENTER)[0]) {
            answered++;
            advise(desk, desk->scene.t, ADVICE_CONFIRM, AXIS_NONE); /* the next caution */
        }
    }
    assert_int_equal(answered, 1);
}

static void what_is_no_caution_is_answered_at_once(void **state)
{
    struct desk *desk = *state;

    assert_string_equal(press(desk, STROKE_ENTER), "done"); /* nothing was advised yet */
    advise(desk, 10.0, ADVICE_UP, AXIS_ELEVATION);
    assert_string_equal(enter_after(desk, 0.1), "done");
    assert_string_equal(enter_after(desk, 0.2), "done");
    advise(desk, 20.0, ADVICE_CONFIRM, AXIS_SKEW); /* a number of a scale that was read */
    assert_string_equal(enter_after(desk, 0.1), "done");
}

/* Of the session's grammar, the face's own, or what a drill or a quiz takes first. */
static bool is_understood(const struct desk *desk)
{
    char why[RECORD_TEXT_SIZE];
    struct words words;

    return words_parse(desk->words, LEVEL_DB, &words, why) == 0 ||
           own_word_find(desk->words) != OWN_WORD_NONE ||
           (desk->scene.on_request && strcmp(desk->words, "ask") == 0) ||
           (desk->scene.asking && strcmp(desk->words, "pass") == 0);
}

static const struct {
    bool replaying, asking, on_request;
} places[] = {
    {false}, {.on_request = true}, {.replaying = true}, {.replaying = true, .asking = true}};

static void go_to(struct desk *desk, size_t place)
{
    desk->scene.replaying = places[place].replaying;
    desk->scene.asking = places[place].asking;
    desk->scene.on_request = places[place].on_request;
}

/* Every key there is: ASCII and Latin with its controls, then those that are no characters. */
static uint32_t key_after(uint32_t stroke)
{
    return stroke == 0xff ? STROKE_NONE : stroke + 1;
}

static void every_key_says_words_that_are_understood(void **state)
{
    struct desk *desk = *state;

    for (size_t place = 0; place < sizeof places / sizeof *places; place++) {
        go_to(desk, place);
        for (uint32_t stroke = 0; stroke <= STROKE_TAB; stroke = key_after(stroke)) {
            keyboard_init(&desk->keyboard);
            if (press(desk, stroke)[0] && !is_understood(desk)) {
                fail_msg("place %zu, key U+%04X says '%s'", place, stroke, desk->words);
            }
        }
    }
}

/* In each state that a key leads to, every key: what is typed is not yet said, help and questions
 * go away, and only the second press of the same key quits or skips. */
static void every_key_in_every_state_does_no_harm(void **state)
{
    struct desk *desk = *state;

    for (size_t place = 0; place < sizeof places / sizeof *places; place++) {
        go_to(desk, place);
        for (uint32_t first = 0; first <= STROKE_TAB; first = key_after(first)) {
            for (uint32_t second = 0; second <= STROKE_TAB; second = key_after(second)) {
                struct keyboard before;
                keyboard_init(&desk->keyboard);
                press(desk, first);
                before = desk->keyboard;
                press(desk, second);
                if (before.page == KEYBOARD_HELP && second == '?') {
                    assert_int_equal(desk->keyboard.help_part, 1);
                } else if (before.page != KEYBOARD_NO_PAGE) {
                    assert_string_equal(desk->words, "");
                    assert_int_equal(desk->keyboard.page, KEYBOARD_NO_PAGE);
                } else if (before.mode == KEYBOARD_LINE && second != STROKE_ENTER) {
                    assert_string_equal(desk->words, "");
                } else if (strcmp(desk->words, "quit") == 0) {
                    assert_true(first == 'q' && second == 'q');
                } else if (strcmp(desk->words, "skip") == 0 || strcmp(desk->words, "back") == 0 ||
                           strcmp(desk->words, "repeat") == 0) {
                    assert_true(first == second && first == (uint32_t)desk->words[0]);
                }
            }
        }
    }
}

/* What one key begins or says, as far as it is words: "az 1" says "az ". */
static void expect_key_does(struct desk *desk, const struct palette_word *word)
{
    struct keyboard before;
    uint32_t stroke = strcmp(word->key, "Enter") == 0   ? STROKE_ENTER
                      : strcmp(word->key, "space") == 0 ? ' '
                      : strcmp(word->key, "Home") == 0  ? STROKE_HOME
                      : strcmp(word->key, "End") == 0   ? STROKE_END
                                                        : (uint32_t)word->key[0];
    bool twice = strlen(word->key) == 3 && word->key[0] == word->key[2];
    size_t same = strlen(word->word);

    keyboard_init(&desk->keyboard);
    desk->keyboard.look =
        word->act == PALETTE_LOOK ? (enum looks)((word->detail + 3) % 4) : LOOK_OWN;
    desk->keyboard.graph =
        word->act == PALETTE_GRAPH ? (enum keyboard_graph)((word->detail + 2) % 3) : KEYBOARD_TREND;
    desk->scene.paused = strcmp(word->word, "play") == 0;
    before = desk->keyboard;
    press(desk, stroke);
    if (twice) {
        press(desk, stroke);
    }
    if (desk->words[0] ? strncmp(desk->words, word->word, same) != 0
        : desk->keyboard.mode == KEYBOARD_LINE
            ? strcmp(desk->keyboard.editor.text, word->word) != 0
            : memcmp(&before, &desk->keyboard, sizeof before) == 0) {
        fail_msg("the key %s says '%s', not '%s'", word->key, desk->words, word->word);
    }
    assert_int_equal(desk->keyboard.look, word->act == PALETTE_LOOK ? word->detail : LOOK_OWN);
    assert_int_equal(desk->keyboard.graph,
                     word->act == PALETTE_GRAPH ? word->detail : KEYBOARD_TREND);
}

/* The list says which key does the same; so everything that a key does goes by a word, too. */
static void the_key_beside_a_word_does_the_same(void **state)
{
    struct desk *desk = *state;
    const struct palette_word *list[PALETTE_MOST];

    for (size_t place = 0; place < sizeof places / sizeof *places; place++) {
        size_t n;
        go_to(desk, place);
        n = palette_match("", palette_where(&desk->scene), list);
        for (size_t i = 0; i < n; i++) {
            if (list[i]->key[0] && list[i]->act != PALETTE_REDRAW) { /* Ctrl-L is the terminal's */
                expect_key_does(desk, list[i]);
            }
        }
    }
}

static void what_a_key_says_is_in_the_list(void **state)
{
    struct desk *desk = *state;
    const struct palette_word *list[PALETTE_MOST];

    for (size_t place = 0; place < sizeof places / sizeof *places; place++) {
        go_to(desk, place);
        for (uint32_t stroke = 0; stroke <= STROKE_TAB; stroke = key_after(stroke)) {
            keyboard_init(&desk->keyboard);
            if (press(desk, stroke)[0] &&
                palette_match(desk->words, palette_where(&desk->scene), list) == 0) {
                fail_msg("'%s' is said by a key, but no word of the list", desk->words);
            }
        }
    }
}

static void what_undoes_or_ends_work_takes_two(void **state)
{
    static const struct {
        uint32_t first, second;
        const char *said;
    } rows[] = {
        {'b', 'b', "back"},      {'r', 'r', "repeat"},     {'b', 'r', ""}, {'r', STROKE_ENTER, ""},
        {'q', 'q', "quit"},      {'s', 's', "skip"},       {'q', 's', ""}, {'s', 'q', ""},
        {'q', STROKE_ENTER, ""}, {'s', STROKE_ESCAPE, ""}, {'s', '?', ""}, {'q', ':', ""},
    };
    struct desk *desk = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_string_equal(press(desk, rows[i].first), "");
        assert_string_equal(press(desk, rows[i].second), rows[i].said);
        assert_int_equal(desk->keyboard.mode, KEYBOARD_KEYS);
        assert_int_equal(desk->keyboard.page, KEYBOARD_NO_PAGE);
    }
}

static void a_replay_is_not_told_what_was_moved(void **state)
{
    struct desk *desk = *state;

    desk->scene.replaying = true;
    assert_string_equal(press(desk, STROKE_ENTER), "");
    assert_string_not_equal(desk->keyboard.hint, "");
    assert_string_equal(press(desk, 's'), "");
    assert_string_equal(press(desk, 's'), "");
}

static void keys_steer_a_replay(void **state)
{
    static const struct {
        uint32_t stroke;
        double speed;
        const char *said;
    } rows[] = {
        {' ', 1.0, "pause"},
        {STROKE_LEFT, 1.0, "rewind 10"},
        {STROKE_DOWN, 1.0, "seek next step"},
        {STROKE_UP, 1.0, "seek previous step"},
        {'.', 1.0, "next"},
        {',', 1.0, "previous"},
        {'m', 1.0, "seek next mark"},
        {'A', 1.0, "seek previous advice"},
        {STROKE_END, 1.0, "seek end"},
        {'+', 1.0, "speed 2"},
        {'+', 8.0, "speed 16"},
        {'+', 16.0, "speed max"},
        {'+', INFINITY, "speed max"},
        {'-', INFINITY, "speed 16"},
        {'-', 16.0, "speed 8"},
        {'-', 0.25, "speed 0.25"},
    };
    struct desk *desk = *state;

    desk->scene.replaying = true;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        desk->scene.speed = rows[i].speed;
        assert_string_equal(press(desk, rows[i].stroke), rows[i].said);
    }
    desk->scene.paused = true;
    assert_string_equal(press(desk, ' '), "play");
    assert_string_equal(press(desk, 'u'), "");
    assert_true(desk->keyboard.turn_ahead);
}

static void an_answer_begins_with_its_way(void **state)
{
    struct desk *desk = *state;

    desk->scene.replaying = desk->scene.asking = true;
    assert_string_equal(press(desk, STROKE_ENTER), "pass");
    assert_string_equal(press(desk, STROKE_LEFT), "");
    assert_int_equal(desk->keyboard.mode, KEYBOARD_LINE);
    assert_string_equal(desk->keyboard.editor.text, "left ");
    assert_string_equal(press(desk, '2'), "");
    assert_string_equal(press(desk, STROKE_ENTER), "left 2");
    assert_string_equal(press(desk, '.'), "");
    assert_string_equal(desk->keyboard.editor.text, "clockwise ");
    assert_string_equal(press(desk, STROKE_ESCAPE), "");
    assert_string_equal(press(desk, ' '), ""); /* time stands still */
    assert_non_null(strstr(desk->keyboard.hint, "First the answer"));
}

static void a_digit_begins_the_reading_of_the_step_at_hand(void **state)
{
    struct desk *desk = *state;

    assert_string_equal(type(desk, "12"), "12"); /* about no axis: as typed */
    desk->state.advice_t = 1.0;
    desk->state.advice.axis = AXIS_ELEVATION;
    assert_string_equal(type(desk, "41.2"), "el 41.2");
    desk->state.advice.axis = AXIS_SKEW;
    assert_string_equal(type(desk, "-22"), "skew -22");
    desk->state.advice.axis = AXIS_NONE;
    assert_string_equal(type(desk, "7"), "7");
}

static void a_typed_line_can_be_edited(void **state)
{
    struct desk *desk = *state;

    press(desk, ':');
    assert_int_equal(desk->keyboard.mode, KEYBOARD_LINE);
    for (const char *p = "mark q s ?"; *p; p++) {
        assert_string_equal(press(desk, (uint32_t)*p), ""); /* letters, not keys */
    }
    press(desk, 'W' & 0x1f);
    press(desk, 'W' & 0x1f);
    press(desk, 0x20ac); /* a euro sign: three bytes */
    press(desk, STROKE_LEFT);
    press(desk, STROKE_BACKSPACE);
    press(desk, STROKE_HOME);
    press(desk, STROKE_RIGHT);
    press(desk, STROKE_DELETE);
    press(desk, 'A');
    assert_string_equal(press(desk, STROKE_ENTER), "mArk q\u20ac");
    press(desk, ':');
    assert_string_equal(press(desk, STROKE_BACKSPACE), "");
    assert_int_equal(desk->keyboard.mode, KEYBOARD_KEYS); /* nothing left to take back */
}

static void a_line_has_an_end(void **state)
{
    struct desk *desk = *state;

    press(desk, 'n');
    for (int i = 0; i < 1000; i++) {
        press(desk, 0xe4);
    }
    press(desk, STROKE_ENTER);
    assert_true(strlen(desk->words) < EDITOR_SIZE);
    assert_true(strlen(desk->words) > EDITOR_SIZE - 4);
    assert_memory_equal(desk->words, "note \u00e4", 7);
}

static void help_goes_at_any_key_and_that_key_does_nothing(void **state)
{
    struct desk *desk = *state;

    assert_string_equal(press(desk, '?'), "");
    assert_int_equal(desk->keyboard.page, KEYBOARD_HELP);
    assert_string_equal(press(desk, STROKE_ENTER), "");
    assert_int_equal(desk->keyboard.page, KEYBOARD_NO_PAGE);
    press(desk, STROKE_HELP);
    assert_int_equal(desk->keyboard.page, KEYBOARD_HELP);
}

static void zoom_stays_within_its_steps(void **state)
{
    struct desk *desk = *state;

    for (int i = 0; i < 20; i++) {
        press(desk, 'z');
    }
    assert_int_equal(desk->keyboard.zoom, 0);
    for (int i = 0; i < 20; i++) {
        press(desk, 'Z');
    }
    assert_int_equal(desk->keyboard.zoom, KEYBOARD_WINDOWS - 1);
}

#define DESK_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        DESK_TEST(a_nudge_is_an_eighth_where_turns_are_known),
        DESK_TEST(a_caution_is_not_answered_before_it_can_be_read),
        DESK_TEST(a_held_key_answers_one_caution_and_no_more),
        DESK_TEST(what_is_no_caution_is_answered_at_once),
        DESK_TEST(every_key_says_words_that_are_understood),
        DESK_TEST(every_key_in_every_state_does_no_harm),
        DESK_TEST(the_key_beside_a_word_does_the_same),
        DESK_TEST(what_a_key_says_is_in_the_list),
        DESK_TEST(what_undoes_or_ends_work_takes_two),
        DESK_TEST(a_replay_is_not_told_what_was_moved),
        DESK_TEST(keys_steer_a_replay),
        DESK_TEST(an_answer_begins_with_its_way),
        DESK_TEST(a_digit_begins_the_reading_of_the_step_at_hand),
        DESK_TEST(a_typed_line_can_be_edited),
        DESK_TEST(a_line_has_an_end),
        DESK_TEST(help_goes_at_any_key_and_that_key_does_nothing),
        DESK_TEST(zoom_stays_within_its_steps),
    };

    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
