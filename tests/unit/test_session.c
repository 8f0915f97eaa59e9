/* The log and the fold: what is written, read back, gives the same state. No outside values: the
 * session is compared with itself. */
#include "expect.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "job/procedure_file.h"
#include "session/log.h"
#include "session/state.h"

static char path[] = "/tmp/peakward-session-XXXXXX";
static struct job job, job_read_back;
static struct procedure procedure, procedure_read_back;
static struct magnetic_model magnetic;
static struct log_writer writer;

/* One of every kind, with texts and numbers that are awkward to keep. */
static size_t every_kind(struct record *r)
{
    size_t n = 0;

    for (int kind = 0; kind < RECORD_KIND_COUNT; kind++) {
        r[n] = (struct record){.t = 1.0 / 3.0 + n, .kind = (enum record_kind)kind};
        switch (r[n].kind) {
        case RECORD_FIX:
            r[n].fix = (struct record_fix){46.123456789, 10.1, 2200.017, (double)NAN, 3, 9};
            break;
        case RECORD_UTC:
            r[n].utc.unix_s = 1795636800.1239;
            break;
        case RECORD_ANGLES:
            r[n].angles =
                (struct record_angles){{359.99999, -0.00001, (double)NAN}, true, false, "compass"};
            break;
        case RECORD_LEVEL:
            r[n].level = (struct record_level){0.1 + 0.2, LEVEL_DBUV, "finder"};
            break;
        case RECORD_LOCK:
            r[n].lock = (struct record_lock){true, "a \"name\" \\ \u00e9"};
            break;
        case RECORD_AUX:
            r[n].aux = (struct record_aux){"cross", 1e-6, "dB"};
            break;
        case RECORD_MOVE:
            r[n].move = (struct record_move){AXIS_ELEVATION, (double)NAN, -1.125};
            break;
        case RECORD_SOURCE:
            r[n].source = (struct record_source){"finder", SOURCE_SILENT, 7, "no line for 5 s"};
            break;
        case RECORD_STEP:
            r[n].step = (struct record_step){STEP_ENTER, "peak azimuth", 9, 15, ""};
            break;
        case RECORD_ADVICE:
            r[n].advice =
                (struct advice){"peak azimuth", AXIS_AZIMUTH,        ADVICE_RIGHT, 0.46, 1.25, 0.3,
                                UNTIL_DWELL,    "Right 0.46\u00b0.", "lobe fit"};
            break;
        case RECORD_NOTE:
        case RECORD_MARK:
        case RECORD_KIND_COUNT:
            strcpy(r[n].note.text, "wind");
            break;
        }
        record_round(&r[n++]);
    }
    return n;
}

static int set_up(void **state)
{
    char why[JOB_ERROR_SIZE];
    int fd = mkstemp(path);

    (void)state;
    magnetic_builtin(&magnetic);
    job_init(&job);
    job_set(&job, "target", "longitude", "21.5E", why);
    job_set(&job, "target", "polarisation", "V", why);
    job_set(&job, "meter finder", "unit", "dBuV", why);
    procedure_builtin("linear", &procedure);
    close(fd);
    unlink(path);
    return log_create(&writer, path, &job, &procedure);
}

static int tear_down(void **state)
{
    (void)state;
    log_close(&writer);
    unlink(path);
    memcpy(path + strlen(path) - 6, "XXXXXX", 6);
    return 0;
}

static void every_kind_comes_back_as_it_was(void **state)
{
    struct record records[RECORD_KIND_COUNT];
    size_t n = every_kind(records);

    (void)state;
    for (size_t i = 0; i < n; i++) {
        char line[LOG_LINE_SIZE], again[LOG_LINE_SIZE], why[RECORD_TEXT_SIZE];
        struct record back;

        assert_true(record_format(&records[i], line, sizeof line) > 0);
        assert_int_equal(record_parse(line, &back, why), 0);
        assert_int_equal(back.kind, records[i].kind);
        expect_near(back.t, records[i].t, 0.0);
        assert_true(record_format(&back, again, sizeof again) > 0);
        assert_string_equal(again, line);
    }
}

