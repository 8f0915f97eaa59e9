/* Expected values: closed forms of textbooks, beside each; geometry. */
#include "expect.h"

#include <math.h>

#include "sky/angle.h"
#include "sky/figure_eight.h"
#include "sky/sidereal.h"

#define RAD ANGLE_RAD_PER_DEG

static const struct look_site alps = {46.6, 10.1, 2200.0}, below = {0.0, 13.0, 0.0};
static const double start_s = 1795564800.0; /* 2026-11-25 */
static const struct figure_eight_box no_box = {0.0, 0.0};

static void extremes(const struct figure_eight *figure, double ret_lon[2], double ret_lat[2])
{
    ret_lon[0] = ret_lat[0] = INFINITY;
    ret_lon[1] = ret_lat[1] = -INFINITY;
    for (double t = 0.0; t < 86164.0; t += 20.0) {
        double km[3], lon, lat;
        figure_eight_at(figure, start_s + t, km);
        lon = angle_turn_deg(figure->lon_deg, atan2(km[1], km[0]) / RAD);
        lat = atan2(km[2], hypot(km[0], km[1])) / RAD;
        ret_lon[0] = fmin(ret_lon[0], lon);
        ret_lon[1] = fmax(ret_lon[1], lon);
        ret_lat[0] = fmin(ret_lat[0], lat);
        ret_lat[1] = fmax(ret_lat[1], lat);
    }
}

/*
 * The eight of an inclination i is 2 i high and sways by asin(tan^2(i/2)) to either side; that of
 * an eccentricity e sways by 2 e radians (Soop, Handbook of Geostationary Orbits, 2.3 and 2.4;
 * Maral and Bousquet, Satellite Communications Systems, 2.2.5; from memory).
 */
static void the_eight_is_as_high_and_wide_as_in_the_textbook(void **state)
{
    static const double tilts[] = {0.05, 1.0, 5.0, 15.0};

    (void)state;
    for (size_t i = 0; i < sizeof tilts / sizeof *tilts; i++) {
        struct figure_eight figure = {
            .lon_deg = 178.0, .inclination_deg = tilts[i], .node_deg = 77.0, .perigee_deg = NAN};
        double lon[2], lat[2], sway = asin(pow(tan(0.5 * tilts[i] * RAD), 2.0)) / RAD;
        extremes(&figure, lon, lat);
        expect_near(lat[1], tilts[i], 1e-5 * tilts[i]);
        expect_near(lat[0], -tilts[i], 1e-5 * tilts[i]);
        expect_near(lon[1], sway, 1e-3 * sway);
        expect_near(lon[0], -sway, 1e-3 * sway);
    }
}

static void an_eccentric_satellite_sways_east_and_west(void **state)
{
    struct figure_eight figure = {
        .lon_deg = -30.0, .eccentricity = 0.001, .node_deg = NAN, .perigee_deg = 40.0};
    double lon[2], lat[2];

    (void)state;
    extremes(&figure, lon, lat);
    expect_near(lon[1], 2.0 * 0.001 / RAD, 1e-4);
    expect_near(lon[0], -2.0 * 0.001 / RAD, 1e-4);
    expect_near(lat[1], 0.0, 1e-12);
}

/* At its node the satellite crosses the equator northward, at its own mean longitude. */
static void it_crosses_the_equator_when_the_node_comes_round(void **state)
{
    struct figure_eight figure = {.lon_deg = 13.0, .inclination_deg = 3.0, .perigee_deg = NAN};
    double km[3], later_km[3];

    (void)state;
    /* the slot's own right ascension just now */
    figure.node_deg = 13.0 + sidereal_greenwich_rad(start_s) / RAD;
    figure_eight_at(&figure, start_s, km);
    figure_eight_at(&figure, start_s + 60.0, later_km);
    expect_near(km[2], 0.0, 1e-6);
    assert_true(later_km[2] > 1.0);
    expect_near(atan2(km[1], km[0]) / RAD, 13.0, 1e-9);
    figure_eight_at(&figure, start_s + 86164.0905 / 4.0, km);
    expect_near(atan2(km[2], hypot(km[0], km[1])) / RAD, 3.0, 1e-5);
}

