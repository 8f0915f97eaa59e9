/*
 * The step that brings skew to its angle, held against an antenna written down here: the wanted
 * port gets cos^2 of the power, the other one sin^2, both over noise (peaking/skew.h has the
 * source), and the hand does what it is told.
 */
#include "given.h"

#include <stdlib.h>
#include <string.h>

#include "chance.h"
#include "tell_coach.h"

static const double rad = 0.017453292519943295769;
static const double tick_s = 0.25, hand_deg_s = 6.0, patience_s = 300.0;

static struct job job;
static struct state state;
static struct procedure procedure;
static struct coach coach;
static struct chance chance;

/* The antenna and who turns it. */
static struct {
    double skew_deg;   /* true */
    double null_deg;   /* where the other port's null really is */
    double shows_more; /* sensor or scale, against the truth */
    double play_deg;
    double bolt_deg; /* ahead of the antenna by up to half of the play */
    double carrier_db, noise_db;
    double fade_db; /* the wave is weaker by so much on the way to the last station and after */
    bool has_cross, depends;
    bool percent;
    double overrun_deg; /* the hand goes on by so much, once */
    bool told_hold;
    double reads_deg; /* of the scale */
} mount;

/* What came of it. */
static char result[RECORD_TEXT_SIZE];
static bool coached, done;
static int turns;

static int set_up(void **unused)
{
    (void)unused;
    job_init(&job);
    given_hut(&job);
    given_job(&job, "mount", "skew_from", "sensor");
    given_job(&job, "mount", "skew_sensor_error", "0.2");
    given_job(&job, "meter finder", "unit", "dB");
    given_job(&job, "meter finder", "lag", "0.3");
    procedure_init(&procedure, "test");
    given_step(&procedure, "step null skew", "do", "null");
    given_step(&procedure, "step null skew", "axis", "skew");
    given_step(&procedure, "step close", "do", "record");
    memset(&mount, 0, sizeof mount);
    mount.carrier_db = 13.0;
    mount.noise_db = 0.1;
    mount.has_cross = mount.depends = true;
    mount.reads_deg = 2.0;
    chance.state = 11;
    return 0;
}

/* --- what the antenna gives ------------------------------------------------------------------ */

static double metered(double share)
{
    double fade = coached && coach.skew.station > 1 ? mount.fade_db : 0.0;
    double wave = pow(10.0, (mount.carrier_db - fade) / 10.0);
    double db = 10.0 * log10(1.0 + wave * (mount.depends ? share : 1.0)) +
                chance_normal(&chance, mount.noise_db);

    return mount.percent ? 160.0 * (1.0 - exp(-db / 20.0)) : db;
}

static void note(const struct record *made)
{
    if (made->kind == RECORD_STEP && made->step.event == STEP_LEAVE && made->step.number == 1) {
        strcpy(result, made->step.result);
        done = true;
    }
    turns += made->kind == RECORD_ADVICE && made->advice.move <= ADVICE_ANTICLOCKWISE;
}

static void hear(struct record record)
{
    record.t = fmax(record.t, state.t);
    if (coached) {
        tell_coach(&coach, &state, &record, note);
    } else {
        state_apply(&state, &record);
    }
}

static void show_angle(double deg, bool scale)
{
    struct record record = {.t = state.t, .kind = RECORD_ANGLES};

    for (int i = 0; i < AXIS_COUNT; i++) {
        record.angles.deg[i] = NAN;
    }
    record.angles.deg[AXIS_SKEW] = deg;
    record.angles.scale = scale;
    hear(record);
}

static void show_levels(void)
{
    double off = (mount.skew_deg - mount.null_deg) * rad;
    struct record level = {.t = state.t, .kind = RECORD_LEVEL};
    struct record cross = {.t = state.t, .kind = RECORD_AUX};

    level.level.value = metered(cos(off) * cos(off));
    level.level.unit = mount.percent ? LEVEL_PERCENT : LEVEL_DB;
    strcpy(level.level.meter, "finder");
    hear(level);
    if (mount.has_cross) {
        strcpy(cross.aux.name, "cross");
        cross.aux.value = metered(sin(off) * sin(off));
        hear(cross);
    }
}

/* --- what the hand does ---------------------------------------------------------------------- */

static void turn_bolt(double deg)
{
    mount.bolt_deg += deg;
    mount.skew_deg = fmin(fmax(mount.skew_deg, mount.bolt_deg - mount.play_deg / 2.0),
                          mount.bolt_deg + mount.play_deg / 2.0);
}

static void say_move(double deg)
{
    struct record record = {.t = state.t, .kind = RECORD_MOVE};

    record.move.axis = AXIS_SKEW;
    record.move.deg = deg;
    record.move.turns = NAN;
    hear(record);
}

