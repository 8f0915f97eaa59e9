/*
 * However the program ends, the terminal is as it was found and the log is kept: quit, signals, a
 * crash, a hang-up, suspension; and where no screen is possible, sentences.
 */
#include "screen_room.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static void start(struct screen_room *room, const char *term)
{
    const char *const argv[] = {PEAKWARD, "peak", "--job", JOB, "--log", room->log, NULL};

    tty_start(&room->tty, &(struct tty_setup){.argv = argv, .rows = 24, .cols = 80, .term = term});
}

static void start_screen(struct screen_room *room)
{
    start(room, NULL);
    tty_expect(&room->tty, "Step 1 of");
    tty_expect(&room->tty, "mount up");
    assert_true(room->tty.alternate);
}

/* The log has its header and records after it. */
static void expect_log(const struct screen_room *room)
{
    char first[16] = "";
    struct stat status;
    FILE *file = fopen(room->log, "r");

    assert_non_null(file);
    assert_int_equal(fread(first, 1, 12, file), 12);
    fclose(file);
    assert_string_equal(first, "{\"peakward\":");
    assert_int_equal(stat(room->log, &status), 0);
    assert_true(status.st_size > 2000);
}

static void quitting_leaves_terminal_and_log(void **state)
{
    struct screen_room *room = *state;

    start_screen(room);
    tty_send(&room->tty, "q");
    tty_expect(&room->tty, "q again quits");
    tty_send(&room->tty, "q");
    assert_true(WIFEXITED(tty_expect_end(&room->tty)));
    tty_expect_restored(&room->tty);
    tty_expect(&room->tty, room->log); /* and says where the log is */
    expect_log(room);
}

static void a_signal_to_stop_leaves_terminal_and_log(void **state)
{
    static const int signals[] = {SIGTERM, SIGINT, SIGHUP};
    struct screen_room *room = *state;

    for (size_t i = 0; i < sizeof signals / sizeof *signals; i++) {
        start_screen(room);
        kill(room->tty.pid, signals[i]);
        tty_expect_end(&room->tty);
        tty_expect_restored(&room->tty);
        expect_log(room);
        tty_finish(&room->tty);
        unlink(room->log);
    }
    start_screen(room);
    tty_send(&room->tty, "\x03"); /* Ctrl-C */
    tty_expect_end(&room->tty);
    tty_expect_restored(&room->tty);
    expect_log(room);
}

static void a_crash_leaves_the_terminal_readable(void **state)
{
    static const int signals[] = {SIGSEGV, SIGABRT, SIGBUS, SIGFPE, SIGILL, SIGQUIT};
    struct screen_room *room = *state;

    for (size_t i = 0; i < sizeof signals / sizeof *signals; i++) {
        int status;
        start_screen(room);
        kill(room->tty.pid, signals[i]);
        status = tty_expect_end(&room->tty);
        /* a sanitizer turns the signal into a report and an exit status */
        assert_true(WIFSIGNALED(status) ? WTERMSIG(status) == signals[i]
                                        : WEXITSTATUS(status) != 0);
        tty_expect_restored(&room->tty);
        expect_log(room);
        tty_finish(&room->tty);
        unlink(room->log);
    }
}

static void a_terminal_that_goes_away_ends_the_program(void **state)
{
    struct screen_room *room = *state;
    pid_t pid;
    int status = 0;

    start_screen(room);
    pid = room->tty.pid;
    close(room->tty.slave);
    close(room->tty.fd);
    for (int i = 0; i < 1000 && waitpid(pid, &status, WNOHANG) == 0; i++) {
        usleep(20000);
    }
    assert_int_equal(waitpid(pid, &status, WNOHANG), -1);
    assert_int_equal(errno, ECHILD);
    room->tty.pid = 0;
    vterm_free(room->tty.vt);
    room->tty.vt = NULL;
    expect_log(room);
}

static void ctrl_z_gives_the_terminal_back_and_fg_takes_it_again(void **state)
{
    static const char *const shell[] = {"/bin/sh", "-i", NULL};
    struct screen_room *room = *state;
    struct tty *tty = &room->tty;
    char command[512];

    tty_start(tty, &(struct tty_setup){.argv = shell, .rows = 24, .cols = 80});
    snprintf(command, sizeof command, "%s peak --job %s --log %s\n", PEAKWARD, JOB, room->log);
    tty_send(tty, command);
    tty_expect(tty, "Step 1 of");
    for (int i = 0; i < 3; i++) {
        tty_send(tty, "\x1a");
        tty_expect(tty, "Stopped");
        assert_false(tty->alternate);
        assert_true(tty->cursor_visible);
        tty_resize(tty, 24 + i, 90 + i); /* the window may change meanwhile */
        tty_send(tty, "clear; fg\n");
        tty_expect(tty, "Step 1 of");
        assert_true(tty->alternate);
        tty_expect(tty, "q quit");
    }
    tty_send(tty, "qq");
    tty_expect_gone(tty, "q quit");
    tty_send(tty, "exit\n");
    tty_expect_end(tty);
    expect_log(room);
}

