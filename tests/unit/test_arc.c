/* Expected values: ERFA's geodesy and vectors; textbooks; the geometry of the equator. */
#include "expect.h"

#include <math.h>

#include "csv.h"
#include "sky/arc.h"

static const struct look_site alps = {46.6, 10.1, 2200.0};

static void every_row_of_the_reference_is_met(void **state)
{
    struct csv csv;
    int checked = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/arc-neighbours.csv"));
    while (csv_next(&csv)) {
        struct look_site site = {csv_number(&csv, "lat_deg"), csv_number(&csv, "lon_deg"),
                                 csv_number(&csv, "height_m")};
        struct arc_slot slot = {"it", csv_number(&csv, "neighbour_lon_deg")};
        struct arc_neighbour got;

        assert_int_equal(arc_neighbours(&look_earth_wgs84, &site,
                                        csv_number(&csv, "target_lon_deg"), &slot, 1, 10.0, &got),
                         1);
        expect_near(got.azimuth_deg, csv_number(&csv, "azimuth_diff_deg"), 1e-6);
        expect_near(got.elevation_deg, csv_number(&csv, "elevation_diff_deg"), 1e-6);
        expect_near(got.skew_v_deg, csv_number(&csv, "skew_v_diff_deg"), 1e-6);
        expect_near(got.skew_h_deg, csv_number(&csv, "skew_h_diff_deg"), 1e-6);
        expect_near(got.angle_deg, csv_number(&csv, "angle_deg"), 1e-6);
        assert_true(got.visible);
        checked++;
    }
    assert_int_equal(checked, 60);
}

/*
 * Straight below the target two satellites d degrees apart as seen from the earth's centre stand
 * atan2(R sin d, R cos d - r) apart: the well-known 1.1 to 1.2 times (ITU-R S.465's offset angles
 * count from the earth station; the factor is common practice, no source).
 */
static void neighbours_stand_further_apart_than_their_longitudes(void **state)
{
    static const struct look_site below = {0.0, 30.0, 0.0};
    static const struct arc_slot slot = {"it", 32.0};
    const double d = 2.0 * M_PI / 180.0;
    struct arc_neighbour got;

    (void)state;
    assert_int_equal(arc_neighbours(&look_earth_wgs84, &below, 30.0, &slot, 1, 10.0, &got), 1);
    expect_near(got.angle_deg,
                atan2(42164.17 * sin(d), 42164.17 * cos(d) - 6378.137) * 180.0 / M_PI, 1e-6);
    assert_true(got.angle_deg > 1.1 * 2.0 && got.angle_deg < 1.2 * 2.0);
    arc_neighbours(&look_earth_wgs84, &alps, 13.0, (struct arc_slot[]){{"it", 15.0}}, 1, 10.0,
                   &got);
    assert_true(got.angle_deg > 1.05 * 2.0 && got.angle_deg < 1.2 * 2.0);
}

/* In the north east is left when one looks south; in the south it is right. */
static void the_list_runs_from_left_to_right(void **state)
{
    static const struct arc_slot slots[] = {
        {"far west", 2.9},   {"west", 9.0},  {"east", 16.0}, {"nowhere", NAN},
        {"far east", 373.0}, {"next", 13.5}, {"out", 23.1},
    };
    static const struct look_site south = {-33.9, 10.1, 50.0};
    static const size_t north_order[] = {2, 5, 4, 1}, south_order[] = {1, 4, 5, 2};
    struct arc_neighbour got[7];

    (void)state;
    assert_int_equal(arc_neighbours(&look_earth_wgs84, &alps, 13.0, slots, 7, 10.0, got), 4);
    for (size_t i = 0; i < 4; i++) {
        assert_int_equal(got[i].slot, north_order[i]);
        assert_ptr_equal(got[i].name, slots[north_order[i]].name);
        assert_true(got[i].azimuth_deg * got[i].lon_deg <= 0.0);
    }
    assert_int_equal(arc_neighbours(&look_earth_wgs84, &south, 13.0, slots, 7, 10.0, got), 4);
    for (size_t i = 0; i < 4; i++) {
        assert_int_equal(got[i].slot, south_order[i]);
        assert_true(got[i].azimuth_deg * got[i].lon_deg >= 0.0);
    }
    assert_int_equal(arc_neighbours(&look_earth_wgs84, &alps, NAN, slots, 7, 10.0, got), 0);
}

static void longitudes_meet_across_the_date_line(void **state)
{
    static const struct look_site tonga = {-21.1, -175.2, 10.0};
    static const struct arc_slot slots[] = {{"a", 178.0}, {"b", -176.0}};
    struct arc_neighbour got[2];

    (void)state;
    assert_int_equal(arc_neighbours(&look_earth_wgs84, &tonga, -179.0, slots, 2, 10.0, got), 2);
    expect_near(got[0].lon_deg, -3.0, 1e-9);
    expect_near(got[1].lon_deg, 3.0, 1e-9);
}

/* Made up: what a sweep can hear is what is in sight and near its elevation. */
static void a_sweep_meets_what_is_in_sight_and_in_reach(void **state)
{
    static const struct arc_neighbour list[] = {
        {.azimuth_deg = -9.0, .elevation_deg = 0.2, .visible = false},
        {.azimuth_deg = -7.0, .elevation_deg = 1.4, .visible = true},
        {.azimuth_deg = -4.0, .elevation_deg = 0.8, .visible = true},
        {.azimuth_deg = 0.0, .elevation_deg = 0.0, .visible = true},
        {.azimuth_deg = 3.0, .elevation_deg = -0.9, .visible = true},
        {.azimuth_deg = 6.0, .elevation_deg = -1.6, .visible = true},
    };
    static const struct {
        bool from_left;
        double reach_deg;
        int first, before, count;
    } rows[] = {
        {true, INFINITY, 1, 2, 2}, {true, 1.0, 2, 2, 1},  {true, 0.5, -1, -1, 0},
        {false, 2.0, 5, 4, 2},     {false, 1.0, 4, 4, 1}, {false, 0.5, -1, -1, 0},
        {true, NAN, -1, -1, 0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct arc_sweep sweep = arc_sweep_order(list, 6, rows[i].from_left, rows[i].reach_deg);
        assert_int_equal(sweep.first, rows[i].first);
        assert_int_equal(sweep.before, rows[i].before);
        assert_int_equal(sweep.count, rows[i].count);
    }
    assert_int_equal(arc_sweep_order(list, 0, true, 1.0).first, -1);
}

/* The arc ends 81.3 degrees from the site's longitude (Roddy, Satellite Communications, 3.4). */
static void what_has_set_is_listed_but_never_met(void **state)
{
    static const struct look_site equator = {0.0, 0.0, 0.0};
    static const struct arc_slot slots[] = {{"up", 77.0}, {"set", 83.0}};
    struct arc_neighbour got[2];

    (void)state;
    assert_int_equal(arc_neighbours(&look_earth_wgs84, &equator, 79.0, slots, 2, 10.0, got), 2);
    for (size_t i = 0; i < 2; i++) {
        assert_true(got[i].visible == (got[i].slot == 0));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_of_the_reference_is_met),
        cmocka_unit_test(neighbours_stand_further_apart_than_their_longitudes),
        cmocka_unit_test(the_list_runs_from_left_to_right),
        cmocka_unit_test(longitudes_meet_across_the_date_line),
        cmocka_unit_test(a_sweep_meets_what_is_in_sight_and_in_reach),
        cmocka_unit_test(what_has_set_is_listed_but_never_met),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
