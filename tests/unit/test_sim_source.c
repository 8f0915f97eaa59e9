/* The simulated mount as a source of records. */
#include "expect.h"

#include <errno.h>
#include <string.h>

#include "source/source.h"

static struct job job;

static struct source open_sim(const char *address)
{
    struct source_setup setup = {.job = &job};
    struct source source = {.ops = NULL};
    char why[RECORD_TEXT_SIZE] = "";

    if (source_open(&source, address, &setup, why) < 0) {
        fail_msg("%s", why);
    }
    return source;
}

/* The next record of a kind until t; the test fails when none comes. */
static struct record await(struct source *source, enum record_kind kind, double t)
{
    struct record record = {.t = 0.0};

    for (double now = 0.0; now <= t; now = source->ops->wake(source->self)) {
        while (source->ops->read(source->self, now, &record) == 1) {
            if (record.kind == kind) {
                return record;
            }
        }
    }
    fail_msg("no %s until %g s", record_kind_name(kind), t);
    return record;
}

static void tell_move(struct source *source, double t, enum axis axis, double deg, double turns)
{
    struct record said = {.t = t, .kind = RECORD_MOVE};

    said.move.axis = axis;
    said.move.deg = deg;
    said.move.turns = turns;
    source->ops->tell(source->self, t, &said);
}

static void advise(struct source *source, double t, enum advice_move move, enum advice_until until)
{
    struct advice advice = {
        .axis = AXIS_NONE, .move = move, .deg = NAN, .turns = NAN, .rate = NAN, .until = until};

    strcpy(advice.say, "Ladder secured.");
    source->ops->advise(source->self, t, &advice);
}

static void a_wrong_address_says_what_is_allowed(void **state)
{
    static const struct {
        const char *address, *says;
        int want;
    } rows[] = {
        {"sim:", "after sim: comes a scenario", -EINVAL},
        {"sim:no-such-place", "no-such-place: no scenario", -ENOENT},
        {"sim:hut?hand=lazy", "not one of careful, hasty, clumsy, deaf", -EINVAL},
        {"sim:hut?seed=x", "after ? comes hand=MODEL or seed=NUMBER", -EINVAL},
        {"sim:hut?seed=1.5", "after ? comes hand=MODEL or seed=NUMBER", -EINVAL},
        {"sim:hut?hand=careful&mood=good", "mood=good: after ?", -EINVAL},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct source_setup setup = {.job = &job};
        struct source source = {.ops = NULL};
        char why[RECORD_TEXT_SIZE] = "";
        assert_int_equal(source_open(&source, rows[i].address, &setup, why), rows[i].want);
        assert_null(source.ops);
        if (!strstr(why, rows[i].says)) {
            fail_msg("%s: it says \"%s\", not \"%s\"", rows[i].address, why, rows[i].says);
        }
    }
}

static void everything_a_mount_has_comes_as_records(void **state)
{
    struct source source = open_sim("sim:hut");
    struct record record = await(&source, RECORD_SOURCE, 10.0);

    (void)state;
    assert_int_equal(record.source.status, SOURCE_UP);
    record = await(&source, RECORD_LEVEL, 10.0);
    assert_string_equal(record.level.meter, "finder"); /* the scenario's, the job names none */
    assert_int_equal(record.level.unit, LEVEL_DB);
    record = await(&source, RECORD_ANGLES, 10.0);
    assert_true(record.angles.magnetic);
    assert_false(record.angles.scale);
    record = await(&source, RECORD_UTC, 10.0);
    expect_near(record.utc.unix_s, 1778578200.0 + record.t, 1e-6); /* 2026-05-12T09:30:00Z */
    record = await(&source, RECORD_FIX, 10.0);
    expect_near(record.fix.lat_deg, 46.6, 0.001);
    assert_int_equal(record.fix.mode, 3);
    source_close(&source);
}

