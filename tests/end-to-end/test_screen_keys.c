/* Keys and words on the screen: what each says, and that none does harm. */
#include "on_stage.h"

static void every_key_says_its_words(void **state)
{
    static const struct {
        const char *keys, *said;
    } rows[] = {
        {"\r", "said: done"},
        {"ss", "said: skip"},
        {"bb", "said: back"},
        {"rr", "said: repeat"},
        {"m", "said: mark"},
        {"h", "said: moved left 1/8 turns"},
        {"j", "said: moved down 1/8 turns"},
        {"k", "said: moved up 1/8 turns"},
        {"l", "said: moved right 1/8 turns"},
        {"H", "said: moved left 1 turns"},
        {"K", "said: moved up 1 turns"},
        {",", "said: moved anticlockwise 0.5 deg"},
        {".", "said: moved clockwise 0.5 deg"},
        {"<", "said: moved anticlockwise 5 deg"},
        {">", "said: moved clockwise 5 deg"},
        {":lock yes\r", "said: lock yes"},
        {"nloose nut\r", "said: note loose nut"},
        {"163.2\r", "said: az 163.2"}, /* the step's axis */
        {"e35.1\r", "said: el 35.1"},
        {"w-11\r", "said: skew -11"},
        {"v12.5\r", "said: level 12.5"},
        {":dnoe\r", "'dnoe' is not understood"},
        {":bac\r", "said: back"}, /* the only word that begins so */
        {":no\tloose nut\r", "said: note loose nut"},
        {":lock\x0e\x0e\r", "said: lock no"}, /* the second of the list */
        {":s\r", "Several words begin like that"},
        {"\x1b", "q quit"},
        {":look su\r", "look: sunlight"},
        {":look own\r", "look: own"},
        {"c", "look: dark"},
        {"t", "no sound: peakward was built without it"}, /* none beside this program */
        {":az\r", "azimuth read off the scale"},          /* the number is still to come */
        {"163.4\r", "said: az 163.4"},
        {":notte\x7f\x7f\x7fte x\r", "said: note x"},
        {"x", "That key means nothing here"},
        {" ", "That key steers a replay"},
    };
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 24, 80);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_send(tty, rows[i].keys);
        tty_expect(tty, rows[i].said);
    }
    quit(tty);
}

/* Each key alone, then out of whatever it began; afterwards the screen is as ready as before. */
static void press_all_keys(struct tty *tty)
{
    static const VTermKey keys[] = {VTERM_KEY_UP,         VTERM_KEY_DOWN,   VTERM_KEY_LEFT,
                                    VTERM_KEY_RIGHT,      VTERM_KEY_HOME,   VTERM_KEY_END,
                                    VTERM_KEY_INS,        VTERM_KEY_DEL,    VTERM_KEY_PAGEUP,
                                    VTERM_KEY_TAB,        VTERM_KEY_ESCAPE, VTERM_KEY_FUNCTION(1),
                                    VTERM_KEY_FUNCTION(5)};
    char text[4] = "?\x15\x7f";

    for (char c = ' '; c < 0x7f; c++) {
        text[0] = c;
        tty_send(tty, text);
        tty_take_in(tty, 0);
    }
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        tty_key(tty, keys[i], VTERM_MOD_NONE);
        tty_settle(tty, 30); /* an escape must not become the head of what follows */
        tty_send(tty, "\x15\x7f");
    }
}

static void every_key_is_safe_in_every_state(void **state)
{
    static const char *const stages[] = {"plain", "replay", "simulated", "wrong",
                                         "old",   "scale",  "nudges",    "nothing"};
    static const struct {
        int rows, cols;
        const char *term, *locale;
    } terminals[] = {{24, 80, "xterm-256color", "C.UTF-8"},
                     {40, 120, "linux", "C.UTF-8"},
                     {12, 40, "vt100", "C"},
                     {20, 40, "screen", "C"}};
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof stages / sizeof *stages; i++) {
        for (size_t k = 0; k < sizeof terminals / sizeof *terminals; k++) {
            const char *const argv[] = {STAGE, stages[i], NULL};
            tty_start(tty, &(struct tty_setup){.argv = argv,
                                               .rows = terminals[k].rows,
                                               .cols = terminals[k].cols,
                                               .term = terminals[k].term,
                                               .locale = terminals[k].locale});
            tty_expect(tty, "q quit");
            press_all_keys(tty);
            tty_send(tty, "fx"); /* the keys have left it far: near, and a key without a meaning */
            tty_expect(tty, "That key means nothing");
            quit(tty);
            tty_finish(tty);
        }
    }
}