static void a_stop_that_cannot_be_caught_is_mended_on_return(void **state)
{
    struct screen_room *room = *state;
    struct tty *tty = &room->tty;
    struct termios modes;

    start_screen(room);
    kill(tty->pid, SIGSTOP);
    tty_expect_stop(tty);
    tcsetattr(tty->slave, TCSANOW, &tty->found);
    vterm_input_write(tty->vt, "\x1b[H\x1b[2Jsomebody else was here", 30);
    kill(tty->pid, SIGCONT);
    tty_expect(tty, "Step 1 of");
    tty_expect_gone(tty, "somebody else");
    assert_int_equal(tcgetattr(tty->slave, &modes), 0);
    assert_int_equal(modes.c_lflag & (ICANON | ECHO), 0);
    tty_send(tty, "qq");
    tty_expect_end(tty);
    tty_expect_restored(tty);
}

/* What check says of a terminal that is not good enough. */
static void check_says_what_a_screen_lacks(void **state)
{
    static const char *const argv[] = {PEAKWARD, "check", NULL};
    static const struct {
        int rows, cols, status;
        const char *term, *locale, *says;
    } rows[] = {
        {24, 80, 0, "xterm-256color", "C.UTF-8", "terminal: xterm-256color, 80 x 24"},
        {24, 80, 0, "vt100", "C", "locale: not UTF-8: the screen is plain ASCII"},
        {24, 40, 0, "xterm-256color", "C",
         "the screen is\n        plain ASCII; for more: export\n        LC_ALL"}, /* between words
                                                                                   */
        {11, 160, 1, "linux", "C.UTF-8", "make the window 40 x 12 at least"},
        {24, 160, 1, "dumb", "C.UTF-8", "can't place text, so that all is said in plain"},
        {24, 160, 1, "no-such-terminal", "C.UTF-8", "is not known, so that all is said in plain"},
    };
    struct screen_room *room = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tty_start(&room->tty, &(struct tty_setup){.argv = argv,
                                                  .rows = rows[i].rows,
                                                  .cols = rows[i].cols,
                                                  .term = rows[i].term,
                                                  .locale = rows[i].locale});
        tty_expect(&room->tty, rows[i].says);
        assert_int_equal(WEXITSTATUS(tty_expect_end(&room->tty)), rows[i].status);
        tty_finish(&room->tty);
    }
}

static void without_a_screen_there_are_sentences(void **state)
{
    struct screen_room *room = *state;

    start(room, "dumb");
    tty_expect(&room->tty, "going on with --plain");
    tty_expect(&room->tty, "Step 1 of");
    tty_expect(&room->tty, "Recording to");
    assert_false(room->tty.alternate);
    tty_send(&room->tty, "quit\n");
    tty_expect_end(&room->tty);
    tty_expect_restored(&room->tty);
    expect_log(room);
}

static void a_recorded_session_is_seen_again(void **state)
{
    struct screen_room *room = *state;
    const char *const argv[] = {PEAKWARD, "replay", room->log, NULL};

    start_screen(room);
    tty_expect(&room->tty, "recording 0:02");
    tty_send(&room->tty, "\r\r");
    tty_expect(&room->tty, "Too soon"); /* the second one found a caution that nobody had read */
    tty_expect(&room->tty, "Step 2 of");
    tty_expect(&room->tty, "recording 0:04");
    tty_send(&room->tty, "\r");
    tty_expect(&room->tty, "Step 3 of");
    tty_expect(&room->tty, "recording 0:05");
    tty_send(&room->tty, "qq");
    tty_expect_end(&room->tty);
    tty_finish(&room->tty);

    tty_start(&room->tty, &(struct tty_setup){.argv = argv, .rows = 24, .cols = 80});
    tty_expect(&room->tty, "Step 3 of");
    tty_expect(&room->tty, "replay 0:0");
    tty_send(&room->tty, " ");
    tty_expect(&room->tty, "paused at");
    tty_send(&room->tty, "[");
    tty_expect(&room->tty, "paused at 0:00");
    tty_send(&room->tty, "qq");
    assert_int_equal(tty_expect_end(&room->tty), 0);
    tty_expect_restored(&room->tty);
}

#define ENDS_TEST(name)                                                                            \
    cmocka_unit_test_setup_teardown(name, screen_room_set_up, screen_room_tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        ENDS_TEST(quitting_leaves_terminal_and_log),
        ENDS_TEST(a_signal_to_stop_leaves_terminal_and_log),
        ENDS_TEST(a_crash_leaves_the_terminal_readable),
        ENDS_TEST(a_terminal_that_goes_away_ends_the_program),
        ENDS_TEST(ctrl_z_gives_the_terminal_back_and_fg_takes_it_again),
        ENDS_TEST(a_stop_that_cannot_be_caught_is_mended_on_return),
        ENDS_TEST(check_says_what_a_screen_lacks),
        ENDS_TEST(without_a_screen_there_are_sentences),
        ENDS_TEST(a_recorded_session_is_seen_again),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