static void assert_same_state(const struct state *a, const struct state *b)
{
    for (int i = 0; i < AXIS_COUNT; i++) {
        expect_near(b->measured.deg[i], a->measured.deg[i], 0.0);
        expect_near(b->measured.nudged_deg[i], a->measured.nudged_deg[i], 0.0);
        expect_near(b->measured.counted_deg[i], a->measured.counted_deg[i], 0.0);
        expect_near(b->target.deg[i], a->target.deg[i], 0.0);
    }
    expect_near(b->site.lat_deg, a->site.lat_deg, 0.0);
    expect_near(b->site.height_m, a->site.height_m, 0.0);
    expect_near(b->utc_s, a->utc_s, 0.0);
    expect_near(b->field.declination_deg, a->field.declination_deg, 0.0);
    expect_near(b->level.value, a->level.value, 0.0);
    expect_near(b->level.filter.level, a->level.filter.level, 0.0);
    expect_near(b->level.best, a->level.best, 0.0);
    assert_int_equal(b->level.unit, a->level.unit);
    assert_string_equal(b->lock.id, a->lock.id);
    expect_near(b->aux[0].value, a->aux[0].value, 0.0);
    assert_int_equal(b->sources[0].status, a->sources[0].status);
    assert_int_equal(b->sources[0].bad, a->sources[0].bad);
    assert_string_equal(b->step.name, a->step.name);
    assert_string_equal(b->advice.say, a->advice.say);
    assert_int_equal(b->note_count, a->note_count);
    assert_int_equal(b->trend_count, a->trend_count);
    expect_near(b->t, a->t, 0.0);
}

static void a_log_read_back_gives_the_same_state(void **unused)
{
    struct record records[RECORD_KIND_COUNT], record;
    size_t n = every_kind(records), read = 0;
    struct state *live = calloc(1, sizeof *live), *again = calloc(1, sizeof *again);
    struct log_reader reader;
    char why[JOB_ERROR_SIZE];

    (void)unused;
    state_init(live, &job, &magnetic);
    for (size_t i = 0; i < n; i++) {
        state_apply(live, &records[i]);
        assert_int_equal(log_write(&writer, &records[i]), 0);
    }
    assert_int_equal(log_close(&writer), 0);
    assert_int_equal(log_reader_open(&reader, path, &job_read_back, &procedure_read_back, why), 0);
    assert_int_equal(procedure_read_back.step_count, procedure.step_count);
    assert_int_equal(job_read_back.meters[0].unit, LEVEL_DBUV);
    state_init(again, &job_read_back, &magnetic);
    while (log_reader_next(&reader, &record, why) == 1) {
        state_apply(again, &record);
        read++;
    }
    log_reader_close(&reader);
    assert_int_equal(read, n);
    assert_true(live->target.known);
    assert_same_state(live, again);
    free(live);
    free(again);
}

static void a_half_written_last_line_is_cut_away(void **state)
{
    struct record note = {.t = 1.0, .kind = RECORD_NOTE}, record;
    struct log_reader reader;
    char why[JOB_ERROR_SIZE];
    int fd, read = 0;

    (void)state;
    strcpy(note.note.text, "before");
    assert_int_equal(log_write(&writer, &note), 0);
    assert_int_equal(log_close(&writer), 0);
    fd = open(path, O_WRONLY | O_APPEND);
    assert_int_equal(write(fd, "{\"t\":2.0,\"no", 12), 12);
    close(fd);
    assert_int_equal(log_append(&writer, path), 0);
    assert_int_equal(log_mend(&writer), 0);
    note.t = 3.0;
    assert_int_equal(log_write(&writer, &note), 0);
    assert_int_equal(log_close(&writer), 0);
    assert_int_equal(log_reader_open(&reader, path, &job_read_back, &procedure_read_back, why), 0);
    while (log_reader_next(&reader, &record, why) == 1) {
        read++;
    }
    log_reader_close(&reader);
    assert_int_equal(read, 2);
    expect_near(record.t, 3.0, 0.0);
}

/* By whatever name: the lock lies on the file. It is gone with the one who held it. */
/* A file that may not grow stands for a full disk: when there is room again, nothing is lost that
 * found a place in the buffer, and what found none is counted. */
static void a_full_disk_is_known_of_and_got_over(void **state)
{
    struct record note = {.kind = RECORD_NOTE, .note.text = "wind is rising"};
    struct rlimit found, tight;
    int r = 0, records = 0, read = 0;
    char why[JOB_ERROR_SIZE];
    struct log_reader reader;

    (void)state;
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &found), 0);
    tight = (struct rlimit){.rlim_cur = 8192, .rlim_max = found.rlim_max};
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &tight), 0);
    for (; r == 0 && records < 10000; records++) {
        note.t = records;
        r = log_write(&writer, &note);
    }
    assert_int_equal(r, -EFBIG);
    assert_int_equal(writer.fault, -EFBIG);
    assert_int_equal(writer.lost, 0);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &found), 0);
    assert_int_equal(log_flush(&writer), 0);
    assert_int_equal(writer.fault, 0);

    tight.rlim_cur = 0;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &tight), 0);
    while (writer.lost < 2) {
        note.t = records++;
        assert_int_equal(log_write(&writer, &note), -EFBIG);
    }
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &found), 0);
    assert_int_equal(log_close(&writer), 0);
    assert_int_equal(log_reader_open(&reader, path, &job_read_back, &procedure_read_back, why), 0);
    while (log_reader_next(&reader, &note, why) == 1) {
        read++;
    }
    log_reader_close(&reader);
    assert_int_equal(read, records - 2);
}

