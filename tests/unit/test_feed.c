#include "expect.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "source/feed.h"

/* A stream in the test's hand: fd is the end that the feed gets, peer the other. */
struct stage {
    int fd, peer;
    int answer; /* what open says: 0 = the fd, or -errno */
    int ready;  /* what ready says */
    int tries;
};

static struct stage stage;
static struct feed feed;
static char room[64];

static int stage_open(const void *where, char why[RECORD_TEXT_SIZE])
{
    struct stage *it = &stage;

    assert_ptr_equal(where, &stage);
    it->tries++;
    if (it->answer < 0) {
        strcpy(why, it->answer == -ENOENT ? "not there" : "not allowed");
        return it->answer;
    }
    int ends[2];
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK, 0, ends), 0);
    it->fd = ends[0];
    it->peer = ends[1];
    return it->fd;
}

static int stage_ready(const void *where, int fd, char why[RECORD_TEXT_SIZE])
{
    assert_ptr_equal(where, &stage);
    assert_int_equal(fd, stage.fd);
    if (stage.ready < 0) {
        strcpy(why, "refused");
    }
    return stage.ready;
}

static const struct feed_ops ops = {
    .open = stage_open,
    .ready = stage_ready,
    .greeting = "hello\n",
    .gone = "gone",
    .silent = "silent",
    .is_socket = true,
};

static int set_up(void **state)
{
    (void)state;
    stage = (struct stage){.fd = -1, .peer = -1, .ready = 1};
    feed_init(&feed, &ops, &stage, "meter", 5.0, room, sizeof room);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    feed_finish(&feed);
    if (stage.peer >= 0) {
        close(stage.peer);
    }
    return 0;
}

static void put(const char *bytes, size_t n)
{
    assert_int_equal(write(stage.peer, bytes, n), n);
}

static void hang_up(void)
{
    close(stage.peer);
    stage.peer = -1;
}

/* No line is expected now; the next queued record is this, and no other. */
static void expect_source(double t, enum record_source_status status, const char *why)
{
    struct record record;

    assert_false(feed_line(&feed, t));
    assert_true(feed_take(&feed, &record));
    assert_int_equal(record.kind, RECORD_SOURCE);
    assert_string_equal(record.source.name, "meter");
    assert_int_equal(record.source.status, status);
    assert_string_equal(record.source.why, why);
    expect_near(record.t, t, 0.0);
    assert_false(feed_take(&feed, &record));
}

static void expect_nothing(double t)
{
    struct record record;

    assert_false(feed_line(&feed, t));
    assert_false(feed_take(&feed, &record));
}

static void what_is_not_there_is_said_once_and_tried_with_back_off(void **state)
{
    /* half a second, doubling, at most five */
    static const double delays[] = {0.5, 1.0, 2.0, 4.0, 5.0, 5.0};
    double t = 100.0;

    (void)state;
    stage.answer = -ENOENT;
    expect_near(feed_wake(&feed), 0.0, 0.0);
    expect_source(t, SOURCE_DOWN, "not there");
    for (size_t i = 0; i < sizeof delays / sizeof *delays; i++) {
        expect_near(feed_wake(&feed), t + delays[i], 1e-9);
        expect_nothing(t + 0.9 * delays[i]);
        assert_int_equal(stage.tries, i + 1);
        t = feed_wake(&feed);
        expect_nothing(t);
        assert_int_equal(stage.tries, i + 2);
    }
    stage.answer = -EACCES;
    t = feed_wake(&feed);
    expect_source(t, SOURCE_DOWN, "not allowed");
    stage.answer = 0;
    t = feed_wake(&feed);
    expect_source(t, SOURCE_UP, "");
}

static void a_stream_that_ends_is_opened_again(void **state)
{
    char hello[16];

    (void)state;
    expect_source(0.0, SOURCE_UP, "");
    assert_int_equal(read(stage.peer, hello, sizeof hello), 6);
    put("half a li", 9);
    expect_nothing(1.0);
    hang_up();
    expect_source(2.0, SOURCE_DOWN, "gone");
    assert_int_equal(feed.fd, -1);
    expect_nothing(2.4);
    expect_source(2.5, SOURCE_UP, "");
    assert_int_equal(read(stage.peer, hello, sizeof hello), 6);
    assert_true(feed.fresh);
    put("whole\n", 6);
    assert_true(feed_line(&feed, 3.0));
    assert_string_equal(feed.line.text, "whole");
}

static void the_lines_before_the_end_are_not_lost(void **state)
{
    (void)state;
    expect_source(0.0, SOURCE_UP, "");
    put("a\nb\n", 4);
    hang_up();
    assert_true(feed_line(&feed, 1.0));
    assert_string_equal(feed.line.text, "a");
    assert_true(feed_line(&feed, 1.0));
    assert_string_equal(feed.line.text, "b");
    expect_source(1.0, SOURCE_DOWN, "gone");
}

static void silence_is_said_once_and_so_is_its_end(void **state)
{
    (void)state;
    expect_source(10.0, SOURCE_UP, "");
    expect_near(feed_wake(&feed), 15.0, 0.0);
    expect_nothing(14.9);
    expect_source(15.0, SOURCE_SILENT, "silent");
    assert_true(isinf(feed_wake(&feed)));
    expect_nothing(30.0);
    put("x\n", 2);
    assert_true(feed_line(&feed, 31.0));
    feed_heard(&feed, 31.0);
    expect_source(31.0, SOURCE_UP, "");
    expect_near(feed_wake(&feed), 36.0, 0.0);
}

