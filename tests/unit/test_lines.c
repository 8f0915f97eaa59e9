#include "expect.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "source/lines.h"

static int ends[2]; /* ours, the source's */
static struct lines lines;
static struct job_meter meter;

static int stage_open(const void *where, char why[RECORD_TEXT_SIZE])
{
    (void)where;
    (void)why;
    return ends[1];
}

static const struct feed_ops ops = {
    .open = stage_open, .gone = "gone", .silent = "silent", .is_socket = true};

static int set_up(void **state)
{
    (void)state;
    meter = (struct job_meter){.name = "demo",
                               .pattern = "SNR {level} LOCK {lock} {id}|SNR {level}[ LOCK {lock}]",
                               .unit = LEVEL_DB,
                               .minimum = 0.0,
                               .maximum = 30.0,
                               .poll_period_s = 2.0};
    ends[0] = -1;
    return socketpair(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK, 0, ends);
}

static int tear_down(void **state)
{
    (void)state;
    lines_finish(&lines);
    close(ends[0]);
    return 0;
}

/* Open, take the `up`, and get over the first line. */
static void begin(const struct job_meter *profile)
{
    struct source_setup setup = {.name = "serial", .meter = profile};
    struct record record;
    char why[RECORD_TEXT_SIZE] = "";

    assert_int_equal(lines_init(&lines, &ops, NULL, &setup, why), 0);
    assert_int_equal(lines_read(&lines, 0.0, &record), 1);
    assert_int_equal(record.source.status, SOURCE_UP);
    assert_int_equal(write(ends[0], "R 9\n", 4), 4);
    assert_int_equal(lines_read(&lines, 0.0, &record), 0);
    assert_int_equal(lines.feed.bad, 0);
}

/* The records of a line, their kinds by letter: A angles, L level, K lock, X aux, S source. */
static void say(double t, const char *line, const char *kinds, struct record *last)
{
    static const char letters[RECORD_KIND_COUNT] = {
        [RECORD_ANGLES] = 'A', [RECORD_LEVEL] = 'L',  [RECORD_LOCK] = 'K',
        [RECORD_AUX] = 'X',    [RECORD_SOURCE] = 'S',
    };
    char got[32] = "";
    size_t n = 0;

    assert_int_equal(write(ends[0], line, strlen(line)), strlen(line));
    assert_int_equal(write(ends[0], "\r\n", 2), 2);
    while (lines_read(&lines, t, last) == 1) {
        expect_near(last->t, t, 0.0);
        got[n++] = letters[last->kind];
        assert_true(n < sizeof got - 1);
    }
    if (strcmp(got, kinds) != 0) {
        fail_msg("'%s' gives %s, want %s (%s)", line, got, kinds, last->source.why);
    }
}

static void a_line_of_the_meter_gives_its_level_and_lock(void **state)
{
    struct record record;

    (void)state;
    begin(&meter);
    say(1.0, "SNR 12.5", "L", &record);
    expect_near(record.level.value, 12.5, 0.0);
    assert_int_equal(record.level.unit, LEVEL_DB);
    assert_string_equal(record.level.meter, "demo");
    say(2.0, "SNR 12.5 LOCK yes HUT", "KL", &record);
    assert_true(lines.lock.locked);
    assert_string_equal(lines.lock.id, "HUT");
}

static void a_lock_that_stays_is_said_once_a_second(void **state)
{
    struct record record;

    (void)state;
    begin(&meter);
    say(1.0, "SNR 3 LOCK no", "KL", &record);
    say(1.1, "SNR 3 LOCK no", "L", &record);
    say(1.9, "SNR 3 LOCK no", "L", &record);
    say(2.0, "SNR 3 LOCK no", "KL", &record);
    say(2.1, "SNR 3 LOCK yes", "KL", &record);
    say(2.2, "SNR 3 LOCK yes HUT", "KL", &record);
    say(2.3, "SNR 3 LOCK yes HUT", "L", &record);
}

