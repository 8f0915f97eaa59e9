/* Expected values: plane geometry, worked by hand beside each; no published tables exist. */
#include "expect.h"

#include <math.h>

#include "sky/skyline.h"

#define RAD (M_PI / 180.0)

/* a ridge with a wall at 140 and its end at 165, nothing known elsewhere */
static const struct skyline_point ridge[] = {{110, 4}, {140, 6}, {140, 12}, {165, 7}};
/* all round, over north */
static const struct skyline_point round_about[] = {{10, 2}, {90, 4}, {180, 1}, {260, 5}, {350, 8}};
/* 30 m wide and 20 m high at 100 m: 8.53 degrees to either side, top at 11.31 */
static const struct skyline_object house = {200, 100, 20, 30};
static const struct skyline_object mast = {202, 50, 25, NAN};

static const struct skyline ridge_only = {ridge, 4, NULL, 0};
static const struct skyline whole = {round_about, 5, &house, 1};
static const struct skyline nothing = {NULL, 0, NULL, 0};

static void the_edge_is_straight_between_points(void **state)
{
    static const struct {
        const struct skyline *skyline;
        double azimuth_deg, want_deg;
    } rows[] = {
        {&ridge_only, 110, 4},   {&ridge_only, 125, 5},     {&ridge_only, 139.999, 6},
        {&ridge_only, 140, 12},  {&ridge_only, 152.5, 9.5}, {&ridge_only, 165, 7},
        {&ridge_only, 485, 5},   {&ridge_only, -235, 5},    {&ridge_only, 166, NAN},
        {&ridge_only, 109, NAN}, {&ridge_only, 0, NAN},     {&ridge_only, NAN, NAN},
        {&whole, 0, 5},          {&whole, 359, 5.3},        {&whole, 5, 3.5},
        {&whole, 50, 3},         {&whole, 135, 2.5},        {&nothing, 10, NAN},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(skyline_elevation_deg(rows[i].skyline, rows[i].azimuth_deg), rows[i].want_deg,
                    1e-3);
    }
}

static void one_point_alone_is_known_only_where_it_is(void **state)
{
    static const struct skyline_point point = {77, 3};
    static const struct skyline one = {&point, 1, NULL, 0};

    (void)state;
    expect_near(skyline_elevation_deg(&one, 77), 3, 0);
    assert_true(isnan(skyline_elevation_deg(&one, 78)));
}

/* 20 m at 100 m is atan(0.2) = 11.3099 degrees, 15 m to either side atan(0.15) = 8.5308 */
static void a_house_stands_out_of_the_edge(void **state)
{
    static const struct skyline alone = {NULL, 0, &house, 1};
    static const struct skyline_object low = {200, 100, 1, 30};
    const struct skyline hidden = {round_about, 5, &low, 1};

    (void)state;
    expect_near(skyline_object_deg(&house), 11.3099, 5e-4);
    expect_near(skyline_elevation_deg(&whole, 200 - 8.53), 11.3099, 5e-4);
    expect_near(skyline_elevation_deg(&whole, 200 + 8.53), 11.3099, 5e-4);
    expect_near(skyline_elevation_deg(&whole, 208.54), 1 + 4 * 28.54 / 80, 1e-9);
    assert_true(isnan(skyline_elevation_deg(&alone, 208.54)));
    expect_near(skyline_elevation_deg(&hidden, 200), 2, 1e-9);
}

/* The fall of the earth's curve with k = 4/3, by the surveyors' rule 0.0589 m a km squared. */
static void far_mountains_sink_by_the_earths_curve(void **state)
{
    static const struct skyline_object peak = {0, 20000, 1023.5, 100}, bad = {0, 0, 10, 1};

    (void)state;
    expect_near(skyline_object_deg(&peak), atan(1000.0 / 20000.0) / RAD, 5e-4);
    assert_true(isnan(skyline_object_deg(&bad)));
}

static void the_beam_clears_what_is_highest_within_its_width(void **state)
{
    const struct skyline with_mast = {round_about, 5, &mast, 1};
    const struct {
        const struct skyline *skyline;
        double azimuth, elevation, half_width, half_height;
        double skyline_deg, at_deg, clearance;
        bool complete;
    } rows[] = {
        {&ridge_only, 138, 20, 1, 2, 5 + 14.0 / 15, 139, 12 + 1.0 / 15, true},
        {&ridge_only, 138, 20, 2, 2, 12, 140, 6, true},
        {&ridge_only, 138, 13, 3, 2, 12, 140, -1, true},
        {&ridge_only, 164, 13, 3, 0, 7.8, 161, 5.2, false},
        {&ridge_only, 200, 13, 3, 1, NAN, NAN, NAN, false},
        {&whole, 355, 10, 6, 0, 8, 350, 2, true}, /* over north */
        {&whole, 0, 10, 3, 0, 5.9, 357, 4.1, true},
        {&whole, 0, 10, 0, 1, 5, 0, 4, true},
        {&whole, 230, 30, 22, 1, 11.3099, 208, 29 - 11.3099, true}, /* the house's corner */
        /* a mast is a line: 25 m at 50 m is atan(0.5) */
        {&with_mast, 200, 30, 3, 1, 26.565, 202, 29 - 26.565, true},
        {&with_mast, 200, 30, 1.9, 1, 1 + 4 * 21.9 / 80, 201.9, 29 - 1 - 4 * 21.9 / 80, true},
        {&nothing, 200, 30, 1, 1, NAN, NAN, NAN, false},
        {&whole, NAN, 30, 1, 1, NAN, NAN, NAN, false},
        {&whole, 20, NAN, 1, 1, 2.275, 21, NAN, true},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct skyline_clearance got =
            skyline_clear(rows[i].skyline, rows[i].azimuth, rows[i].elevation, rows[i].half_width,
                          rows[i].half_height);
        expect_near(got.edge_deg, rows[i].elevation - rows[i].half_height, 1e-12);
        expect_near(got.skyline_deg, rows[i].skyline_deg, 5e-4);
        expect_near(got.azimuth_deg, rows[i].at_deg, 1e-6);
        expect_near(got.clearance_deg, rows[i].clearance, 5e-4);
        assert_int_equal(got.complete, rows[i].complete);
    }
}