static void a_line_that_is_never_understood_is_silence_too(void **state)
{
    (void)state;
    expect_source(0.0, SOURCE_UP, "");
    put("x\n", 2);
    assert_true(feed_line(&feed, 4.0));
    expect_source(5.0, SOURCE_SILENT, "silent");
}

static void bad_lines_are_counted_each_and_said_once_a_second(void **state)
{
    struct record record;
    unsigned said = 0;

    (void)state;
    expect_source(0.0, SOURCE_UP, "");
    for (int i = 0; i < 25; i++) {
        double t = 1.0 + 0.1 * i;
        put("\x1b[2J\n", 5);
        assert_true(feed_line(&feed, t));
        feed_refuse(&feed, t, "not understood");
        assert_false(feed_line(&feed, t));
        while (feed_take(&feed, &record)) {
            assert_int_equal(record.source.status, SOURCE_BAD);
            assert_string_equal(record.source.why, "not understood: \"?[2J\"");
            said++;
        }
    }
    assert_int_equal(said, 3); /* at 1, 2 and 3 s */
    assert_int_equal(feed.bad, 25);
    /* the last ones are told as well */
    expect_near(feed_wake(&feed), 4.0, 1e-9);
    assert_false(feed_line(&feed, 4.01));
    assert_true(feed_take(&feed, &record));
    assert_int_equal(record.source.bad, 25);
    expect_nothing(4.9);
}

static void too_long_lines_and_nuls_are_refused_here(void **state)
{
    char flood[200];
    struct record record;

    (void)state;
    expect_source(0.0, SOURCE_UP, "");
    put("\0\xff\n", 3); /* noise of plugging in is let go */
    expect_nothing(0.5);
    memset(flood, 'x', sizeof flood);
    put(flood, sizeof flood);
    put("\nok\n", 4);
    assert_true(feed_line(&feed, 1.0));
    assert_string_equal(feed.line.text, "ok");
    assert_true(feed_take(&feed, &record));
    assert_int_equal(record.source.status, SOURCE_BAD);
    assert_memory_equal(record.source.why, "too long: \"xxx", 14);
    put("a\0b\n", 4);
    assert_false(feed_line(&feed, 3.0));
    assert_true(feed_take(&feed, &record));
    assert_string_equal(record.source.why, "a NUL in it: \"a?b\"");
    assert_int_equal(record.source.bad, 2);
}

static void a_flood_leaves_room_for_the_rest_of_the_loop(void **state)
{
    static char flood[8192];
    int lines = 0;

    (void)state;
    expect_source(0.0, SOURCE_UP, "");
    memset(flood, '\n', sizeof flood);
    for (size_t i = 0; i < sizeof flood; i += 2) {
        flood[i] = 'x';
    }
    do {
        (void)!write(stage.peer, flood, sizeof flood); /* as fast as it takes them */
    } while (feed_line(&feed, 1.0) && ++lines < 1000000);
    assert_int_equal(lines, FEED_TURN / 2);
    assert_true(feed_line(&feed, 1.1));
}

static void a_connection_is_waited_for_but_not_for_ever(void **state)
{
    (void)state;
    stage.ready = 0;
    expect_nothing(0.0);
    expect_near(feed_wake(&feed), 0.05, 1e-9);
    expect_nothing(4.9);
    expect_source(5.0, SOURCE_DOWN, "no answer within 5 s");
    assert_int_equal(feed.fd, -1);
    hang_up();
    expect_nothing(5.5); /* the next try */
    stage.ready = 1;
    expect_source(5.55, SOURCE_UP, "");
    hang_up();
    expect_source(6.0, SOURCE_DOWN, "gone");
    stage.ready = -ECONNREFUSED;
    hang_up();
    expect_source(20.0, SOURCE_DOWN, "refused");
}

static void sending_to_what_is_gone_kills_nobody(void **state)
{
    (void)state;
    expect_source(0.0, SOURCE_UP, "");
    hang_up();
    signal(SIGPIPE, SIG_DFL);
    feed_send(&feed, "poll\n", 5);
    expect_source(1.0, SOURCE_DOWN, "gone");
    feed_send(&feed, "poll\n", 5);
}

int main(void)
{
#define WITH_STAGE(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH_STAGE(what_is_not_there_is_said_once_and_tried_with_back_off),
        WITH_STAGE(a_stream_that_ends_is_opened_again),
        WITH_STAGE(the_lines_before_the_end_are_not_lost),
        WITH_STAGE(silence_is_said_once_and_so_is_its_end),
        WITH_STAGE(a_line_that_is_never_understood_is_silence_too),
        WITH_STAGE(bad_lines_are_counted_each_and_said_once_a_second),
        WITH_STAGE(too_long_lines_and_nuls_are_refused_here),
        WITH_STAGE(a_flood_leaves_room_for_the_rest_of_the_loop),
        WITH_STAGE(a_connection_is_waited_for_but_not_for_ever),
        WITH_STAGE(sending_to_what_is_gone_kills_nobody),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
