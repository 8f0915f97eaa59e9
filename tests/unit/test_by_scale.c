/* An axis that only a printed scale tells the angle of. */
#include "expect.h"

#include <string.h>

#include "coach/by_scale.h"

static struct job job;
static struct state state;

static void set(const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    if (job_set(&job, "mount", key, value, why) < 0) {
        fail_msg("%s", why);
    }
}

static int set_up(void **unused)
{
    static struct magnetic_model magnetic;

    (void)unused;
    magnetic_builtin(&magnetic);
    job_init(&job);
    set("skew_from", "scale");
    state_init(&state, &job, &magnetic);
    return 0;
}

static bool hear(struct by_scale *axis, const struct record *record)
{
    state_apply(&state, record);
    return by_scale_update(axis, &state, record);
}

static bool shows(struct by_scale *axis, double number)
{
    struct record record = {.t = state.t + 1.0, .kind = RECORD_ANGLES};

    for (int i = 0; i < AXIS_COUNT; i++) {
        record.angles.deg[i] = NAN;
    }
    record.angles.deg[AXIS_SKEW] = number;
    record.angles.scale = true;
    return hear(axis, &record);
}

static void a_scale_is_set_by_its_number_unless_turns_can_be_counted(void **unused)
{
    (void)unused;
    assert_true(by_scale_applies(&state, AXIS_SKEW));
    set("skew_turn", "4");
    assert_false(by_scale_applies(&state, AXIS_SKEW));
    set("azimuth_from", "sensor");
    assert_false(by_scale_applies(&state, AXIS_AZIMUTH));
}

static void no_scale_shows_minus_nought(void **unused)
{
    struct by_scale axis;
    struct advice advice = {.deg = NAN};

    (void)unused;
    by_scale_start(&axis, AXIS_SKEW, -0.04);
    by_scale_advise(&axis, &state, &advice);
    assert_non_null(strstr(advice.say, " to 0.0°"));
}

/* The scale of this mount is 3 degrees off and grows anticlockwise: 3 + 12.1 is to be set. */
static void it_asks_for_the_number_of_the_scale(void **unused)
{
    struct advice advice = {.axis = AXIS_NONE};
    struct by_scale axis;

    (void)unused;
    set("skew_scale_zero", "3");
    set("skew_scale_sense", "-1");
    by_scale_start(&axis, AXIS_SKEW, -12.1);
    by_scale_advise(&axis, &state, &advice);
    assert_non_null(strstr(advice.say, "closely to 15.1°"));
    assert_non_null(strstr(advice.say, "say skew and the number"));
    assert_int_equal(advice.axis, AXIS_SKEW);
    assert_int_equal(advice.move, ADVICE_CONFIRM);
}

static void the_number_asked_for_counts_and_not_the_line_next_to_it(void **unused)
{
    struct by_scale axis;

    (void)unused;
    by_scale_start(&axis, AXIS_SKEW, -12.1);
    assert_true(shows(&axis, -12.0));
    expect_near(axis.stands, -12.1, 1e-9);
}

static void a_slip_is_set_once_more(void **unused)
{
    struct by_scale axis;

    (void)unused;
    by_scale_start(&axis, AXIS_SKEW, -12.1);
    assert_false(shows(&axis, -21.0));
    assert_true(isnan(axis.stands));
    assert_true(shows(&axis, -12.0));
    expect_near(axis.stands, -12.1, 1e-9);
}

/* Skew counts modulo 180. */
static void a_scale_that_is_read_otherwise_each_time_is_taken_as_read(void **unused)
{
    struct by_scale axis;

    (void)unused;
    by_scale_start(&axis, AXIS_SKEW, 88.0);
    assert_false(shows(&axis, -90.0));
    assert_false(shows(&axis, -90.0));
    assert_true(shows(&axis, -90.0));
    expect_near(axis.stands, 90.0, 1e-9);
}

static void it_stands_where_it_was_set_until_the_scale_shows_otherwise(void **unused)
{
    struct by_scale axis;

    (void)unused;
    by_scale_start(&axis, AXIS_SKEW, -12.1);
    assert_true(shows(&axis, -12.0));
    expect_near(by_scale_position(&axis, &state, AXIS_SKEW), -12.1, 1e-9);
    shows(&axis, -20.0);
    expect_near(by_scale_position(&axis, &state, AXIS_SKEW), -20.0, 1e-9);
}

static void done_says_that_it_shows_the_number(void **unused)
{
    struct record done = {.t = 1.0, .kind = RECORD_STEP, .step = {.event = STEP_DONE}};
    struct record level = {.t = 0.5, .kind = RECORD_LEVEL, .level = {.value = 9.0}};
    struct by_scale axis;

    (void)unused;
    by_scale_start(&axis, AXIS_SKEW, -12.1);
    assert_false(hear(&axis, &level));
    assert_true(hear(&axis, &done));
    expect_near(axis.stands, -12.1, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(no_scale_shows_minus_nought, set_up),
        cmocka_unit_test_setup(a_scale_is_set_by_its_number_unless_turns_can_be_counted, set_up),
        cmocka_unit_test_setup(it_asks_for_the_number_of_the_scale, set_up),
        cmocka_unit_test_setup(the_number_asked_for_counts_and_not_the_line_next_to_it, set_up),
        cmocka_unit_test_setup(a_slip_is_set_once_more, set_up),
        cmocka_unit_test_setup(a_scale_that_is_read_otherwise_each_time_is_taken_as_read, set_up),
        cmocka_unit_test_setup(it_stands_where_it_was_set_until_the_scale_shows_otherwise, set_up),
        cmocka_unit_test_setup(done_says_that_it_shows_the_number, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