static void arrows_turn_the_bolts(void **state)
{
    static const struct {
        VTermKey key;
        VTermModifier modifier;
        const char *said;
    } rows[] = {
        {VTERM_KEY_LEFT, VTERM_MOD_NONE, "said: moved left 1/8 turns"},
        {VTERM_KEY_RIGHT, VTERM_MOD_NONE, "said: moved right 1/8 turns"},
        {VTERM_KEY_UP, VTERM_MOD_NONE, "said: moved up 1/8 turns"},
        {VTERM_KEY_DOWN, VTERM_MOD_NONE, "said: moved down 1/8 turns"},
        {VTERM_KEY_LEFT, VTERM_MOD_SHIFT, "said: moved left 1 turns"},
        {VTERM_KEY_RIGHT, VTERM_MOD_SHIFT, "said: moved right 1 turns"},
        {VTERM_KEY_UP, VTERM_MOD_SHIFT, "said: moved up 1 turns"},
        {VTERM_KEY_DOWN, VTERM_MOD_SHIFT, "said: moved down 1 turns"},
    };
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 24, 80);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_key(tty, rows[i].key, rows[i].modifier);
        tty_expect(tty, rows[i].said);
    }
    quit(tty);
}

static void one_key_goes_far_and_back(void **state)
{
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 24, 80);
    tty_send(tty, "f");
    tty_expect(tty, "f near");
    tty_expect_gone(tty, "elevation");
    tty_send(tty, "f");
    tty_expect(tty, "elevation");
    tty_settle(tty, 50);
    compare(tty, "standard");
    quit(tty);
}

static void keys_of_a_replay_steer_it(void **state)
{
    static const char *const argv[] = {STAGE, "replay", NULL};
    static const struct {
        const char *keys, *said;
    } rows[] = {
        {" ", "said: pause"},
        {"[", "said: rewind 10"},
        {"]", "said: forward 10"},
        {"+", "said: speed 2"},
        {"-", "said: speed 0.5"},
        {"h", "said: rewind 10"},
        {"\r", "means nothing in a replay"},
    };
    struct tty *tty = *state;

    start_stage(tty, argv, 24, 80);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_send(tty, rows[i].keys);
        tty_expect(tty, rows[i].said);
    }
    tty_key(tty, VTERM_KEY_RIGHT, VTERM_MOD_NONE);
    tty_expect(tty, "said: forward 10");
    quit(tty);
}

static void nothing_that_matters_happens_at_one_press(void **state)
{
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 24, 80);
    tty_send(tty, "q");
    tty_expect(tty, "q again quits, the log stays in hut.log");
    tty_send(tty, "s"); /* a no to the first question, not the start of another */
    tty_expect(tty, "q quit");
    tty_send(tty, "s");
    tty_expect(tty, "s again skips peak azimuth");
    tty_send(tty, "\x1b");
    tty_expect(tty, "q quit");
    tty_send(tty, "q");
    tty_expect(tty, "q again quits");
    tty_key(tty, VTERM_KEY_LEFT, VTERM_MOD_NONE);
    tty_expect(tty, "q quit");
    quit(tty);
}

static void a_line_is_edited_and_given_up(void **state)
{
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 20, 40);
    tty_send(tty, ":note Gr\xc3\xbc\xc3\x9f");
    tty_expect(tty, ": note Gr\u00fc\u00df");
    assert_true(tty->cursor_visible);
    tty_key(tty, VTERM_KEY_HOME, VTERM_MOD_NONE);
    tty_key(tty, VTERM_KEY_DEL, VTERM_MOD_NONE);
    tty_send(tty, "N");
    tty_expect(tty, ": Note Gr\u00fc\u00df");
    tty_key(tty, VTERM_KEY_END, VTERM_MOD_NONE);
    tty_send(tty, " and much more text than the window has columns");
    tty_expect(tty, "than the window has columns");
    tty_send(tty, "\x15");
    tty_expect_gone(tty, "columns");
    tty_send(tty, "done\x1b");
    tty_expect(tty, "q quit");
    assert_false(tty->cursor_visible);
    quit(tty);
}

static void the_words_that_can_be_typed_stand_above_the_line(void **state)
{
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 24, 80);
    tty_send(tty, ":");
    tty_expect(tty, "  done");
    tty_settle(tty, 50);
    compare(tty, "palette");
    tty_key(tty, VTERM_KEY_UP, VTERM_MOD_NONE); /* from below: the last word */
    tty_expect(tty, "> quit");
    tty_send(tty, "\x1b");
    tty_expect_gone(tty, "> quit");
    tty_send(tty, ":lo");
    tty_expect(tty, "look sunlight");
    tty_expect_gone(tty, "  level VALUE");
    tty_resize(tty, 12, 40);
    tty_expect(tty, "V     recording 2:00\n"); /* the head for this size */
    tty_expect(tty, ": lo");
    tty_settle(tty, 50);
    compare(tty, "palette-least");
    tty_send(tty, "\x1b");
    tty_expect(tty, "q quit");
    quit(tty);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        SCREEN_TEST(every_key_says_its_words),
        SCREEN_TEST(every_key_is_safe_in_every_state),
        SCREEN_TEST(arrows_turn_the_bolts),
        SCREEN_TEST(one_key_goes_far_and_back),
        SCREEN_TEST(keys_of_a_replay_steer_it),
        SCREEN_TEST(nothing_that_matters_happens_at_one_press),
        SCREEN_TEST(a_line_is_edited_and_given_up),
        SCREEN_TEST(the_words_that_can_be_typed_stand_above_the_line),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