static void blocked_parts_begin_and_end_where_the_edge_is_crossed(void **state)
{
    const struct {
        const struct skyline *skyline;
        double elevation, from, width;
        size_t count;
        double spans[3][2];
    } rows[] = {
        {&ridge_only, 5, 0, 360, 1, {{125, 165}}},
        {&ridge_only, 7, 0, 360, 1, {{140, 165}}}, /* the wall, down to the end of what is known */
        {&ridge_only, 9.5, 0, 360, 1, {{140, 152.5}}},
        {&ridge_only, 9.5, 150, 20, 1, {{150, 152.5}}},
        {&ridge_only, 12.5, 0, 360, 0, {{0}}},
        /* from 5 rising at 260 over 8 at 350 and down to 2 at 10; the house by its corners */
        {&whole, 5, 90, 360, 2, {{191.469, 208.531}, {260, 0}}},
        /* the same from the middle of a blocked part: it comes in two pieces */
        {&whole, 5, 300, 360, 3, {{300, 0}, {191.469, 208.531}, {260, 300}}},
        {&whole, 6.5, 340, 40, 1, {{340, 355}}},
        {&whole, -1, 350, 30, 1, {{350, 20}}},
        {&nothing, 1, 0, 360, 0, {{0}}},
        {&whole, NAN, 0, 360, 0, {{0}}},
        {&whole, 1, NAN, 360, 0, {{0}}},
        {&whole, 1, 0, 0, 0, {{0}}},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct skyline_span got[3];
        size_t n = skyline_blocked(rows[i].skyline, rows[i].elevation, rows[i].from, rows[i].width,
                                   got, 3);
        assert_int_equal(n, rows[i].count);
        for (size_t k = 0; k < n; k++) {
            expect_near(got[k].from_deg, rows[i].spans[k][0], 1e-3);
            expect_near(got[k].to_deg, rows[i].spans[k][1], 1e-3);
        }
    }
}

static void spans_without_room_are_counted_but_not_written(void **state)
{
    struct skyline_span got[2] = {{-1, -1}, {-1, -1}};

    (void)state;
    assert_int_equal(skyline_blocked(&whole, 5, 300, 360, got, 1), 3);
    expect_near(got[0].to_deg, 0, 1e-9);
    expect_near(got[1].from_deg, -1, 0);
}

static void a_tree_may_grow_up_to_the_beams_lower_edge(void **state)
{
    static const struct {
        double distance, elevation, half_height, aperture, want;
    } rows[] = {
        {30, 31, 1, NAN, 17.3205},   /* 30 tan 30 */
        {30, 45, 0, 0, 30},          /* the axis itself */
        {1000, 45, 0, 0, 1000.0589}, /* the earth's curve gives 0.06 m */
        {10, 45, 1, 1.2, 9.1515},    /* close: 10 - 0.6 / cos 45, not 10 tan 44 = 9.657 */
        {200, 45, 1, 1.2, 193.140},  /* far: 200 tan 44, + 2 mm */
        {50, 0.5, 1, NAN, -0.4362},  /* lower than the antenna */
        {0, 45, 1, 1, NAN},          {10, 90, 1, 1, NAN},
        {10, 45, NAN, 1, NAN},       {10, NAN, 1, 1, NAN},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(skyline_room_m(rows[i].distance, rows[i].elevation, rows[i].half_height,
                                   rows[i].aperture),
                    rows[i].want, 1e-3);
    }
}

/* What the room allows touches the beam and no more. */
static void a_tree_of_just_that_height_leaves_no_clearance(void **state)
{
    (void)state;
    for (double d = 5; d < 5000; d *= 3) {
        struct skyline_object tree = {180, d, skyline_room_m(d, 33.3, 0.8, NAN), 0.1};
        const struct skyline one = {NULL, 0, &tree, 1};
        expect_near(skyline_clear(&one, 180, 33.3, 0.8, 0.8).clearance_deg, 0.0, 1e-3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_edge_is_straight_between_points),
        cmocka_unit_test(one_point_alone_is_known_only_where_it_is),
        cmocka_unit_test(a_house_stands_out_of_the_edge),
        cmocka_unit_test(far_mountains_sink_by_the_earths_curve),
        cmocka_unit_test(the_beam_clears_what_is_highest_within_its_width),
        cmocka_unit_test(blocked_parts_begin_and_end_where_the_edge_is_crossed),
        cmocka_unit_test(spans_without_room_are_counted_but_not_written),
        cmocka_unit_test(a_tree_may_grow_up_to_the_beams_lower_edge),
        cmocka_unit_test(a_tree_of_just_that_height_leaves_no_clearance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