static void without_tilt_it_stands_still(void **state)
{
    static const struct figure_eight figure = {
        .lon_deg = 13.0, .node_deg = NAN, .perigee_deg = NAN};
    struct look slot = look_at_geostationary(&look_earth_wgs84, &alps, 13.0);
    struct figure_eight_spread spread;
    double km[3];

    (void)state;
    figure_eight_at(&figure, start_s + 12345.0, km);
    expect_near(look_at_position(&look_earth_wgs84, &alps, km).azimuth_deg, slot.azimuth_deg, 1e-9);
    spread = figure_eight_over_a_day(&alps, &figure, &no_box, start_s);
    expect_near(spread.azimuth_deg, slot.azimuth_deg, 1e-9);
    expect_near(spread.elevation_deg, slot.elevation_deg, 1e-9);
    expect_near(spread.azimuth_half_deg, 0.0, 1e-9);
    expect_near(spread.elevation_half_deg, 0.0, 1e-9);
    expect_near(spread.angle_deg, 0.0, 1e-6);
}

/* A turn of 0.0128 degrees a day needs an orbit 1 km lower (Soop: 78 km for 1 degree a day). */
static void a_drifting_one_moves_on_and_flies_lower(void **state)
{
    static const struct figure_eight figure = {.lon_deg = 13.0,
                                               .drift_deg_day = 1.0,
                                               .epoch_s = 1795564800.0,
                                               .node_deg = NAN,
                                               .perigee_deg = NAN};
    double km[3];

    (void)state;
    figure_eight_at(&figure, start_s + 36.0 * 3600.0, km);
    expect_near(atan2(km[1], km[0]) / RAD, 14.5, 1e-9);
    expect_near(42164.17 - hypot(km[0], km[1]), 78.0, 0.5);
}

/* Straight below the middle an inclination is seen as a triangle with sides R and R cos i - r. */
static void straight_below_the_spread_is_the_inclination_seen_from_nearer(void **state)
{
    static const struct figure_eight figure = {
        .lon_deg = 13.0, .inclination_deg = 3.0, .node_deg = NAN, .perigee_deg = NAN};
    struct figure_eight_spread spread = figure_eight_over_a_day(
        &(struct look_site){0.0, 13.0 - 30.0, 0.0}, &figure, &no_box, start_s);
    /* 30 degrees west the middle stands due east: north and south is azimuth */
    double east = 42164.17 * sin(30.0 * RAD), north = 42164.17 * sin(3.0 * RAD);

    (void)state;
    expect_near(spread.azimuth_deg, 90.0, 0.01);
    expect_near(spread.azimuth_half_deg, atan2(north, east) / RAD, 0.03);
    assert_true(spread.elevation_half_deg < 0.2);
    spread = figure_eight_over_a_day(&below, &figure, &no_box, start_s);
    assert_true(isfinite(spread.angle_deg));
}

/* A box is all that a satellite without tilt does: its corners are slots a little beside. */
static void a_box_spreads_by_its_corners(void **state)
{
    static const struct figure_eight figure = {
        .lon_deg = 13.0, .node_deg = NAN, .perigee_deg = NAN};
    static const struct figure_eight_box wide = {0.1, 0.0}, high = {0.0, 0.1}, both = {0.1, 0.1};
    struct look west = look_at_geostationary(&look_earth_wgs84, &alps, 12.9);
    struct look east = look_at_geostationary(&look_earth_wgs84, &alps, 13.1);
    struct figure_eight_spread a = figure_eight_over_a_day(&alps, &figure, &wide, start_s);
    struct figure_eight_spread b = figure_eight_over_a_day(&alps, &figure, &high, start_s);
    struct figure_eight_spread c = figure_eight_over_a_day(&alps, &figure, &both, start_s);

    (void)state;
    expect_near(a.azimuth_half_deg, 0.5 * (west.azimuth_deg - east.azimuth_deg), 1e-9);
    expect_near(a.elevation_half_deg, 0.5 * fabs(west.elevation_deg - east.elevation_deg), 1e-9);
    /* a tenth of a degree north or south is 42 164 km * 0.1 degrees across some 38 000 km */
    expect_near(hypot(b.elevation_half_deg, b.azimuth_half_deg * cos(b.elevation_deg * RAD)),
                0.1 * 42164.17 / 37900.0, 0.006);
    assert_true(c.azimuth_half_deg > a.azimuth_half_deg &&
                c.elevation_half_deg > b.elevation_half_deg);
    assert_true(c.angle_deg > a.angle_deg && c.angle_deg > b.angle_deg && c.angle_deg < 0.2);
}

