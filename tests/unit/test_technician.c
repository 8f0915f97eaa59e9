/* The simulated person: hears advice, does it as people do, and says so. */
#include "technician_stage.h"

/* --- by a sensor ---------------------------------------------------------------------------- */

static void by_a_sensor_the_hand_goes_about_as_far_as_it_is_told(void **state)
{
    struct record said;
    double square = 0.0;
    int n = 200;

    (void)state;
    for (int i = 0; i < n; i++) {
        struct scene scene = begin(TECHNICIAN_CAREFUL, (uint64_t)i);
        hear(&scene, turn(AXIS_AZIMUTH, ADVICE_LEFT, 4.0, NAN));
        assert_false(listen(&scene, 3.0, &said)); /* nothing to say: the sensor does */
        hear(&scene, stay(ADVICE_HOLD, UNTIL_DWELL, "Hands off."));
        assert_false(listen(&scene, 30.0, &said));
        square += pow((100.0 - azimuth(&scene)) / 4.0 - 1.0, 2);
        world_destroy(scene.world);
    }
    /* 10 % of hand error, cut at 20; four standard errors */
    expect_near(sqrt(square / n), 0.096, 4.0 * 0.1 / sqrt(2.0 * n));
}

static void a_hand_reacts_late_and_overshoots_by_that(void **state)
{
    struct scene scene = begin(TECHNICIAN_CAREFUL, 1);
    struct advice sweep = turn(AXIS_AZIMUTH, ADVICE_RIGHT, 60.0, NAN);
    struct record said;
    double at;

    (void)state;
    sweep.until = UNTIL_CARRIER;
    sweep.rate = 1.0;
    hear(&scene, sweep);
    listen(&scene, 0.29, &said);
    expect_near(azimuth(&scene), 100.0, 0.0);
    listen(&scene, 10.0, &said);
    /* the advised rate within 15 % and a hand that is off by a tenth does not matter to a rate */
    at = azimuth(&scene);
    assert_true(at > 100.0 + 0.85 * 9.3 && at < 100.0 + 1.15 * 9.7);
    hear(&scene, stay(ADVICE_HOLD, UNTIL_DWELL, "Hold it there."));
    listen(&scene, 15.0, &said);
    assert_true(azimuth(&scene) > at + 0.3 * 0.85 && azimuth(&scene) < at + 0.7 * 1.15);
    world_destroy(scene.world);
}

static void a_countdown_on_the_screen_is_followed(void **state)
{
    struct scene scene = begin(TECHNICIAN_CAREFUL, 4);
    struct record said;

    (void)state;
    hear(&scene, turn(AXIS_AZIMUTH, ADVICE_RIGHT, 10.0, NAN));
    listen(&scene, 1.0, &said);
    /* it turned out to be much less far: what counts is what the screen says now */
    hear(&scene, turn(AXIS_AZIMUTH, ADVICE_RIGHT, 0.5, NAN));
    double at = azimuth(&scene);
    listen(&scene, 2.2, &said);
    assert_true(azimuth(&scene) < at + 1.2);
    world_destroy(scene.world);
}

/* --- without one ---------------------------------------------------------------------------- */

static void a_long_turn_by_a_scale_is_told_by_the_scale(void **state)
{
    struct scene scene = begin(TECHNICIAN_CAREFUL, 1);
    struct advice advice = turn(AXIS_ELEVATION, ADVICE_UP, 5.0, 4.17);
    struct record said;

    (void)state;
    /* asked for the scale: without that it tells the turns */
    strcpy(advice.why, "that is 12.5 on the scale; say el and what it shows");
    hear(&scene, advice);
    assert_true(listen(&scene, 10.0, &said));
    assert_int_equal(said.kind, RECORD_ANGLES);
    assert_true(said.angles.scale);
    assert_true(isnan(said.angles.deg[AXIS_AZIMUTH]));
    /* to half a graduation, truly read */
    expect_near(said.angles.deg[AXIS_ELEVATION] * 4.0, round(said.angles.deg[AXIS_ELEVATION] * 4.0),
                1e-9);
    expect_near(said.angles.deg[AXIS_ELEVATION], world_scale_deg(scene.world, WORLD_ELEVATION),
                0.125001);
    expect_near(said.angles.deg[AXIS_ELEVATION], 8.0 + 5.0, 1.2);
    world_destroy(scene.world);
}