static void say_done(void)
{
    hear((struct record){.t = state.t, .kind = RECORD_STEP, .step = {.event = STEP_DONE}});
}

/* "Set the skew closely to 3.1 on the scale": set exactly, told to the nearest line. */
static void set_scale(const char *say)
{
    double number = strtod(strpbrk(say, "-0123456789"), NULL);

    turn_bolt(number - mount.shows_more - mount.skew_deg);
    show_angle(mount.reads_deg * round(number / mount.reads_deg), true);
}

static void obey(void)
{
    const struct advice *advice = &state.advice;
    enum job_axis_from from = job.mount.axes[AXIS_SKEW].from;
    double way = advice->move == ADVICE_CLOCKWISE ? 1.0 : -1.0;

    if (advice->move == ADVICE_CONFIRM && advice->axis == AXIS_SKEW) {
        set_scale(advice->say);
    } else if (advice->move == ADVICE_CLOCKWISE || advice->move == ADVICE_ANTICLOCKWISE) {
        double deg =
            way * (from == JOB_FROM_SENSOR ? fmin(advice->deg, hand_deg_s * tick_s) : advice->deg);
        turn_bolt(deg);
        if (from != JOB_FROM_SENSOR) {
            say_move(deg);
        }
    } else if (strstr(advice->say, "looking at the skew") && mount.overrun_deg != 0.0) {
        turn_bolt(mount.overrun_deg);
        mount.overrun_deg = 0.0;
    }
}

static void tick(void)
{
    state.t += tick_s;
    if (job.mount.axes[AXIS_SKEW].from == JOB_FROM_SENSOR) {
        show_angle(mount.skew_deg + mount.shows_more + chance_normal(&chance, 0.1), false);
    }
    show_levels();
}

/* The antenna stands `off` from what the job says is right; the null is at `null_off` from it. */
static void begin(double off, double null_off)
{
    struct record level = {.kind = RECORD_LEVEL, .level = {.unit = LEVEL_DB}};

    begin_coach(&coach, &state, &job, &procedure);
    coached = done = false;
    turns = 0;
    hear(level);
    mount.null_deg = state.target.deg[AXIS_SKEW] + null_off;
    mount.skew_deg = mount.bolt_deg = state.target.deg[AXIS_SKEW] + off;
    /* the meter has been on for a while before the step is entered, and knows its noise */
    for (int i = 0; i < 20; i++) {
        tick();
    }
    if (job.mount.axes[AXIS_SKEW].from == JOB_FROM_SCALE) {
        show_angle(mount.reads_deg * round((mount.skew_deg + mount.shows_more) / mount.reads_deg),
                   true);
    }
    coached = true;
}

static void work(void)
{
    while (!done && state.t < patience_s) {
        tick();
        if (!done) {
            obey();
        }
    }
    assert_true(done);
}

static double off_null(void)
{
    return mount.skew_deg - mount.null_deg;
}

/* --- by the null ------------------------------------------------------------------------------ */

static void the_null_is_found_by_a_sensor(void **unused)
{
    (void)unused;
    begin(0.8, 0.0);
    work();
    expect_near(off_null(), 0.0, 0.3);
    assert_non_null(strstr(result, "by the other polarisation's null, sure to 0."));
}

/* A satellite whose frame is turned by 4 degrees, which the job does not know. */
static void the_null_counts_where_the_angle_contradicts_it(void **unused)
{
    (void)unused;
    begin(0.0, 4.0);
    work();
    expect_near(off_null(), 0.0, 0.4);
}

/* Far off it is read twice: the second time about where it was found. */
static void far_from_the_null_it_is_looked_for_twice(void **unused)
{
    (void)unused;
    begin(0.0, 9.0);
    work();
    assert_int_equal(coach.skew.round, 1);
    expect_near(off_null(), 0.0, 0.4);
}

/* 0.8 dB less at the last station: half a degree, were it not known from the other port. */
static void fading_between_the_stations_is_allowed_for(void **unused)
{
    (void)unused;
    mount.noise_db = 0.05;
    mount.fade_db = 0.8;
    begin(0.0, 0.0);
    work();
    expect_near(off_null(), 0.0, 0.25);
}

static void a_meter_in_percent_will_do(void **unused)
{
    (void)unused;
    given_job(&job, "meter finder", "unit", "percent");
    mount.percent = true;
    begin(1.0, 0.0);
    work();
    expect_near(off_null(), 0.0, 0.35);
}

static void a_hand_that_went_on_is_called_back(void **unused)
{
    (void)unused;
    mount.overrun_deg = 1.5;
    begin(0.5, 0.0);
    work();
    expect_near(mount.overrun_deg, 0.0, 0.0);
    assert_int_equal(coach.skew.checks, 2);
    expect_near(off_null(), 0.0, 0.3);
}