static void a_log_has_one_writer(void **state)
{
    struct log_writer second;
    char other[sizeof path + 8];

    (void)state;
    snprintf(other, sizeof other, "%s.link", path);
    assert_int_equal(link(path, other), 0);
    assert_int_equal(log_append(&second, path), -EBUSY);
    assert_int_equal(log_append(&second, other), -EBUSY);
    assert_int_equal(log_close(&writer), 0);
    assert_int_equal(log_append(&second, other), 0);
    assert_int_equal(log_append(&writer, path), -EBUSY);
    assert_int_equal(log_close(&second), 0);
    unlink(other);
}

/*
 * A hand passes over the top of a lobe, 2.4 degrees wide, half a degree a second, and a meter says
 * so 0.6 s late: the level is a mean and is sure only later, but the best was at the top.
 */
static void the_best_is_where_it_was(void **unused)
{
    static const double top_deg = 35.0, width_deg = 2.4, rate = 0.5, lag_s = 0.6;
    struct state *state = calloc(1, sizeof *state);
    struct job *own = calloc(1, sizeof *own);
    char why[JOB_ERROR_SIZE];

    (void)unused;
    job_init(own);
    assert_int_equal(job_set(own, "meter meter", "lag", "0.6", why), 0);
    state_init(state, own, &magnetic);
    for (int i = 0; i <= 60; i++) {
        double t = 0.2 * i, off = (32.0 + rate * (t - lag_s) - top_deg) / width_deg;
        struct record angles = {.t = t, .kind = RECORD_ANGLES};
        struct record level = {.t = t, .kind = RECORD_LEVEL};
        angles.angles = (struct record_angles){.deg = {(double)NAN, 32.0 + rate * t, (double)NAN}};
        level.level.value = 13.0 - 12.0 * off * off + 0.1 * ((i * 7) % 5 - 2);
        state_apply(state, &angles);
        state_apply(state, &level);
    }
    /* within half of what the hand passes over while the shortest means are taken, 1.6 s or so */
    expect_near(state->level.best_deg[AXIS_ELEVATION], top_deg, 0.4);
    assert_true(isnan(state->level.best_deg[AXIS_AZIMUTH]));
    free(own);
    free(state);
}

/*
 * Pushed and pulled, an antenna beside its top comes nearer to it: it does not stand there. The
 * meter says so 0.6 s late, and a hand takes a second to let go.
 */
static void a_push_makes_no_best(void **unused)
{
    static const struct {
        double t;
        enum advice_move move;
        double level;
    } rows[] = {
        {0.0, ADVICE_HOLD, 12.0},  {10.0, ADVICE_PUSH, 11.0},
        {15.0, ADVICE_PULL, 13.0}, {20.0, ADVICE_HOLD, 13.0}, /* it has not let go yet */
        {22.0, ADVICE_HOLD, 12.0}, {30.0, ADVICE_HOLD, 12.6},
    };
    struct state *state = calloc(1, sizeof *state);
    double best[6];

    (void)unused;
    job_init(&job);
    state_init(state, &job, &magnetic);
    for (size_t i = 0; i < 6; i++) {
        double end = i < 5 ? rows[i + 1].t : 45.0;
        struct record advice = {.t = rows[i].t, .kind = RECORD_ADVICE};
        advice.advice = (struct advice){.axis = AXIS_AZIMUTH, .move = rows[i].move, .deg = NAN};
        state_apply(state, &advice);
        for (int k = 1; rows[i].t + 0.5 * k < end; k++) {
            struct record level = {.t = rows[i].t + 0.5 * k, .kind = RECORD_LEVEL};
            level.level.value = rows[i].level + 0.05 * (k % 2);
            state_apply(state, &level);
        }
        best[i] = state->level.best;
    }
    expect_near(best[0], 12.0, 0.1);
    for (size_t i = 1; i < 5; i++) {
        expect_near(best[i], best[0], 0.0);
    }
    expect_near(best[5], 12.6, 0.1); /* what is met later counts again */
    free(state);
}