/* The spread holds each place of the day, and no less than is needed. */
static void the_spread_holds_the_whole_day(void **state)
{
    static const struct figure_eight figure = {.lon_deg = 13.0,
                                               .inclination_deg = 5.0,
                                               .node_deg = 300.0,
                                               .eccentricity = 0.002,
                                               .perigee_deg = 100.0};
    struct figure_eight_spread spread = figure_eight_over_a_day(&alps, &figure, &no_box, start_s);
    double most_az = 0.0, most_el = 0.0, most = 0.0;

    (void)state;
    for (double t = 0.0; t < 86400.0; t += 61.0) {
        double km[3];
        struct look look;
        figure_eight_at(&figure, start_s + t, km);
        look = look_at_position(&look_earth_wgs84, &alps, km);
        most_az = fmax(most_az, fabs(angle_turn_deg(spread.azimuth_deg, look.azimuth_deg)));
        most_el = fmax(most_el, fabs(look.elevation_deg - spread.elevation_deg));
        most = fmax(most, look_angle_deg(spread.azimuth_deg, spread.elevation_deg, look.azimuth_deg,
                                         look.elevation_deg));
    }
    expect_near(spread.azimuth_half_deg, most_az, 2e-3);
    expect_near(spread.elevation_half_deg, most_el, 2e-3);
    expect_near(spread.angle_deg, most, 2e-3);
}

static void what_is_not_known_is_not_placed(void **state)
{
    static const struct figure_eight rows[] = {
        {.lon_deg = 13.0, .inclination_deg = 3.0, .node_deg = NAN},
        {.lon_deg = 13.0, .eccentricity = 0.01, .perigee_deg = NAN},
        {.lon_deg = NAN},
        {.lon_deg = 13.0, .inclination_deg = NAN},
        {.lon_deg = 13.0, .eccentricity = 1.0},
        {.lon_deg = 13.0, .eccentricity = -0.1},
    };
    struct figure_eight_spread spread;
    double km[3];

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        figure_eight_at(&rows[i], start_s, km);
        assert_true(isnan(km[0]) && isnan(km[1]));
    }
    spread = figure_eight_over_a_day(&alps, &rows[0], &no_box, start_s);
    assert_true(spread.azimuth_half_deg > 0.1);
    spread = figure_eight_over_a_day(&alps, &rows[2], &no_box, start_s);
    assert_true(isnan(spread.azimuth_half_deg) && isnan(spread.elevation_half_deg) &&
                isnan(spread.angle_deg));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_eight_is_as_high_and_wide_as_in_the_textbook),
        cmocka_unit_test(an_eccentric_satellite_sways_east_and_west),
        cmocka_unit_test(it_crosses_the_equator_when_the_node_comes_round),
        cmocka_unit_test(without_tilt_it_stands_still),
        cmocka_unit_test(a_drifting_one_moves_on_and_flies_lower),
        cmocka_unit_test(straight_below_the_spread_is_the_inclination_seen_from_nearer),
        cmocka_unit_test(a_box_spreads_by_its_corners),
        cmocka_unit_test(the_spread_holds_the_whole_day),
        cmocka_unit_test(what_is_not_known_is_not_placed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