static void a_short_turn_is_told_in_turns_of_the_bolt(void **state)
{
    static const struct {
        enum axis axis;
        enum advice_move move;
        double turns, told;
    } rows[] = {
        {AXIS_ELEVATION, ADVICE_DOWN, 0.26, -0.25},
        {AXIS_SKEW, ADVICE_CLOCKWISE, 1.3, 1.3125},
        {AXIS_SKEW, ADVICE_ANTICLOCKWISE, 0.01, -0.0625},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct scene scene = begin(TECHNICIAN_CAREFUL, i);
        struct record said;
        hear(&scene, turn(rows[i].axis, rows[i].move, NAN, rows[i].turns));
        assert_true(listen(&scene, 10.0, &said));
        assert_int_equal(said.kind, RECORD_MOVE);
        assert_int_equal(said.move.axis, rows[i].axis);
        expect_near(said.move.turns, rows[i].told, 1e-9);
        assert_true(isnan(said.move.deg));
        world_destroy(scene.world);
    }
}

static void what_was_turned_before_being_stopped_is_told(void **state)
{
    struct scene scene = begin(TECHNICIAN_CAREFUL, 2);
    struct record said;
    double moved;

    (void)state;
    hear(&scene, turn(AXIS_SKEW, ADVICE_CLOCKWISE, NAN, 5.0));
    assert_false(listen(&scene, 1.5, &said));
    hear(&scene, stay(ADVICE_HOLD, UNTIL_DWELL, "Hold it there."));
    assert_true(listen(&scene, 10.0, &said));
    assert_int_equal(said.kind, RECORD_MOVE);
    moved = world_truth(scene.world).pointing_deg[WORLD_SKEW] / 4.0;
    assert_true(moved > 0.5 && moved < 4.0);
    expect_near(said.move.turns, moved, 0.2 * moved + 1.0 / 32.0);
    assert_false(listen(&scene, 60.0, &said)); /* and once only */
    world_destroy(scene.world);
}

static void an_angle_asked_for_is_set_on_the_scale(void **state)
{
    static const struct {
        enum axis axis;
        const char *say;
        double deg, tolerance;
        enum record_kind kind;
    } rows[] = {
        {AXIS_ELEVATION,
         "Set the elevation to 13.1\u00b0 on the scale, then say el and the number.", 35.1, 1.1,
         RECORD_ANGLES},
        {AXIS_SKEW, "Set the skew to -10.9\u00b0 on the scale, then say done.", -10.9, 1.0,
         RECORD_STEP},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct scene scene = begin(TECHNICIAN_CLUMSY, 1);
        struct advice advice = stay(ADVICE_CONFIRM, UNTIL_ANSWER, rows[i].say);
        struct record said;
        advice.axis = rows[i].axis;
        hear(&scene, advice);
        assert_true(listen(&scene, 20.0, &said));
        assert_int_equal(said.kind, rows[i].kind);
        expect_near(world_truth(scene.world).pointing_deg[rows[i].axis], rows[i].deg,
                    rows[i].tolerance);
        world_destroy(scene.world);
    }
}

/* "Set the elevation closely to 13.1": asked for until it is there, it is set between the lines;
 * and once more, when it is said again. */
static void told_until_it_is_there_a_number_is_set_between_the_lines(void **state)
{
    (void)state;
    for (int i = 0; i < 50; i++) {
        struct scene scene = begin(i % 2 ? TECHNICIAN_CAREFUL : TECHNICIAN_HASTY, (uint64_t)i);
        struct advice advice =
            stay(ADVICE_CONFIRM, UNTIL_ARRIVED, "Set the elevation closely to 13.1\u00b0.");
        struct record said;
        advice.axis = AXIS_ELEVATION;
        hear(&scene, advice);
        for (int time = 0; time < 2; time++) {
            assert_true(listen(&scene, scene.t + 30.0, &said));
            /* 0.15 of half a degree, seen to 0.1 of one with 4 sigma */
            expect_near(world_truth(scene.world).pointing_deg[AXIS_ELEVATION], 35.1, 0.28);
            hear(&scene, advice);
        }
        world_destroy(scene.world);
    }
}

/* --- answers -------------------------------------------------------------------------------- */

