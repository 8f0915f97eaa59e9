/*
 * The screen as it is seen: compared with the files in screens/, which were looked at by a person.
 * PEAKWARD_WRITE_SCREENS=1 writes them anew.
 */
#include "on_stage.h"

/* --- snapshots ------------------------------------------------------------------------------ */

static const struct {
    const char *name;
    int rows, cols;
    const char *term, *locale;
    const char *argv[4];
    const char *keys; /* pressed first; NULL = none */
} snapshots[] = {
    {"standard", 24, 80, "xterm-256color", "C.UTF-8", {STAGE}},
    {"wide", 40, 120, "xterm-256color", "C.UTF-8", {STAGE}},
    {"narrow", 20, 40, "xterm-256color", "C.UTF-8", {STAGE}},
    {"standard-console", 24, 80, "linux", "C.UTF-8", {STAGE}},
    {"standard-ascii", 24, 80, "xterm-256color", "C", {STAGE}},
    {"wide-ascii", 40, 120, "xterm-256color", "C", {STAGE}},
    {"narrow-ascii", 20, 40, "vt100", "C", {STAGE}},
    {"standard-vt100", 24, 80, "vt100", "C.UTF-8", {STAGE}},
    {"standard-replay", 24, 80, "screen", "C.UTF-8", {STAGE, "replay"}},
    {"standard-simulated", 24, 80, "xterm", "C.UTF-8", {STAGE, "simulated"}},
    {"standard-wrong", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "wrong"}},
    {"standard-old", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "old"}},
    {"standard-scale", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "scale"}},
    {"standard-nudges", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "nudges"}},
    {"standard-push", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "nudges", "push"}},
    {"narrow-push-ascii", 20, 40, "vt100", "C", {STAGE, "nudges", "push"}},
    {"standard-nothing", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "nothing"}},
    {"narrow-nothing", 20, 40, "xterm-256color", "C.UTF-8", {STAGE, "nothing"}},
    {"least", 12, 40, "xterm-256color", "C.UTF-8", {STAGE}},
    {"flat", 14, 100, "xterm-256color", "C.UTF-8", {STAGE}},
    {"standard-lobe", 24, 80, "xterm-256color", "C.UTF-8", {STAGE}, "g"},
    {"standard-lobe-ascii", 24, 80, "vt100", "C", {STAGE}, "g"},
    {"standard-arc", 24, 80, "xterm-256color", "C.UTF-8", {STAGE}, "gg"},
    {"standard-arc-console", 24, 80, "linux", "C.UTF-8", {STAGE}, "gg"},
    {"wide-arc", 40, 120, "xterm-256color", "C.UTF-8", {STAGE}, "gg"},
    {"wide-console", 40, 120, "linux", "C.UTF-8", {STAGE}},
    {"narrow-lobe", 20, 40, "xterm-256color", "C.UTF-8", {STAGE}, "g"},
    {"narrow-console", 20, 40, "linux", "C.UTF-8", {STAGE}},
    {"wide-nothing", 40, 120, "screen", "C.UTF-8", {STAGE, "nothing"}},
    {"far", 24, 80, "xterm-256color", "C.UTF-8", {STAGE}, "f"},
    {"far-wide", 40, 120, "xterm-256color", "C.UTF-8", {STAGE}, "f"},
    {"far-narrow", 20, 40, "xterm-256color", "C.UTF-8", {STAGE}, "f"},
    {"far-ascii", 24, 80, "vt100", "C", {STAGE}, "f"},
    {"far-narrow-ascii", 20, 40, "vt100", "C", {STAGE}, "f"},
    {"now", 24, 80, "xterm-256color", "C.UTF-8", {STAGE}, "i"},
    {"now-narrow", 20, 40, "vt100", "C", {STAGE, "wrong"}, "i"},
    {"now-wide", 40, 120, "xterm-256color", "C.UTF-8", {STAGE, "replay"}, ":now\r"},
    {"far-wrong", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "wrong"}, "f"},
    {"far-old", 24, 80, "linux", "C.UTF-8", {STAGE, "old"}, "f"},
    {"far-push", 24, 80, "xterm-256color", "C.UTF-8", {STAGE, "nudges", "push"}, "f"},
    {"far-narrow-push", 20, 40, "xterm-256color", "C.UTF-8", {STAGE, "nudges", "push"}, "f"},
    {"far-nothing", 20, 40, "xterm-256color", "C.UTF-8", {STAGE, "nothing"}, "f"},
};

