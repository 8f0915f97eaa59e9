#include "expect.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "job/procedure_file.h"
#include "session/log.h"
#include "source/replay.h"
#include "source/source.h"

static char path[64];
static struct source source;

static int set_up(void **state)
{
    (void)state;
    strcpy(path, "/tmp/peakward-replay-XXXXXX");
    source = (struct source){.ops = NULL};
    close(mkstemp(path));
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    source_close(&source);
    return unlink(path);
}

static int open_replay(char why[RECORD_TEXT_SIZE])
{
    struct source_setup setup = {.name = NULL};
    char address[80] = "replay:";

    text_append(address, sizeof address, "%s", path);
    return source_open(&source, address, &setup, why);
}

static void open_well(void)
{
    char why[RECORD_TEXT_SIZE] = "";

    if (open_replay(why) != 0) {
        fail_msg("%s", why);
    }
}

static void write_file(const char *text)
{
    FILE *file = fopen(path, "w");

    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    fclose(file);
}

static int read_at(double t, struct record *record)
{
    return source.ops->read(source.self, t, record);
}

static double wake(void)
{
    return source.ops->wake(source.self);
}

/* A log with one level a second from 1 to 3 s, the coach's records between. */
static void write_log(const char *tail)
{
    static struct job job;
    static struct procedure procedure;
    static struct log_writer log;
    struct record level = {.kind = RECORD_LEVEL, .level = {.unit = LEVEL_DB, .meter = "m"}};
    struct record advice = {.kind = RECORD_ADVICE,
                            .advice = {.step = "peak",
                                       .say = "Right.",
                                       .deg = NAN,
                                       .turns = NAN,
                                       .rate = NAN,
                                       .axis = AXIS_NONE}};
    struct record enter = {.kind = RECORD_STEP, .step = {.event = STEP_ENTER, .name = "peak"}};
    struct record done = {.kind = RECORD_STEP, .step = {.event = STEP_DONE}};
    FILE *file;

    job_init(&job);
    procedure_builtin("linear", &procedure);
    unlink(path);
    assert_int_equal(log_create(&log, path, &job, &procedure), 0);
    enter.t = 0.5;
    assert_int_equal(log_write(&log, &enter), 0);
    for (int i = 1; i <= 3; i++) {
        level.t = i;
        level.level.value = 10.0 + i;
        advice.t = i;
        assert_int_equal(log_write(&log, &level), 0);
        assert_int_equal(log_write(&log, &advice), 0);
    }
    done.t = 4.0;
    assert_int_equal(log_write(&log, &done), 0);
    assert_int_equal(log_close(&log), 0);
    file = fopen(path, "a");
    assert_non_null(file);
    fputs(tail, file);
    fclose(file);
}

static void a_log_gives_what_was_fed_in_when_its_time_comes(void **state)
{
    struct record record;

    (void)state;
    write_log("{\"t\":5,\"le"); /* cut off: that is the end */
    assert_false(replay_is_capture(path));
    open_well();
    assert_int_equal(source.ops->fd(source.self), -1);
    expect_near(wake(), 1.0, 0.0);
    assert_int_equal(read_at(0.99, &record), 0);
    assert_int_equal(read_at(1.0, &record), 1);
    assert_int_equal(record.kind, RECORD_LEVEL);
    expect_near(record.t, 1.0, 0.0);
    expect_near(record.level.value, 11.0, 0.0);
    assert_int_equal(read_at(1.0, &record), 0);
    expect_near(wake(), 2.0, 0.0);
    /* time that is skipped is read at once */
    assert_int_equal(read_at(3.5, &record), 1);
    expect_near(record.t, 2.0, 0.0);
    assert_int_equal(read_at(3.5, &record), 1);
    expect_near(record.t, 3.0, 0.0);
    assert_int_equal(read_at(3.5, &record), 0);
    assert_int_equal(read_at(4.0, &record), 1);
    assert_int_equal(record.kind, RECORD_STEP);
    assert_int_equal(record.step.event, STEP_DONE);
    assert_true(isfinite(wake()));
    assert_int_equal(read_at(4.0, &record), -ENODATA);
    assert_int_equal(read_at(99.0, &record), -ENODATA);
}