static void the_operators_moves_turn_the_mount(void **state)
{
    struct source source = open_sim("sim:hut");
    double before = await(&source, RECORD_ANGLES, 10.0).angles.deg[AXIS_ELEVATION];
    struct record record;

    (void)state;
    tell_move(&source, 0.3, AXIS_ELEVATION, 5.0, NAN);
    tell_move(&source, 0.3, AXIS_ELEVATION, NAN, 2.0); /* of a bolt of 1.2 degrees */
    do {
        record = await(&source, RECORD_ANGLES, 20.0);
    } while (record.t < 10.0);
    /* a hand is off by a tenth, a fifth at most; the play is 0.05 each way */
    expect_near(record.angles.deg[AXIS_ELEVATION], before + 7.4, 0.2 * 7.4 + 0.2);
    source_close(&source);
}

static void printed_scales_are_read_out_where_they_are_all_there_is(void **state)
{
    struct source source = open_sim("sim:hut-scale");
    struct record record = await(&source, RECORD_ANGLES, 10.0);
    double before;

    (void)state;
    assert_true(record.angles.scale);
    expect_near(record.angles.deg[AXIS_AZIMUTH], 145.0, 0.25);
    record = await(&source, RECORD_ANGLES, 10.0);
    assert_true(isnan(record.angles.deg[AXIS_AZIMUTH]));
    before = record.angles.deg[AXIS_ELEVATION];
    expect_near(before, 7.8, 0.25); /* 30 less 22.2 */
    await(&source, RECORD_ANGLES, 10.0);
    tell_move(&source, 2.0, AXIS_ELEVATION, 4.0, NAN);
    record = await(&source, RECORD_ANGLES, 20.0);
    expect_near(record.angles.deg[AXIS_ELEVATION], before + 4.0, 0.2 * 4.0 + 0.35);
    source_close(&source);
}

static void a_hand_obeys_and_answers(void **state)
{
    struct source source = open_sim("sim:hut?hand=careful&seed=2");

    (void)state;
    await(&source, RECORD_FIX, 10.0);
    advise(&source, 3.0, ADVICE_CONFIRM, UNTIL_ANSWER);
    assert_int_equal(await(&source, RECORD_STEP, 10.0).step.event, STEP_DONE);
    source_close(&source);
}

static void the_end_of_the_procedure_brings_the_truth_to_light_once(void **state)
{
    struct source source = open_sim("sim:hut");
    struct record record;

    (void)state;
    await(&source, RECORD_FIX, 10.0);
    advise(&source, 3.0, ADVICE_DONE, UNTIL_NONE);
    record = await(&source, RECORD_NOTE, 3.0);
    assert_int_equal(strncmp(record.note.text, "simulated mount: true pointing loss ", 36), 0);
    advise(&source, 4.0, ADVICE_DONE, UNTIL_NONE);
    for (double t = 4.0; t < 10.0; t = source.ops->wake(source.self)) {
        while (source.ops->read(source.self, t, &record) == 1) {
            assert_int_not_equal(record.kind, RECORD_NOTE);
        }
    }
    source_close(&source);
}

static void bolts_are_tight_when_the_player_says_so(void **state)
{
    struct source source = open_sim("sim:hut");
    struct record done = {.t = 3.0, .kind = RECORD_STEP, .step.event = STEP_DONE}, record;
    double loose = 0.0, tight = 0.0;
    int n = 0;

    (void)state;
    while ((record = await(&source, RECORD_ANGLES, 20.0)).t < 8.0) {
        loose += record.angles.deg[AXIS_AZIMUTH];
        n++;
    }
    loose /= n;
    advise(&source, 8.0, ADVICE_TIGHTEN, UNTIL_ANSWER);
    source.ops->tell(source.self, 8.0, &done);
    while (await(&source, RECORD_ANGLES, 20.0).t < 14.0) {
    }
    n = 0;
    while ((record = await(&source, RECORD_ANGLES, 40.0)).t < 22.0) {
        tight += record.angles.deg[AXIS_AZIMUTH];
        n++;
    }
    tight /= n;
    /* the scenario gives 0.12 degrees; means of forty readings of 0.06 are sure to 0.01 */
    expect_near(tight - loose, 0.12, 0.06);
    source_close(&source);
}