/* A meter whose range the job does not tell. */
static void what_no_meter_shows_is_refused(void **state)
{
    struct record record;

    (void)state;
    strcpy(meter.pattern, "l{level}");
    meter.minimum = meter.maximum = NAN;
    begin(&meter);
    say(1.0, "l4294967295", "L", &record);
    say(2.0, "l1e308", "S", &record);
    assert_non_null(strstr(record.source.why, "beyond what any meter shows"));
    say(4.0, "l-1e11", "S", &record);
    say(6.0, "l-3", "L", &record);
}

static void a_number_out_of_range_is_refused_whole(void **state)
{
    static const struct {
        const char *line, *why;
    } rows[] = {
        {"l30.1 a0 e0 s0", "level 30.1 is outside the meter's range"},
        {"l-0.1 a0 e0 s0", "level -0.1 is outside the meter's range"},
        {"l1 a360.5 e0 s0", "azimuth 360.5 is not within 0 to 360"},
        {"l1 a-1 e0 s0", "azimuth -1 is not within 0 to 360"},
        {"l1 a0 e90.1 s0", "elevation 90.1 is beyond 90"},
        {"l1 a0 e0 s-180.1", "skew -180.1 is beyond 180"},
    };
    struct record record, good;

    (void)state;
    strcpy(meter.pattern, "l{level} a{azimuth} e{elevation} s{skew}");
    begin(&meter);
    say(1.0, "l30 a360 e-90 s180", "AL", &record);
    say(1.0, "l0 a0 e90 s-180", "AL", &record);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char want[RECORD_TEXT_SIZE];
        say(2.0 * (double)(i + 1), rows[i].line, "S", &record);
        say(2.0 * (double)(i + 1), "l1 a0 e0 s0", "AL", &good);
        snprintf(want, sizeof want, "%s: \"%s\"", rows[i].why, rows[i].line);
        assert_int_equal(record.source.status, SOURCE_BAD);
        assert_string_equal(record.source.why, want);
        assert_int_equal(record.source.bad, i + 1);
    }
    meter.minimum = NAN;
    meter.maximum = NAN;
    say(20.0, "l-500 a0 e0 s0", "AL", &record);
}

static void sentences_are_understood_beside_the_pattern(void **state)
{
    struct record record;

    (void)state;
    begin(&meter);
    say(1.0, "$HEHDT,341.8,T*21", "A", &record);
    assert_string_equal(record.angles.from, "serial");
    expect_near(record.angles.deg[AXIS_AZIMUTH], 341.8, 0.0);
    say(1.0, "SNR 12.5", "L", &record);
    say(1.0, "$YXXDR,A,2.5,D,PTCH,A,-1.3,D,ROLL*75", "A", &record);
    say(1.0, "$GPHDT,,T*1B", "", &record);
    assert_int_equal(lines.feed.bad, 0);
    say(2.0, "$GPHDT,274.07,T*04", "S", &record);
    assert_string_equal(record.source.why, "wrong checksum: \"$GPHDT,274.07,T*04\"");
    say(4.0, "$HCXDR,A,177,D,PITCH,A,-40,D,ROLL,G,358,,MAGX,G,2432,,MAGY,G,-8974,,MAGZ*47", "S",
        &record);
    assert_memory_equal(record.source.why, "an angle out of range", 21);
}

static void a_sensor_needs_no_profile(void **state)
{
    struct record record;

    (void)state;
    begin(NULL);
    say(1.0, "$HEHDT,341.8,T*21", "A", &record);
    say(1.0, "SNR 12.5", "S", &record);
    assert_int_equal(record.source.status, SOURCE_BAD);
}

static void a_meter_may_itself_start_its_lines_with_a_dollar(void **state)
{
    struct record record;

    (void)state;
    strcpy(meter.pattern, "$LVL,{level}");
    begin(&meter);
    say(1.0, "$LVL,3.5", "L", &record);
    expect_near(record.level.value, 3.5, 0.0);
}

