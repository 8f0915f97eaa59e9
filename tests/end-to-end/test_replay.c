/*
 * A replay on the screen, a quiz and the end of a drill, of the program itself: keys and words
 * steer it, the head and the line of the whole session say where it stands.
 */
#include "tty.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static char folder[] = "/tmp/replay-XXXXXX", session[64];

/* A session that the simulated technician goes through. */
static int make_session(void **unused)
{
    char command[1024];

    (void)unused;
    if (!mkdtemp(folder)) {
        return -1;
    }
    snprintf(session, sizeof session, "%s/hut.jsonl", folder);
    snprintf(command, sizeof command,
             "%s peak --job %s --source 'sim:hut?hand=careful&seed=5' --json --speed max --log %s "
             "</dev/null >/dev/null 2>&1",
             PEAKWARD, JOB, session);
    return system(command) == 0 ? 0 : -1;
}

static int forget_session(void **unused)
{
    (void)unused;
    return unlink(session) < 0 || rmdir(folder) < 0 ? -1 : 0;
}

static int set_up(void **ret_tty)
{
    *ret_tty = calloc(1, sizeof(struct tty));
    return 0;
}

static int tear_down(void **tty)
{
    tty_finish(*tty);
    free(*tty);
    return 0;
}

static void start(struct tty *tty, int rows, int cols)
{
    const char *const argv[] = {PEAKWARD, "replay", session, "--paused", NULL};

    tty_start(tty, &(struct tty_setup){.argv = argv, .rows = rows, .cols = cols});
    tty_expect(tty, "paused at 0:00");
}

static void quit(struct tty *tty)
{
    tty_send(tty, "qq");
    assert_int_equal(tty_expect_end(tty), 0);
    tty_expect_restored(tty);
}

static void keys_and_words_lead_to_any_place(void **state)
{
    static const struct {
        const char *keys, *shown;
    } rows[] = {
        {":seek 2:05\r", "paused at 2:05"},
        {"[", "paused at 1:55"},
        {"]", "paused at 2:05"},
        {"k", "Step 12 of 17: peak elevation"},
        {"k", "Step 11 of 17: peak azimuth"},
        {"j", "Step 12 of 17: peak elevation"},
        {":seek step tight\r", "Step 15 of 17: tighten"},
        {":seek end\r", "the end, 2:"},
        {"m", "no mark comes from here on"},
        {":seek start\r", "paused at 0:00"},
        {"a", "Step 2 of 17"},
        {"A", "Step 1 of 17"},
        {"+", "paused at 0:00 of hut.jsonl, 2 times as fast"},
        {"++++", "as fast as it goes"},
        {"-----", "paused at 0:00 of hut.jsonl"},
    };
    struct tty *tty = *state;

    start(tty, 24, 80);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_send(tty, rows[i].keys);
        tty_expect(tty, rows[i].shown);
    }
    quit(tty);
}

static void it_plays_on_as_fast_as_it_did(void **state)
{
    struct tty *tty = *state;

    start(tty, 24, 80);
    tty_send(tty, "++ ");
    tty_expect(tty, "replay 0:02 of hut.jsonl, 4 times as fast");
    tty_send(tty, " ");
    tty_expect(tty, "paused at");
    tty_send(tty, " ");
    tty_expect(tty, "replay 0:0");
    tty_expect(tty, "4 times as fast");
    tty_send(tty, "++++");
    tty_expect(tty, "the end, 2:"); /* it stops there by itself */
    tty_send(tty, "[");
    tty_expect(tty, "paused at 2:"); /* and goes back from there */
    quit(tty);
}

static void what_is_ahead_is_uncovered_by_a_key(void **state)
{
    struct tty *tty = *state;

    start(tty, 24, 80);
    tty_send(tty, ":seek 1:40\r");
    tty_expect(tty, "ahead");
    tty_send(tty, "u");
    tty_expect_gone(tty, "ahead");
    tty_send(tty, ":ahead\r");
    tty_expect(tty, "ahead");
    quit(tty);
}