static void questions_are_answered_after_a_while(void **state)
{
    static const struct {
        const char *say;
        enum record_step_event answer;
    } rows[] = {
        {"Ladder secured, no power line within reach.", STEP_DONE},
        /* the receiver shows nothing here */
        {"Is this Wren? Say done if the receiver shows it, back to sweep on.", STEP_BACK},
        {"Nothing found. Say repeat to search again, or back.", STEP_REPEAT},
        {"Nothing found again. Say back to set up anew.", STEP_BACK},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct scene scene = begin(TECHNICIAN_CAREFUL, i);
        struct record said;
        hear(&scene, stay(ADVICE_CONFIRM, UNTIL_ANSWER, rows[i].say));
        assert_false(listen(&scene, 1.5, &said));
        assert_true(listen(&scene, 6.0, &said));
        assert_int_equal(said.kind, RECORD_STEP);
        assert_int_equal(said.step.event, rows[i].answer);
        assert_false(listen(&scene, 60.0, &said));
        world_destroy(scene.world);
    }
}

static void one_who_is_told_that_nothing_helps_gives_up(void **state)
{
    static const char *const says[] = {"Still nothing. Say back when it is mended; or quit.",
                                       "Is this Wren? If it is not, say quit."};

    (void)state;
    for (size_t i = 0; i < sizeof says / sizeof *says; i++) {
        struct scene scene = begin(TECHNICIAN_CAREFUL, i);
        struct record said;
        hear(&scene, stay(ADVICE_CONFIRM, UNTIL_ANSWER, says[i]));
        assert_false(listen(&scene, 60.0, &said));
        assert_true(scene.hand.gave_up);
        world_destroy(scene.world);
    }
}

static void a_question_is_answered_by_the_name_that_the_receiver_shows(void **state)
{
    static const struct {
        const char *target_id, *shown_id;
        enum record_step_event answer;
    } rows[] = {
        {"id = WREN\n", "id = WREN\n", STEP_DONE},
        {"id = WREN\n", "id = FINCH\n", STEP_BACK},
        {"id = WREN\n", "", STEP_BACK},
        {"", "id = FINCH\n", STEP_BACK},
        {"", "", STEP_SKIP}, /* a lit lamp alone tells nothing */
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1024];
        struct scene scene = {.t = 0.0};
        struct record said;
        /* the antenna looks at the one, the other is under the horizon */
        bool there = strcmp(rows[i].target_id, rows[i].shown_id) == 0 && rows[i].target_id[0];
        snprintf(text, sizeof text,
                 "[site]\nlat = 46.6\nlon = 10.1\n"
                 "[target]\nsatellite = Wren\npolarisation = V\n"
                 "[satellite Wren]\nlon = %s\nlevel = 14\npolarisation = both\n%s"
                 "[satellite Finch]\nlon = %s\nlevel = 13\npolarisation = both\n%s",
                 there ? "22.4" : "-160", rows[i].target_id, there ? "-160" : "22.4",
                 rows[i].shown_id);
        scene.world = make_world(text, 1);
        technician_init(&scene.hand, scene.world, TECHNICIAN_CAREFUL, 1);
        world_set_hand_error(scene.world, 0.0);
        world_turn(scene.world, WORLD_AZIMUTH, 163.2, 1000.0);
        world_turn(scene.world, WORLD_ELEVATION, 35.1, 1000.0);
        run_world(&scene, 10.0);
        assert_non_null(world_locked(scene.world));
        hear(&scene, stay(ADVICE_CONFIRM, UNTIL_ANSWER, "Is this Wren?"));
        assert_true(listen(&scene, 20.0, &said));
        assert_int_equal(said.step.event, rows[i].answer);
        world_destroy(scene.world);
    }
}

static void bolts_are_fastened_before_it_is_said(void **state)
{
    struct scene scene = begin(TECHNICIAN_CAREFUL, 1);
    struct record said;

    (void)state;
    hear(&scene, stay(ADVICE_TIGHTEN, UNTIL_ANSWER, "Tighten the bolts; say done."));
    assert_false(listen(&scene, 5.0, &said));
    assert_true(listen(&scene, 20.0, &said));
    assert_int_equal(said.step.event, STEP_DONE);
    assert_true(said.t > 6.0);
    world_destroy(scene.world);
}