static void the_first_line_counts_only_when_a_checksum_proves_it_whole(void **state)
{
    static const struct {
        const char *line;
        int kind; /* of the record after `up`; -1 = none */
    } rows[] = {
        {"SNR 2.5\n", -1}, /* may have been SNR 2.5 or the tail of two lines */
        {"2.5\n", -1},      {"$HEHDT,341.8,T*21\n", RECORD_ANGLES}, {"$HDT,341.8,T*21\n", -1},
        {"\0\0\xff\n", -1},
    };
    struct source_setup setup = {.name = "serial", .meter = &meter};

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct record record;
        char why[RECORD_TEXT_SIZE];
        size_t n = strlen(rows[i].line);
        assert_int_equal(lines_init(&lines, &ops, NULL, &setup, why), 0);
        assert_int_equal(lines_read(&lines, 0.0, &record), 1);
        n = n == 0 ? 4 : n;
        assert_int_equal(write(ends[0], rows[i].line, n), n);
        if (rows[i].kind < 0) {
            assert_int_equal(lines_read(&lines, 0.0, &record), 0);
        } else {
            assert_int_equal(lines_read(&lines, 0.0, &record), 1);
            assert_int_equal(record.kind, rows[i].kind);
        }
        assert_int_equal(lines.feed.bad, 0);
        tear_down(state);
        set_up(state);
    }
}

static void a_meter_that_waits_to_be_asked_is_asked(void **state)
{
    struct record record;
    char heard[64];

    (void)state;
    strcpy(meter.poll, "SNR?\\r");
    begin(&meter);
    assert_int_equal(read(ends[0], heard, sizeof heard), 5);
    assert_memory_equal(heard, "SNR?\r", 5);
    expect_near(lines_wake(&lines), 2.0, 0.0);
    assert_int_equal(lines_read(&lines, 1.9, &record), 0);
    assert_int_equal(read(ends[0], heard, sizeof heard), -1);
    assert_int_equal(lines_read(&lines, 2.0, &record), 0);
    assert_int_equal(read(ends[0], heard, sizeof heard), 5);
    /* five polls without an answer are silence */
    assert_int_equal(lines_read(&lines, 9.9, &record), 0);
    assert_int_equal(lines_read(&lines, 10.0, &record), 1);
    assert_int_equal(record.source.status, SOURCE_SILENT);
}

static void a_wrong_profile_is_refused_with_its_place(void **state)
{
    struct source_setup setup = {.name = "serial", .meter = &meter};
    char why[RECORD_TEXT_SIZE] = "";

    (void)state;
    strcpy(meter.pattern, "SNR {lvl}");
    assert_int_equal(lines_init(&lines, &ops, NULL, &setup, why), -EINVAL);
    assert_memory_equal(why, "meter demo: pattern: at character 6: unknown field {lvl}", 56);
    strcpy(meter.pattern, "SNR {level}");
    strcpy(meter.poll, "a\\q");
    assert_int_equal(lines_init(&lines, &ops, NULL, &setup, why), -EINVAL);
    assert_memory_equal(why, "meter demo: poll: ", 18);
    lines.feed.fd = ends[1]; /* for tear_down */
}

int main(void)
{
#define WITH_STAGE(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WITH_STAGE(a_line_of_the_meter_gives_its_level_and_lock),
        WITH_STAGE(a_lock_that_stays_is_said_once_a_second),
        WITH_STAGE(a_number_out_of_range_is_refused_whole),
        WITH_STAGE(what_no_meter_shows_is_refused),
        WITH_STAGE(sentences_are_understood_beside_the_pattern),
        WITH_STAGE(a_sensor_needs_no_profile),
        WITH_STAGE(a_meter_may_itself_start_its_lines_with_a_dollar),
        WITH_STAGE(the_first_line_counts_only_when_a_checksum_proves_it_whole),
        WITH_STAGE(a_meter_that_waits_to_be_asked_is_asked),
        WITH_STAGE(a_wrong_profile_is_refused_with_its_place),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