/* The lobe is drawn from what the coach holds: it is there at once wherever one goes. */
static void the_graphs_are_there_after_a_leap(void **state)
{
    struct tty *tty = *state;

    start(tty, 24, 80);
    tty_send(tty, ":seek step peak elevation\r");
    tty_expect(tty, "Step 12 of 17");
    tty_send(tty, "jg");
    tty_expect(tty, "elevation: centre 35.");
    tty_send(tty, "[[[[[[[[[[[[[[[[");
    tty_expect(tty, "paused at 0:0");
    tty_send(tty, ":seek 2:30\rg");
    tty_expect(tty, "@PTARMIGAN");
    tty_expect(tty, "the azimuth reads");
    quit(tty);
}

/* Copy the session up to the last advice of the azimuth's peaking that goes to its centre. */
static void cut_at_the_centre(const char *path)
{
    char line[70000];
    FILE *from = fopen(session, "r"), *to = fopen(path, "w");
    long end = 0;

    assert_non_null(from);
    assert_non_null(to);
    while (fgets(line, sizeof line, from)) {
        if (strstr(line, "\"step\":\"peak azimuth\"") && strstr(line, "gently")) {
            end = ftell(from);
        }
    }
    assert_true(end > 0);
    rewind(from);
    while (ftell(from) < end && fgets(line, sizeof line, from)) {
        fputs(line, to);
    }
    fclose(from);
    assert_int_equal(fclose(to), 0);
}

static void the_graphs_are_there_after_a_session_was_cut_off(void **state)
{
    struct tty *tty = *state;
    char cut[80];

    snprintf(cut, sizeof cut, "%s/cut.jsonl", folder);
    cut_at_the_centre(cut);
    const char *const argv[] = {PEAKWARD, "peak", "--resume", cut, NULL};
    tty_start(tty, &(struct tty_setup){.argv = argv, .rows = 24, .cols = 80});
    tty_expect(tty, "peak azimuth");
    tty_send(tty, "g");
    tty_expect(tty, "azimuth: centre 169.");
    tty_send(tty, "g");
    tty_expect(tty, "PTARMIGAN");
    tty_expect(tty, "the azimuth reads");
    tty_send(tty, "qq");
    tty_expect_end(tty);
    assert_int_equal(unlink(cut), 0);
}

static void the_whole_session_is_on_a_line_at_every_size(void **state)
{
    static const struct {
        int rows, cols;
    } sizes[] = {{24, 80}, {40, 120}, {20, 40}};
    struct tty *tty = *state;

    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        char text[512];
        start(tty, sizes[i].rows, sizes[i].cols);
        tty_send(tty, ":seek 1:30\r");
        tty_expect(tty, " 1:30 ");
        tty_expect(tty, " 2:"); /* all of it has been read */
        tty_settle(tty, 50);
        tty_row_text(tty, sizes[i].rows - 2, text, sizeof text);
        assert_non_null(strstr(text, " 1:30 \u253c"));
        /* what is to come is thin, but for where a step begins */
        assert_true(strstr(text, "@\u2500") || strstr(text, "@\u253c"));
        assert_non_null(strstr(text, " 2:"));
        quit(tty);
        tty_finish(tty);
    }
}