static void hold_and_wait_move_nothing(void **state)
{
    struct scene scene = begin(TECHNICIAN_HASTY, 1);
    struct record said;

    (void)state;
    hear(&scene, stay(ADVICE_HOLD, UNTIL_DWELL, "Hands off."));
    assert_false(listen(&scene, 30.0, &said));
    hear(&scene, stay(ADVICE_WAIT, UNTIL_SOURCE, "Waiting for a position."));
    assert_false(listen(&scene, 60.0, &said));
    expect_near(azimuth(&scene), 100.0, 0.0);
    world_destroy(scene.world);
}

static void the_clumsy_one_goes_too_far_or_takes_the_other_bolt_and_does_not_know(void **state)
{
    int far = 0, astray = 0, n = 1000;

    (void)state;
    for (int i = 0; i < n; i++) {
        struct scene scene = begin(TECHNICIAN_CLUMSY, (uint64_t)i);
        struct world_truth before = world_truth(scene.world), after;
        struct record said;
        hear(&scene, turn(AXIS_ELEVATION, ADVICE_UP, NAN, 0.25)); /* of 1.2 degrees a turn */
        assert_true(listen(&scene, 20.0, &said));
        after = world_truth(scene.world);
        if (fabs(after.pointing_deg[WORLD_AZIMUTH] - before.pointing_deg[WORLD_AZIMUTH]) > 0.01) {
            astray++;
            assert_int_equal(said.move.axis, AXIS_ELEVATION);
            assert_true(fabs(said.move.turns) > 0.1);
        } else if (after.pointing_deg[WORLD_ELEVATION] - before.pointing_deg[WORLD_ELEVATION] >
                   1.45 * 0.3) {
            far++;
            expect_near(said.move.turns, 0.25, 0.01);
        }
        world_destroy(scene.world);
    }
    /* 3 and 1 in a hundred, less those that begin the wrong way: four standard errors */
    assert_in_range(far, 30 - 22 - 5, 30 + 22);
    assert_in_range(astray, 1, 10 + 13);
}

/* --- models --------------------------------------------------------------------------------- */

static void the_models_differ_as_their_names_say(void **state)
{
    double reached[TECHNICIAN_MODELS];

    (void)state;
    for (int i = 0; i < TECHNICIAN_MODELS; i++) {
        enum technician_model model;
        struct record said;
        assert_true(
            technician_parse_model(technician_model_name((enum technician_model)i), &model));
        assert_int_equal(model, i);
        struct scene scene = begin(model, 6);
        hear(&scene, turn(AXIS_AZIMUTH, ADVICE_RIGHT, 20.0, NAN));
        listen(&scene, 2.0, &said);
        reached[i] = azimuth(&scene) - 100.0;
        world_destroy(scene.world);
    }
    assert_true(reached[TECHNICIAN_CAREFUL] > 4.0);
    assert_true(reached[TECHNICIAN_HASTY] > reached[TECHNICIAN_CAREFUL]);
    assert_true(fabs(reached[TECHNICIAN_DEAF]) < 3.0); /* goes its own way */
    assert_false(technician_parse_model("lazy", &(enum technician_model){0}));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(by_a_sensor_the_hand_goes_about_as_far_as_it_is_told),
        cmocka_unit_test(a_hand_reacts_late_and_overshoots_by_that),
        cmocka_unit_test(a_countdown_on_the_screen_is_followed),
        cmocka_unit_test(a_long_turn_by_a_scale_is_told_by_the_scale),
        cmocka_unit_test(a_short_turn_is_told_in_turns_of_the_bolt),
        cmocka_unit_test(what_was_turned_before_being_stopped_is_told),
        cmocka_unit_test(an_angle_asked_for_is_set_on_the_scale),
        cmocka_unit_test(told_until_it_is_there_a_number_is_set_between_the_lines),
        cmocka_unit_test(questions_are_answered_after_a_while),
        cmocka_unit_test(one_who_is_told_that_nothing_helps_gives_up),
        cmocka_unit_test(a_question_is_answered_by_the_name_that_the_receiver_shows),
        cmocka_unit_test(bolts_are_fastened_before_it_is_said),
        cmocka_unit_test(hold_and_wait_move_nothing),
        cmocka_unit_test(the_clumsy_one_goes_too_far_or_takes_the_other_bolt_and_does_not_know),
        cmocka_unit_test(the_models_differ_as_their_names_say),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
