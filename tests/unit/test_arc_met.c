/* The tops met in a search against the satellites that should be there. The sky comes from
 * look_at_geostationary(), which has published check values of its own. */
#include "expect.h"

#include <stdio.h>
#include <string.h>

#include "sky_stage.h"

static struct sky_stage stage;

static void what_was_met_is_named_and_the_azimuth_set_right(void **unused)
{
    (void)unused;
    for (double bias = -8.0; bias < 9.0; bias += 4.0) {
        int target;
        double probability;
        sky_raise(&stage, "");
        sky_meet(&stage, 1, bias);
        sky_meet(&stage, 2, bias);
        target = sky_meet(&stage, -1, bias);
        sky_meet(&stage, 3, bias);
        arc_compare(&stage.arc, &stage.state);
        assert_true(stage.arc.matched);
        assert_int_equal(arc_likeliest(&stage.arc, &probability), target);
        assert_true(probability > 0.9);
        assert_string_equal(arc_name(&stage.arc, &stage.job, target), "Wren");
        assert_string_equal(arc_name(&stage.arc, &stage.job, 0), "Robin");
        expect_near(stage.arc.match.bias_deg, bias, 0.2);
    }
}

static void a_named_neighbour_tells_where_the_target_stands(void **unused)
{
    double probability;
    int top;

    (void)unused;
    sky_raise(&stage, "WREN");
    given_job(&stage.job, "neighbour Pipit", "id", "PIPIT");
    top = sky_meet(&stage, 3, 5.0);
    strcpy(stage.arc.tops[top].id, "PIPIT");
    arc_compare(&stage.arc, &stage.state);
    assert_int_equal(arc_likeliest(&stage.arc, &probability), -1);
    expect_near(arc_target_x(&stage.arc), stage.state.target.deg[AXIS_AZIMUTH] + 5.0, 0.1);
}

static void a_refused_top_is_not_chosen_again(void **unused)
{
    double probability;
    int top;

    (void)unused;
    sky_raise(&stage, "WREN");
    top = sky_meet(&stage, -1, 0.0);
    strcpy(stage.arc.tops[top].id, "WREN");
    arc_compare(&stage.arc, &stage.state);
    assert_int_equal(arc_likeliest(&stage.arc, &probability), top);
    stage.arc.chosen = top;
    arc_refuse(&stage.arc, stage.arc.tops[top].x);
    arc_compare(&stage.arc, &stage.state);
    assert_int_equal(arc_likeliest(&stage.arc, &probability), -1);
    assert_true(arc_is_refused(&stage.arc, stage.arc.tops[top].x + 0.1));
    assert_false(arc_is_refused(&stage.arc, stage.arc.tops[top].x + 2.0));
    /* met again it stays refused */
    assert_int_equal(sky_meet(&stage, -1, 0.1), top);
    assert_true(stage.arc.tops[top].refused);
}

/* L(e) = P - 12 ((e - c) / B)^2 on two lines gives c exactly. */
static void two_lines_tell_the_elevation_between_them(void **unused)
{
    double height, centre = 30.4, lines[2] = {30.0, 30.9};

    (void)unused;
    sky_raise(&stage, "");
    height = stage.arc.height_deg;
    for (int i = 0; i < 2; i++) {
        double off = (lines[i] - centre) / height;
        struct sweep_peak top = {.x = 170.0,
                                 .elevation = lines[i],
                                 .level = 13.0 - 12.0 * off * off,
                                 .width_deg = NAN,
                                 .peaked_elevation = NAN};
        assert_int_equal(arc_add(&stage.arc, &stage.state, &top), 0);
    }
    expect_near(stage.arc.tops[0].peaked_elevation, centre, 1e-9);
}

static void what_was_peaked_corrects_the_targets_elevation(void **unused)
{
    struct look look;
    int top;

    (void)unused;
    sky_raise(&stage, "WREN");
    given_job(&stage.job, "neighbour Pipit", "id", "PIPIT");
    top = sky_meet(&stage, 3, 0.0);
    strcpy(stage.arc.tops[top].id, "PIPIT");
    look = look_at_geostationary(&look_earth_wgs84, &stage.state.site, 18.0);
    stage.arc.tops[top].peaked_elevation = look.elevation_deg + 0.5;
    arc_compare(&stage.arc, &stage.state);
    expect_near(arc_target_elevation(&stage.arc, &stage.state),
                stage.state.target.deg[AXIS_ELEVATION] + 0.5, 0.05);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_met_is_named_and_the_azimuth_set_right),
        cmocka_unit_test(a_named_neighbour_tells_where_the_target_stands),
        cmocka_unit_test(a_refused_top_is_not_chosen_again),
        cmocka_unit_test(two_lines_tell_the_elevation_between_them),
        cmocka_unit_test(what_was_peaked_corrects_the_targets_elevation),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