/* Both polarisations full of carriers: total power does not change with skew. */
static void a_level_that_does_not_tell_leaves_it_where_it_was(void **unused)
{
    (void)unused;
    mount.depends = false;
    begin(0.5, 0.0);
    work();
    assert_non_null(strstr(result, "skew stays where it stands"));
    expect_near(mount.skew_deg - state.target.deg[AXIS_SKEW], 0.5, 0.3);
}

static void by_a_coarse_scale_the_null_is_set_between_its_lines(void **unused)
{
    (void)unused;
    given_job(&job, "mount", "skew_from", "scale");
    mount.shows_more = 0.4;
    begin(0.6, 0.0);
    work();
    assert_int_equal(turns, 0); /* numbers to set, no turns */
    expect_near(off_null(), 0.0, 0.3);
}

/* Counted turns: both stations and the middle are come to from the same side, so that the play
 * never counts. */
static void play_does_not_shift_the_null_by_counted_turns(void **unused)
{
    (void)unused;
    given_job(&job, "mount", "skew_from", "nudges");
    given_job(&job, "mount", "skew_turn", "4");
    given_job(&job, "mount", "skew_backlash", "1.2");
    mount.play_deg = 1.2;
    begin(1.0, 0.0);
    work();
    /* an eighth of a turn is half a degree */
    expect_near(off_null(), 0.0, 0.5);
}

/* --- without the other port ------------------------------------------------------------------- */

static void without_the_other_port_a_sensor_is_believed(void **unused)
{
    (void)unused;
    mount.has_cross = false;
    begin(0.3, 0.0);
    work();
    assert_int_equal(turns, 0);
    assert_non_null(strstr(result, "the meter does not show the other polarisation"));
}

static void without_it_counted_turns_go_by_equal_drops(void **unused)
{
    (void)unused;
    given_job(&job, "mount", "skew_from", "nudges");
    given_job(&job, "mount", "skew_turn", "4");
    mount.has_cross = false;
    mount.noise_db = 0.05;
    begin(4.0, 0.0);
    work();
    assert_non_null(strstr(result, "by equal drops to both sides"));
    expect_near(off_null(), 0.0, 1.5);
}

static void nothing_to_count_by_leaves_it(void **unused)
{
    (void)unused;
    given_job(&job, "mount", "skew_from", "nudges");
    begin(4.0, 0.0);
    work();
    assert_non_null(strstr(result, "no count of turns tells how far it is turned"));
}

static void circular_polarisation_has_no_skew(void **unused)
{
    (void)unused;
    given_job(&job, "target", "polarisation", "RHCP");
    begin(0.0, 0.0);
    work();
    assert_non_null(strstr(result, "there is none to set with circular polarisation"));
}

/* --- the operator ------------------------------------------------------------------------------
 */

static void done_while_it_reads_ends_it(void **unused)
{
    (void)unused;
    begin(0.5, 0.0);
    tick();
    assert_non_null(strstr(state.advice.say, "Hands off, reading the other polarisation."));
    say_done();
    assert_true(done);
    assert_string_equal(result, "the operator says that skew is set");
}

static void done_on_a_scale_says_that_it_shows_the_number(void **unused)
{
    (void)unused;
    given_job(&job, "mount", "skew_from", "scale");
    begin(0.0, 0.0);
    while (state.advice.move != ADVICE_CONFIRM && state.t < patience_s) {
        tick();
    }
    say_done();
    assert_false(done);
    assert_int_equal(coach.skew.phase, SKEW_READ);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(the_null_is_found_by_a_sensor, set_up),
        cmocka_unit_test_setup(the_null_counts_where_the_angle_contradicts_it, set_up),
        cmocka_unit_test_setup(far_from_the_null_it_is_looked_for_twice, set_up),
        cmocka_unit_test_setup(fading_between_the_stations_is_allowed_for, set_up),
        cmocka_unit_test_setup(a_meter_in_percent_will_do, set_up),
        cmocka_unit_test_setup(a_hand_that_went_on_is_called_back, set_up),
        cmocka_unit_test_setup(a_level_that_does_not_tell_leaves_it_where_it_was, set_up),
        cmocka_unit_test_setup(by_a_coarse_scale_the_null_is_set_between_its_lines, set_up),
        cmocka_unit_test_setup(play_does_not_shift_the_null_by_counted_turns, set_up),
        cmocka_unit_test_setup(without_the_other_port_a_sensor_is_believed, set_up),
        cmocka_unit_test_setup(without_it_counted_turns_go_by_equal_drops, set_up),
        cmocka_unit_test_setup(nothing_to_count_by_leaves_it, set_up),
        cmocka_unit_test_setup(circular_polarisation_has_no_skew, set_up),
        cmocka_unit_test_setup(done_while_it_reads_ends_it, set_up),
        cmocka_unit_test_setup(done_on_a_scale_says_that_it_shows_the_number, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