static void each_size_and_terminal_shows_what_a_person_approved(void **state)
{
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof snapshots / sizeof *snapshots; i++) {
        tty_start(tty, &(struct tty_setup){.argv = snapshots[i].argv,
                                           .rows = snapshots[i].rows,
                                           .cols = snapshots[i].cols,
                                           .term = snapshots[i].term,
                                           .locale = snapshots[i].locale});
        tty_expect(tty, "q quit");
        if (snapshots[i].keys) {
            tty_send(tty, snapshots[i].keys);
        }
        tty_settle(tty, 50);
        compare(tty, snapshots[i].name);
        if (strcmp(snapshots[i].locale, "C") == 0 || strcmp(snapshots[i].term, "vt100") == 0) {
            assert_false(tty->saw_high_bytes);
        }
        tty_send(tty, "x"); /* a page goes at any key */
        quit(tty);
        tty_finish(tty);
    }
}

/* Words are longer in another language: they have to fit the same places. */
static void german_fits_the_same_places(void **state)
{
    static const struct {
        const char *name;
        int rows, cols;
        const char *locale, *argv[4], *keys;
    } rows[] = {
        {"german", 24, 80, "C.UTF-8", {STAGE, "german"}},
        {"german-wide", 40, 120, "C.UTF-8", {STAGE, "german"}},
        {"german-narrow", 20, 40, "C.UTF-8", {STAGE, "german"}},
        {"german-ascii", 24, 80, "C", {STAGE, "german", "old"}},
        {"german-nudges", 24, 80, "C.UTF-8", {STAGE, "german", "nudges"}},
        {"german-nothing", 24, 80, "C.UTF-8", {STAGE, "german", "nothing"}},
        {"german-lobe", 24, 80, "C.UTF-8", {STAGE, "german"}, "g"},
        {"german-arc", 24, 80, "C.UTF-8", {STAGE, "german", "wrong"}, "gg"},
        {"german-far", 24, 80, "C.UTF-8", {STAGE, "german"}, "f"},
        {"german-far-narrow", 20, 40, "C.UTF-8", {STAGE, "german"}, "f"},
        {"german-help", 24, 80, "C.UTF-8", {STAGE, "german"}, "?"},
        {"german-palette", 24, 80, "C.UTF-8", {STAGE, "german"}, ":mo"},
    };
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_start(tty, &(struct tty_setup){.argv = rows[i].argv,
                                           .rows = rows[i].rows,
                                           .cols = rows[i].cols,
                                           .locale = rows[i].locale});
        tty_expect(tty, "q Ende");
        if (rows[i].keys) {
            tty_send(tty, rows[i].keys);
        }
        tty_settle(tty, 50);
        compare(tty, rows[i].name);
        tty_finish(tty);
    }
}

