/* How far an axis has to go is what the coach says, else what its peak or the prediction says. */
#include "wall.h"

#include "view/aim.h"

static struct aim aim_at(struct wall *wall, enum axis axis)
{
    return aim_of(&wall->scene, wall->t, axis);
}

static void enter_step(struct wall *wall, int number)
{
    apply(wall, (struct record){.t = wall->t,
                                .kind = RECORD_STEP,
                                .step = {.event = STEP_ENTER, .number = number, .count = 4}});
}

/* Elevation is peaked, then azimuth; the sensor has the top 0.26 degrees over the prediction. */
static void peak_both(struct wall *wall)
{
    static const struct procedure_step steps[] = {
        {.act = DO_PEAK, .axis = AXIS_ELEVATION},
        {.act = DO_PEAK, .axis = AXIS_AZIMUTH},
        {.act = DO_TIGHTEN, .axis = AXIS_NONE},
        {.act = DO_RECORD, .axis = AXIS_NONE},
    };

    wall->procedure.step_count = 4;
    memcpy(wall->procedure.steps, steps, sizeof steps);
    wall->job.antenna.beam_width_deg = 2.3;
    wall->scene.coach = &wall->coach;
    for (int i = 0; i < AXIS_COUNT; i++) {
        wall->coach.learned.peak_x[i] = NAN;
    }
    put_fix(wall);
    put_angles(wall, 1.5, 35.26, false);
    enter_step(wall, 1);
}

static void the_coach_is_never_contradicted(void **state)
{
    struct wall *wall = *state;
    struct advice advice = {
        .axis = AXIS_ELEVATION, .move = ADVICE_UP, .deg = 0.1, .turns = NAN, .rate = NAN};

    peak_both(wall);
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_TURN); /* nothing advised yet */
    expect_near(aim_at(wall, AXIS_ELEVATION).deg, -0.26, 1e-9);
    put_advice(wall, advice);
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_TURN);
    expect_near(aim_at(wall, AXIS_ELEVATION).deg, 0.1, 1e-9);
    expect_says(wall, panel_aim, 4, COLS, "up 0.10");
    advice.move = ADVICE_DOWN;
    put_advice(wall, advice);
    expect_near(aim_at(wall, AXIS_ELEVATION).deg, -0.1, 1e-9);
    advice.move = ADVICE_HOLD;
    advice.deg = NAN;
    put_advice(wall, advice);
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_BY_LEVEL);
    expect_says(wall, panel_aim, 4, COLS, "by the level");
    /* the other axis' turn has not come: the prediction is all there is */
    expect_near(aim_at(wall, AXIS_AZIMUTH).deg, -0.5, 1e-9);
}

static void a_peak_that_was_found_is_the_goal(void **state)
{
    struct wall *wall = *state;

    peak_both(wall);
    wall->coach.learned.peak_x[AXIS_ELEVATION] = 35.28;
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_TURN); /* of another session's pass */
    enter_step(wall, 2);
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_PEAKED);
    expect_says(wall, panel_aim, 4, COLS, "at its peak");
    put_angles(wall, 1.5, 34.78, false); /* somebody leant on it */
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_TURN);
    expect_near(aim_at(wall, AXIS_ELEVATION).deg, 0.5, 1e-9);
    wall->t += 4.0; /* and the sensor says no more */
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_OLD);
}

static void while_bolts_are_tightened_the_level_tells(void **state)
{
    struct wall *wall = *state;

    peak_both(wall);
    wall->coach.learned.peak_x[AXIS_ELEVATION] = 35.70; /* 0.44 off: the bolts will pull it there */
    enter_step(wall, 3);
    assert_int_equal(aim_at(wall, AXIS_ELEVATION).kind, AIM_BY_LEVEL);
    assert_int_equal(aim_at(wall, AXIS_AZIMUTH).kind, AIM_TURN); /* was never peaked */
}

static void bolts_that_are_counted_have_a_peak_too(void **state)
{
    struct wall *wall = *state;

    peak_both(wall);
    wall->job.mount.axes[AXIS_AZIMUTH].from = JOB_FROM_NUDGES;
    state_init(&wall->state, &wall->job, &wall->magnetic);
    assert_int_equal(aim_at(wall, AXIS_AZIMUTH).kind, AIM_UNKNOWN);
    wall->coach.learned.peak_x[AXIS_AZIMUTH] = 1.2;
    apply(wall, (struct record){.t = 2.0,
                                .kind = RECORD_MOVE,
                                .move = {.axis = AXIS_AZIMUTH, .deg = 1.2, .turns = NAN}});
    enter_step(wall, 4);
    assert_int_equal(aim_at(wall, AXIS_AZIMUTH).kind, AIM_PEAKED);
    apply(wall, (struct record){.t = 3.0,
                                .kind = RECORD_MOVE,
                                .move = {.axis = AXIS_AZIMUTH, .deg = 0.6, .turns = NAN}});
    expect_near(aim_at(wall, AXIS_AZIMUTH).deg, -0.6, 1e-9);
    wall->coach.tighten.lead_deg[AXIS_AZIMUTH] = 0.6; /* the bolts have pulled it back by that */
    assert_int_equal(aim_at(wall, AXIS_AZIMUTH).kind, AIM_PEAKED);
    wall->scene.coach = NULL; /* silent: nothing is given away */
    assert_int_equal(aim_at(wall, AXIS_AZIMUTH).kind, AIM_UNKNOWN);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        WALL_TEST(the_coach_is_never_contradicted),
        WALL_TEST(a_peak_that_was_found_is_the_goal),
        WALL_TEST(while_bolts_are_tightened_the_level_tells),
        WALL_TEST(bolts_that_are_counted_have_a_peak_too),
    };

    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
