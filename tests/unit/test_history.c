/* What is remembered for the graphs: levels over the axis that is turned, steps, rates. */
#include "expect.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "view/history.h"

static struct job job;
static struct magnetic_model magnetic;
static struct state state;
static struct history history;

static int set_up(void **unused)
{
    (void)unused;
    job_init(&job);
    job.antenna.beam_width_deg = job.antenna.beam_height_deg = 2.4;
    job.target.given = true;
    state_init(&state, &job, &magnetic);
    history_init(&history);
    return 0;
}

static void apply(struct record record)
{
    state_apply(&state, &record);
    history_add(&history, &state, &record);
}

static void advise(double t, enum axis axis)
{
    apply((struct record){.t = t, .kind = RECORD_ADVICE, .advice = {.axis = axis}});
}

/* Stands at an angle until the filter has settled. */
static void stand(double t, double azimuth, double level)
{
    for (int i = 0; i < 8; i++) {
        apply((struct record){
            .t = t + 0.5 * i, .kind = RECORD_ANGLES, .angles = {.deg = {azimuth, 35.0, NAN}}});
        apply((struct record){
            .t = t + 0.5 * i, .kind = RECORD_LEVEL, .level = {.value = level, .unit = LEVEL_DB}});
    }
}

static void readings_say_which_way_the_hand_went(void **unused)
{
    int way;

    (void)unused;
    advise(0.0, AXIS_AZIMUTH);
    stand(1.0, 100.0, 5.0);
    stand(11.0, 101.0, 6.0);
    stand(21.0, 100.5, 6.0);
    assert_int_equal(history.lobe.count, 24);
    history_reading(&history, 8, &way);
    assert_int_equal(way, 1);
    expect_near(history_reading(&history, 16, &way).x_deg, 100.5, 1e-9);
    assert_int_equal(way, -1);
    history_reading(&history, 17, &way);
    assert_int_equal(way, 0);
}

static void what_a_push_shows_belongs_to_no_place(void **unused)
{
    struct record push = {.t = 20.0, .kind = RECORD_ADVICE};
    size_t count;

    (void)unused;
    advise(0.0, AXIS_ELEVATION);
    stand(1.0, 100.0, 5.0);
    count = history.lobe.count;
    push.advice = (struct advice){.axis = AXIS_AZIMUTH, .move = ADVICE_PUSH, .deg = NAN};
    apply(push);
    stand(21.0, 100.0, 3.0);
    assert_int_equal(history.lobe.axis, AXIS_ELEVATION);
    assert_int_equal(history.lobe.count, count);
}

static void places_are_those_that_the_coach_counts(void **unused)
{
    int way;

    (void)unused;
    state.target.deg[AXIS_AZIMUTH] = 359.5;
    advise(0.0, AXIS_AZIMUTH);
    stand(1.0, 359.0, 5.0);
    stand(11.0, 0.5, 6.0);
    /* no jump in north */
    expect_near(history_reading(&history, 0, &way).x_deg, 359.0, 1e-9);
    expect_near(history_reading(&history, 8, &way).x_deg, 360.5, 1e-9);
}

static void a_new_step_begins_a_new_lobe_when_it_turns_an_axis(void **unused)
{
    struct record step = {
        .t = 10.0, .kind = RECORD_STEP, .step = {.event = STEP_ENTER, .number = 7, .count = 9}};

    (void)unused;
    advise(0.0, AXIS_AZIMUTH);
    stand(1.0, 100.0, 5.0);
    apply(step);
    advise(11.0, AXIS_NONE);
    assert_int_equal(history.lobe.count, 8); /* still to be looked at */
    assert_int_equal(history.lobe.step, 0);
    advise(12.0, AXIS_AZIMUTH);
    assert_int_equal(history.lobe.count, 0);
    assert_int_equal(history.lobe.step, 7);
}

static void a_source_is_counted_over_some_seconds(void **unused)
{
    (void)unused;
    apply((struct record){
        .t = 0.0, .kind = RECORD_SOURCE, .source = {.name = "finder", .status = SOURCE_UP}});
    assert_true(isnan(history.sources[0].rate));
    for (int i = 0; i < 200; i++) {
        struct record level = {.t = 0.1 * i, .kind = RECORD_LEVEL};
        text_copy(level.level.meter, sizeof level.level.meter, "finder");
        apply(level);
    }
    expect_near(history.sources[0].rate, 10.0, 0.3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(readings_say_which_way_the_hand_went, set_up),
        cmocka_unit_test_setup(what_a_push_shows_belongs_to_no_place, set_up),
        cmocka_unit_test_setup(places_are_those_that_the_coach_counts, set_up),
        cmocka_unit_test_setup(a_new_step_begins_a_new_lobe_when_it_turns_an_axis, set_up),
        cmocka_unit_test_setup(a_source_is_counted_over_some_seconds, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