static void help_shows_every_key(void **state)
{
    static const struct {
        const char *name;
        int rows, cols;
        const char *argv[3];
        int parts;
    } rows[] = {
        {"help", 24, 80, {STAGE}, 1},
        {"help-narrow", 20, 40, {STAGE}, 2},
        {"help-replay", 24, 80, {STAGE, "replay"}, 1},
    };
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        start_stage(tty, rows[i].argv, rows[i].rows, rows[i].cols);
        for (int part = 0; part < rows[i].parts; part++) {
            char name[64];
            snprintf(name, sizeof name, part > 0 ? "%s-%d" : "%s", rows[i].name, part + 1);
            tty_send(tty, "?");
            tty_expect(tty, part + 1 < rows[i].parts ? "? shows more" : "any key goes back");
            tty_settle(tty, 50);
            compare(tty, name);
        }
        tty_send(tty, "?"); /* after the last part it goes, too */
        tty_expect(tty, "q quit");
        tty_key(tty, VTERM_KEY_FUNCTION(1), VTERM_MOD_NONE);
        tty_expect(tty, "Keys: ");
        tty_send(tty, "q");
        tty_expect(tty, "q quit");
        quit(tty);
        tty_finish(tty);
    }
}

/* --- looks ---------------------------------------------------------------------------------- */

static bool is_coloured(VTermScreenCell cell)
{
    return !VTERM_COLOR_IS_DEFAULT_FG(&cell.fg);
}

static void colour_only_repeats_what_words_say(void **state)
{
    static const char *const argv[] = {STAGE, "wrong", NULL};
    static const struct {
        const char *term;
        bool no_color, coloured;
    } rows[] = {
        {"xterm-256color", false, true},
        {"xterm", false, true},
        {"xterm-256color", true, false},
        {"vt100", false, false},
    };
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        VTermScreenCell cell;
        tty_start(tty, &(struct tty_setup){.argv = argv,
                                           .rows = 24,
                                           .cols = 80,
                                           .term = rows[i].term,
                                           .no_color = rows[i].no_color});
        tty_expect(tty, "q quit");
        cell = tty_cell_of(tty, "WRONG SATELLITE");
        assert_int_equal(is_coloured(cell), rows[i].coloured);
        assert_true(cell.attrs.reverse);
        assert_int_equal(is_coloured(tty_cell_of(tty, "Enter done")), rows[i].coloured);
        assert_false(is_coloured(tty_cell_of(tty, "Turn right")));
        quit(tty);
        tty_finish(tty);
    }
}

/* --- size ----------------------------------------------------------------------------------- */

/* Paper and ink of a cell, as the terminal was told. */
static void each_look_has_its_own_paper_and_the_same_words(void **state)
{
    static const char *const argv[] = {STAGE, "wrong", NULL};
    static const struct {
        const char *term;
        int presses; /* of c */
        bool own_paper, bold;
        int paper, ink; /* of the 256; -1 = not looked at */
    } rows[] = {
        {"xterm-256color", 0, true, false, -1, -1},
        {"xterm-256color", 1, false, false, 16, 252},
        {"xterm-256color", 2, false, true, 231, 16},
        {"xterm-256color", 3, true, false, -1, -1},

        {"xterm", 2, false, true, 7, 0},
        {"linux", 1, false, false, 0, 7},
        {"vt100", 2, true, true, -1, -1},
    };
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        VTermScreenCell cell;
        tty_start(tty,
                  &(struct tty_setup){.argv = argv, .rows = 24, .cols = 80, .term = rows[i].term});
        tty_expect(tty, "q quit");
        for (int k = 0; k < rows[i].presses; k++) {
            tty_send(tty, "c");
        }
        if (rows[i].presses > 0) {
            static const char *const names[] = {"", "look: dark", "look: sunlight", "look: mono"};
            tty_expect(tty, names[rows[i].presses]);
        }
        tty_settle(tty, 50);
        cell = tty_cell_of(tty, "lobe fit");
        assert_int_equal(VTERM_COLOR_IS_DEFAULT_BG(&cell.bg) != 0, rows[i].own_paper);
        assert_int_equal(cell.attrs.bold, rows[i].bold);
        if (rows[i].paper >= 0) {
            assert_int_equal(cell.bg.indexed.idx, rows[i].paper);
            assert_int_equal(cell.fg.indexed.idx, rows[i].ink);
        }
        /* sunlight without colours is the sheet reversed */
        assert_int_equal(cell.attrs.reverse, strcmp(rows[i].term, "vt100") == 0);
        tty_send(tty, "x");
        tty_expect(tty, "WRONG SATELLITE");
        quit(tty);
        tty_finish(tty);
    }
}