/* Mean azimuth from a while after the advice at t on: of n readings. */
static double azimuth_after(struct source *source, double t, enum axis axis, enum advice_move move)
{
    struct advice advice = {
        .axis = axis, .move = move, .deg = NAN, .turns = NAN, .rate = NAN, .until = UNTIL_DWELL};
    struct record record;
    double sum = 0.0;
    int n = 0;

    source->ops->advise(source->self, t, &advice);
    while ((record = await(source, RECORD_ANGLES, t + 20.0)).t < t + 12.0) {
        if (record.t > t + 2.0) {
            sum += record.angles.deg[AXIS_AZIMUTH];
            n++;
        }
    }
    assert_true(n >= 20);
    return sum / n;
}

/* Nobody can push an antenna that is not there; with a technician it is that one's to do. */
static void the_simulation_pushes_where_nobody_else_does(void **state)
{
    struct source source = open_sim("sim:hut"), handed = open_sim("sim:hut?hand=careful&seed=2");
    double at_rest = azimuth_after(&source, 0.0, AXIS_NONE, ADVICE_HOLD);
    double pushed = azimuth_after(&source, 13.0, AXIS_AZIMUTH, ADVICE_PUSH);
    double pulled = azimuth_after(&source, 26.0, AXIS_AZIMUTH, ADVICE_PULL);
    double other = azimuth_after(&source, 39.0, AXIS_ELEVATION, ADVICE_PUSH);
    double left_alone = azimuth_after(&source, 52.0, AXIS_NONE, ADVICE_HOLD);

    (void)state;
    /* 0.15 of the beam of 0.75 m at 11.7 GHz (2.4 degrees), by a hand that is off by a fifth at
     * most; means of readings of 0.06 degrees */
    expect_near(pushed - at_rest, -0.36, 0.36 * 0.2 + 0.06);
    expect_near(pulled - at_rest, 0.36, 0.36 * 0.2 + 0.06);
    expect_near(other, at_rest, 0.06);
    expect_near(left_alone, at_rest, 0.06);
    at_rest = azimuth_after(&handed, 0.0, AXIS_NONE, ADVICE_HOLD);
    pulled = azimuth_after(&handed, 13.0, AXIS_AZIMUTH, ADVICE_PULL);
    expect_near(pulled - at_rest, 0.36, 0.36 * 0.2 + 0.06);
    source_close(&source);
    source_close(&handed);
}

static void time_never_runs_back_and_one_seed_gives_one_session(void **state)
{
    struct source one = open_sim("sim:hut?hand=careful&seed=5");
    struct source two = open_sim("sim:hut?hand=careful&seed=5");
    struct record a, b;
    char line_a[1024], line_b[1024];
    double last = 0.0;

    (void)state;
    advise(&one, 0.0, ADVICE_CONFIRM, UNTIL_ANSWER);
    advise(&two, 0.0, ADVICE_CONFIRM, UNTIL_ANSWER);
    for (int i = 0; i < 500; i++) {
        double t = one.ops->wake(one.self);
        assert_true(t >= last);
        if (one.ops->read(one.self, t, &a) != 1) {
            continue;
        }
        assert_true(a.t >= last);
        last = a.t;
        while (two.ops->read(two.self, two.ops->wake(two.self), &b) != 1) {
        }
        assert_true(record_format(&a, line_a, sizeof line_a) > 0);
        assert_true(record_format(&b, line_b, sizeof line_b) > 0);
        assert_string_equal(line_a, line_b);
    }
    source_close(&one);
    source_close(&two);
}

static int set_up(void **state)
{
    (void)state;
    job_init(&job);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_wrong_address_says_what_is_allowed),
        cmocka_unit_test(everything_a_mount_has_comes_as_records),
        cmocka_unit_test(the_operators_moves_turn_the_mount),
        cmocka_unit_test(printed_scales_are_read_out_where_they_are_all_there_is),
        cmocka_unit_test(a_hand_obeys_and_answers),
        cmocka_unit_test(the_end_of_the_procedure_brings_the_truth_to_light_once),
        cmocka_unit_test(bolts_are_tight_when_the_player_says_so),
        cmocka_unit_test(the_simulation_pushes_where_nobody_else_does),
        cmocka_unit_test(time_never_runs_back_and_one_seed_gives_one_session),
    };
    return cmocka_run_group_tests(tests, set_up, NULL);
}