/* A note goes into the copy, and is a place to go to at once. */
static void a_note_is_kept_in_the_copy(void **state)
{
    struct tty *tty = *state;
    char copy[80], text[512] = "";
    FILE *file;

    snprintf(copy, sizeof copy, "%s/copy.jsonl", folder);
    const char *const argv[] = {PEAKWARD, "replay", session, "--paused", "--notes", copy, NULL};
    tty_start(tty, &(struct tty_setup){.argv = argv, .rows = 40, .cols = 120});
    tty_expect(tty, "paused at 0:00");
    tty_send(tty, ":seek 1:40\rnwatch the needle\r");
    tty_expect(tty, "1:40 mark: trainer: watch the needle");
    tty_send(tty, ":seek start\rm");
    tty_expect(tty, "paused at 1:40");
    quit(tty);
    file = fopen(copy, "r");
    assert_non_null(file);
    while (fgets(text, sizeof text, file) && !strstr(text, "trainer")) {
    }
    fclose(file);
    assert_non_null(strstr(text, "\"mark\":{\"text\":\"trainer: watch the needle\"}"));
    assert_int_equal(unlink(copy), 0);
}

/* Asked with the advice covered; answered by keys; the score is there when the log is at its end.
 */
static void a_quiz_asks_on_the_screen_and_says_its_score(void **state)
{
    struct tty *tty = *state;
    char log[80];

    snprintf(log, sizeof log, "%s/quiz.jsonl", folder);
    const char *const argv[] = {PEAKWARD, "replay", "--quiz", session, "--speed",
                                "max",    "--log",  log,      NULL};
    tty_start(tty, &(struct tty_setup){.argv = argv, .rows = 24, .cols = 80});
    tty_expect(tty, "Question 1: which way, and how far?");
    tty_expect_gone(tty, "Turn up");
    tty_key(tty, VTERM_KEY_UP, VTERM_MOD_NONE);
    tty_expect(tty, ": up");
    tty_send(tty, "5 deg\r");
    tty_expect(tty, "Question 2");
    tty_expect(tty, "Right. The technician turned it up");
    tty_send(tty, ":sideways\r");
    tty_expect(tty, "clockwise or anticlockwise, and how far");
    tty_send(tty, "\r");
    tty_expect(tty, "Question 3");
    tty_expect(tty, "No answer. The technician turned it");
    for (int i = 4; i < 60; i++) {
        char text[TTY_TEXT_SIZE], next[32];
        tty_send(tty, "\r");
        tty_settle(tty, 30);
        tty_text(tty, text);
        snprintf(next, sizeof next, "Question %d", i);
        if (strstr(text, "Score: ")) {
            break;
        }
        tty_expect(tty, next);
    }
    tty_expect(tty, "Score: ");
    tty_expect(tty, "Missed: no answer (");
    quit(tty);
    assert_int_equal(unlink(log), 0);
}

static void a_drill_says_its_score_when_all_is_done(void **state)
{
    struct tty *tty = *state;
    char log[80];

    snprintf(log, sizeof log, "%s/drill.jsonl", folder);
    const char *const argv[] = {PEAKWARD,  "drill", "calm",  "--hand", "careful",
                                "--speed", "max",   "--log", log,      NULL};
    tty_start(tty, &(struct tty_setup){.argv = argv, .rows = 24, .cols = 80});
    tty_expect(tty, "Score: ");
    tty_expect(tty, "On Ptarmigan 1, 0.0");
    tty_send(tty, "qq");
    assert_int_equal(tty_expect_end(tty), 0);
    assert_int_equal(unlink(log), 0);
}

#define REPLAY_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        REPLAY_TEST(keys_and_words_lead_to_any_place),
        REPLAY_TEST(it_plays_on_as_fast_as_it_did),
        REPLAY_TEST(what_is_ahead_is_uncovered_by_a_key),
        REPLAY_TEST(the_graphs_are_there_after_a_leap),
        REPLAY_TEST(the_graphs_are_there_after_a_session_was_cut_off),
        REPLAY_TEST(the_whole_session_is_on_a_line_at_every_size),
        REPLAY_TEST(a_note_is_kept_in_the_copy),
        REPLAY_TEST(a_quiz_asks_on_the_screen_and_says_its_score),
        REPLAY_TEST(a_drill_says_its_score_when_all_is_done),
    };

    return cmocka_run_group_tests(tests, make_session, forget_session);
}