static void a_window_too_small_says_so_in_a_sentence(void **state)
{
    static const struct {
        int rows, cols;
    } rows[] = {{11, 80}, {24, 39}, {4, 30}, {1, 20}, {2, 2}};
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 24, 80);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_resize(tty, rows[i].rows, rows[i].cols);
        tty_expect(tty, rows[i].cols >= 20 ? "Make the window" : "Ma");
    }
    tty_resize(tty, 24, 80);
    tty_expect(tty, "q quit");
    tty_settle(tty, 50);
    compare(tty, "standard");
    quit(tty);
}

static void a_storm_of_sizes_ends_in_the_right_picture(void **state)
{
    struct tty *tty = *state;
    unsigned random = 1;

    start_stage(tty, plain_stage, 24, 80);
    for (int i = 0; i < 200; i++) {
        random = random * 1103515245u + 12345u;
        tty_resize(tty, 1 + (int)(random >> 16) % 70, 2 + (int)(random >> 8) % 200);
        if (i % 20 == 0) {
            tty_settle(tty, 1);
        }
    }
    tty_resize(tty, 40, 120);
    tty_expect(tty, "x  6 sweep azimuth");
    tty_settle(tty, 300);
    compare(tty, "wide");
    tty_resize(tty, 20, 40);
    tty_expect(tty, "/163.28");
    tty_settle(tty, 300);
    compare(tty, "narrow");
    quit(tty);
}

static void control_l_draws_all_anew(void **state)
{
    struct tty *tty = *state;

    start_stage(tty, plain_stage, 24, 80);
    tty_settle(tty, 50);
    vterm_input_write(tty->vt, "\x1b[H\x1b[2Jgarbage", 14);
    tty_expect(tty, "garbage");
    tty_send(tty, "\x0c");
    tty_expect_gone(tty, "garbage");
    tty_settle(tty, 50);
    compare(tty, "standard");
    quit(tty);
}

static void what_stands_still_costs_no_bytes(void **state)
{
    struct tty *tty = *state;
    size_t before;

    start_stage(tty, plain_stage, 24, 80);
    tty_settle(tty, 300);
    before = tty->bytes;
    tty_settle(tty, 1000); /* five turns of the stage's loop */
    assert_int_equal(tty->bytes, before);
    quit(tty);
}

static void a_terminal_that_cannot_place_text_gets_no_screen(void **state)
{
    static const struct {
        const char *term, *why;
    } rows[] = {{"dumb", "can't place text"}, {"no-such-terminal", "is not known"}};
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_start(tty, &(struct tty_setup){
                           .argv = plain_stage, .rows = 24, .cols = 80, .term = rows[i].term});
        assert_int_equal(WEXITSTATUS(tty_expect_end(tty)), 1);
        tty_expect(tty, rows[i].why);
        tty_expect_restored(tty);
        tty_finish(tty);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        SCREEN_TEST(each_size_and_terminal_shows_what_a_person_approved),
        SCREEN_TEST(german_fits_the_same_places),
        SCREEN_TEST(help_shows_every_key),
        SCREEN_TEST(colour_only_repeats_what_words_say),
        SCREEN_TEST(each_look_has_its_own_paper_and_the_same_words),
        SCREEN_TEST(a_window_too_small_says_so_in_a_sentence),
        SCREEN_TEST(a_storm_of_sizes_ends_in_the_right_picture),
        SCREEN_TEST(control_l_draws_all_anew),
        SCREEN_TEST(what_stands_still_costs_no_bytes),
        SCREEN_TEST(a_terminal_that_cannot_place_text_gets_no_screen),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