/* A source is as healthy as its readings are many, whatever its meter is called. */
static void levels_count_for_the_source_that_reads_the_meter(void **unused)
{
    static const char *const keys[][3] = {{"meter finder", "unit", "dB"},
                                          {"source position", "address", "gpsd://localhost:2947"},
                                          {"source cable", "address", "serial:/dev/ttyUSB0"},
                                          {"source cable", "meter", "finder"}};
    static const char *const names[] = {"position", "cable", "finder"};
    static const unsigned long counts[] = {0, 3, 0};
    struct state *state = calloc(1, sizeof *state);
    struct job *own = calloc(1, sizeof *own);
    char why[JOB_ERROR_SIZE];

    (void)unused;
    job_init(own);
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        assert_int_equal(job_set(own, keys[i][0], keys[i][1], keys[i][2], why), 0);
    }
    state_init(state, own, &magnetic);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        struct record up = {.kind = RECORD_SOURCE, .source.status = SOURCE_UP};
        strcpy(up.source.name, names[i]);
        state_apply(state, &up);
    }
    for (int i = 0; i < 3; i++) {
        struct record level = {.t = 1.0 + i, .kind = RECORD_LEVEL, .level.value = 12.0};
        strcpy(level.level.meter, "finder");
        state_apply(state, &level);
    }
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        assert_int_equal(state->sources[i].count, counts[i]);
    }
    expect_near(state->sources[1].last_t, 3.0, 0.0);
    free(own);
    free(state);
}

static void an_azimuth_turned_over_north_begins_anew(void **unused)
{
    struct job *own = calloc(1, sizeof *own);
    struct state *state = calloc(1, sizeof *state);
    struct record angles = {.t = 1.0, .kind = RECORD_ANGLES};
    struct record move = {.t = 2.0, .kind = RECORD_MOVE};

    (void)unused;
    job_init(own);
    state_init(state, own, &magnetic);
    angles.angles.deg[AXIS_AZIMUTH] = 359.9;
    angles.angles.deg[AXIS_ELEVATION] = NAN;
    angles.angles.deg[AXIS_SKEW] = NAN;
    state_apply(state, &angles);
    move.move.axis = AXIS_AZIMUTH;
    move.move.deg = 0.3;
    move.move.turns = NAN;
    state_apply(state, &move);
    expect_near(state_stands_deg(state, AXIS_AZIMUTH), 0.2, 1e-9);
    assert_true(isnan(state_stands_deg(state, AXIS_ELEVATION)));
    free(state);
    free(own);
}

static void bad_lines_are_refused(void **state)
{
    static const char *const lines[] = {
        "",
        "[]",
        "{\"t\":1}",
        "{\"level\":{\"value\":1,\"unit\":\"dB\"}}",
        "{\"t\":-1,\"note\":{\"text\":\"x\"}}",
        "{\"t\":1,\"level\":{\"unit\":\"dB\"}}",
        "{\"t\":1,\"level\":{\"value\":1,\"unit\":\"cats\"}}",
        "{\"t\":1,\"fix\":{\"mode\":3,\"lat\":95,\"lon\":1}}",
        "{\"t\":1,\"move\":{\"axis\":\"azimuth\"}}",
        "{\"t\":1,\"lock\":{\"locked\":1}}",
        "{\"t\":1,\"step\":{\"event\":\"jump\"}}",
        "{\"t\":1,\"advice\":{\"move\":\"sideways\"}}",
        "{\"t\":1,\"source\":{\"status\":\"lost\"}}",
    };

    (void)state;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        char why[RECORD_TEXT_SIZE] = "";
        struct record record = {.t = 777.0};
        assert_int_equal(record_parse(lines[i], &record, why), -EINVAL);
        assert_true(why[0] != '\0');
        expect_near(record.t, 777.0, 0.0);
    }
    assert_int_equal(log_create(&writer, path, &job, &procedure), -EEXIST);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_kind_comes_back_as_it_was, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_log_read_back_gives_the_same_state, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_half_written_last_line_is_cut_away, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_full_disk_is_known_of_and_got_over, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_log_has_one_writer, set_up, tear_down),
        cmocka_unit_test(the_best_is_where_it_was),
        cmocka_unit_test(a_push_makes_no_best),
        cmocka_unit_test(levels_count_for_the_source_that_reads_the_meter),
        cmocka_unit_test(an_azimuth_turned_over_north_begins_anew),
        cmocka_unit_test_setup_teardown(bad_lines_are_refused, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