static void a_bad_line_is_told_with_its_number_and_ends_it(void **state)
{
    struct record record;

    (void)state;
    write_log("{\"t\":5,\"level\":{}}\n{\"t\":6,\"note\":{\"text\":\"never\"}}\n");
    open_well();
    for (int i = 0; i < 4; i++) {
        assert_int_equal(read_at(9.0, &record), 1);
    }
    assert_int_equal(read_at(9.0, &record), 1);
    assert_int_equal(record.kind, RECORD_SOURCE);
    assert_int_equal(record.source.status, SOURCE_DOWN);
    assert_string_equal(record.source.name, "replay");
    assert_memory_equal(record.source.why, "line 10: ", 9);
    expect_near(record.t, 4.0, 0.0);
    assert_int_equal(read_at(9.0, &record), -ENODATA);
}

static void what_is_no_log_is_refused(void **state)
{
    char why[RECORD_TEXT_SIZE] = "";

    (void)state;
    write_file("");
    assert_true(open_replay(why) < 0);
    assert_non_null(strstr(why, path));
    write_file("\x1b[2J\n");
    assert_true(open_replay(why) < 0);
    assert_null(strchr(why, '\x1b'));
    unlink(path);
    assert_int_equal(open_replay(why), -ENOENT);
    write_file("");
}

/* As gpsd 3.22 writes them; places and times invented. */
#define VERSION_LINE                                                                               \
    "{\"class\":\"VERSION\",\"release\":\"3.22\",\"rev\":\"3.22\",\"proto_major\":3,"              \
    "\"proto_minor\":14}\n"
#define TPV(seconds)                                                                               \
    "{\"class\":\"TPV\",\"device\":\"/dev/ttyS0\",\"mode\":3,\"time\":\"2026-01-01T12:00:" seconds \
    "Z\",\"lat\":46.5,\"lon\":10.1,\"altHAE\":2200.5,\"eph\":3.2}\n"
#define ATT "{\"class\":\"ATT\",\"device\":\"/dev/ttyS0\",\"heading\":274.070}\n"

static void expect_kind(double t, enum record_kind kind)
{
    struct record record;

    assert_int_equal(read_at(t, &record), 1);
    assert_int_equal(record.kind, kind);
    expect_near(record.t, t, 1e-6);
}

static void a_capture_runs_by_the_clock_of_its_receiver(void **state)
{
    struct record record;

    (void)state;
    write_file(VERSION_LINE ATT TPV("30.000") ATT TPV("31.500") TPV("31.000") "{\"class\":\"TP");
    assert_true(replay_is_capture(path));
    open_well();
    expect_kind(0.0, RECORD_SOURCE);
    expect_kind(0.0, RECORD_ANGLES);
    expect_kind(0.0, RECORD_FIX);
    expect_kind(0.0, RECORD_UTC);
    expect_kind(0.0, RECORD_ANGLES);
    assert_int_equal(read_at(1.4, &record), 0);
    expect_near(wake(), 1.5, 1e-6);
    expect_kind(1.5, RECORD_FIX);
    expect_kind(1.5, RECORD_UTC);
    /* a clock that jumps back holds the session's time */
    expect_kind(1.5, RECORD_FIX);
    expect_kind(1.5, RECORD_UTC);
    assert_int_equal(read_at(1.5, &record), -ENODATA);
}

static void a_capture_without_times_runs_by_its_reports(void **state)
{
    (void)state;
    write_file("{\"class\":\"TPV\",\"mode\":1}\n" ATT "{\"class\":\"TPV\",\"mode\":1}\n");
    open_well();
    expect_kind(0.0, RECORD_SOURCE);
    expect_kind(1.0, RECORD_FIX);
    expect_kind(1.0, RECORD_ANGLES);
    expect_kind(2.0, RECORD_FIX);
}

static void a_bad_line_of_a_capture_ends_it_too(void **state)
{
    struct record record;

    (void)state;
    write_file(VERSION_LINE TPV("30.000") "\x1b[2J\n" TPV("31.000"));
    open_well();
    expect_kind(0.0, RECORD_SOURCE);
    expect_kind(0.0, RECORD_FIX);
    expect_kind(0.0, RECORD_UTC);
    assert_int_equal(read_at(9.0, &record), 1);
    assert_string_equal(record.source.why, "line 3: not a line of gpsd");
    assert_int_equal(record.source.status, SOURCE_DOWN);
    assert_int_equal(read_at(9.0, &record), -ENODATA);
}

int main(void)
{
#define WITH_FILE(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH_FILE(a_log_gives_what_was_fed_in_when_its_time_comes),
        WITH_FILE(a_bad_line_is_told_with_its_number_and_ends_it),
        WITH_FILE(what_is_no_log_is_refused),
        WITH_FILE(a_capture_runs_by_the_clock_of_its_receiver),
        WITH_FILE(a_capture_without_times_runs_by_its_reports),
        WITH_FILE(a_bad_line_of_a_capture_ends_it_too),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
