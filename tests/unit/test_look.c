/* Expected values: GeographicLib 2.1.2 and textbooks; tests/reference/README.md names each. */
#include "expect.h"

#include <math.h>

#include "csv.h"
#include "sky/angle.h"
#include "sky/look.h"

/* The table's digits: 1e-6 degrees, 1 mm. */
static void check_row(const struct csv *csv, const struct look *look)
{
    expect_near(look->elevation_deg, csv_number(csv, "elevation_deg"), 1e-6);
    expect_near(look->range_km, csv_number(csv, "range_km"), 1e-6);
    expect_near(angle_turn_deg(csv_number(csv, "azimuth_deg"), look->azimuth_deg), 0.0, 1e-6);
    expect_near(angle_turn_axial_deg(csv_number(csv, "tilt_perp_deg"), look->skew_v_deg), 0.0,
                1e-6);
    expect_near(angle_turn_axial_deg(csv_number(csv, "tilt_par_deg"), look->skew_h_deg), 0.0, 1e-6);
}

static void every_row_of_the_reference_is_met(void **state)
{
    struct csv csv;
    int checked = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/look-angles-wgs84.csv"));
    while (csv_next(&csv)) {
        struct look_site site = {csv_number(&csv, "lat_deg"), csv_number(&csv, "lon_deg"),
                                 csv_number(&csv, "height_m")};
        struct look look;

        if (strcmp(csv_text(&csv, "kind"), "geo") == 0) {
            look = look_at_geostationary(&look_earth_wgs84, &site, csv_number(&csv, "sat_lon_deg"));
            expect_near(
                angle_turn_axial_deg(csv_number(&csv, "tilt_simple_deg"), look.skew_simple_deg),
                0.0, 1e-6);
        } else {
            double sat[3] = {csv_number(&csv, "sat_x_m") * 1e-3, csv_number(&csv, "sat_y_m") * 1e-3,
                             csv_number(&csv, "sat_z_m") * 1e-3};
            look = look_at_position(&look_earth_wgs84, &site, sat);
        }
        check_row(&csv, &look);
        checked++;
    }
    assert_int_equal(checked, 400);
}

/* Half a unit of the last printed digit. */
static double printed_precision(const char *text)
{
    const char *point = strchr(text, '.');

    return 0.5 * pow(10.0, point ? -(double)strlen(point + 1) : 0.0) + 1e-9;
}

static void check_printed(const struct csv *csv, const char *column, double got)
{
    const char *text = csv_text(csv, column);

    if (*text) {
        expect_near(got, strtod(text, NULL), printed_precision(text));
    }
}

static void the_worked_examples_come_out_on_their_own_spheres(void **state)
{
    struct csv csv;
    int checked = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/look-angle-examples.csv"));
    while (csv_next(&csv)) {
        struct look_earth earth = {csv_number(&csv, "earth_radius_km"), 0.0,
                                   csv_number(&csv, "orbit_radius_km")};
        struct look_site site = {csv_number(&csv, "lat_deg"), csv_number(&csv, "lon_deg"), 0.0};
        struct look look;

        if (isnan(site.lat_deg)) {
            continue; /* a limit, not a place: below */
        }
        look = look_at_geostationary(&earth, &site, csv_number(&csv, "sat_lon_deg"));
        check_printed(&csv, "printed_azimuth_deg", look.azimuth_deg);
        check_printed(&csv, "printed_range_km", look.range_km);
        check_printed(&csv, "printed_tilt_deg", look.skew_v_deg);
        /* one printed elevation contradicts its own cosine by a degree: the table says so */
        if (strcmp(csv_text(&csv, "id"), "tutorial-1") != 0) {
            check_printed(&csv, "printed_elevation_deg", look.elevation_deg);
        }
        check_printed(&csv, "recomputed_azimuth_deg", look.azimuth_deg);
        check_printed(&csv, "recomputed_elevation_deg", look.elevation_deg);
        check_printed(&csv, "recomputed_range_km", look.range_km);
        check_printed(&csv, "recomputed_tilt_deg", look.skew_v_deg);
        look = look_at_geostationary(&look_earth_wgs84, &site, csv_number(&csv, "sat_lon_deg"));
        check_printed(&csv, "wgs84_azimuth_deg", look.azimuth_deg);
        check_printed(&csv, "wgs84_elevation_deg", look.elevation_deg);
        check_printed(&csv, "wgs84_range_km", look.range_km);
        check_printed(&csv, "wgs84_tilt_perp_deg", look.skew_v_deg);
        checked++;
    }
    assert_int_equal(checked, 5);
}

/* Roddy, Satellite Communications, 4th ed., section 3.4: visible to 81.3 degrees of longitude. */
static void the_arc_ends_where_the_textbook_says(void **state)
{
    struct look_earth earth = {6378.0, 0.0, 42164.0};
    struct look_site site = {0.0, 0.0, 0.0};

    (void)state;
    assert_true(look_at_geostationary(&earth, &site, 81.25).elevation_deg > 0.0);
    assert_true(look_at_geostationary(&earth, &site, 81.35).elevation_deg < 0.0);
}

/* Geometry: from a pole every slot is equally low, due its own meridian; nothing lies beyond 81.3
 * degrees but below the horizon; straight up there is no azimuth. */
static void nothing_breaks_where_angles_lose_their_meaning(void **state)
{
    static const struct look_site sites[] = {
        {90.0, 0.0, 0.0}, {-90.0, 12.0, 0.0}, {0.0, 10.0, 0.0}, {0.0, -170.0, 0.0}};

    (void)state;
    for (size_t i = 0; i < sizeof sites / sizeof *sites; i++) {
        struct look look = look_at_geostationary(&look_earth_wgs84, &sites[i], 10.0);
        assert_true(look.azimuth_deg >= 0.0 && look.azimuth_deg < 360.0);
        assert_true(fabs(look.skew_v_deg) <= 90.0 && fabs(look.skew_h_deg) <= 90.0);
        assert_true(fabs(look.elevation_deg) <= 90.0);
    }
    /* at the north pole due 10E is 170 degrees clockwise from the way that 0E has as north */
    expect_near(look_at_geostationary(&look_earth_wgs84, &sites[0], 10.0).azimuth_deg, 170.0, 1e-9);
    expect_near(look_at_geostationary(&look_earth_wgs84, &sites[1], 10.0).azimuth_deg, 358.0, 1e-9);
    /* 6356.7523142 km: the polar radius of WGS84 */
    expect_near(look_at_geostationary(&look_earth_wgs84, &sites[0], 10.0).elevation_deg,
                -atan(6356.7523142 / 42164.17) / ANGLE_RAD_PER_DEG, 1e-6);
    expect_near(look_at_geostationary(&look_earth_wgs84, &sites[2], 10.0).elevation_deg, 90.0,
                1e-9);
    expect_near(look_at_geostationary(&look_earth_wgs84, &sites[2], 10.0).range_km,
                42164.17 - 6378.137, 1e-6);
    expect_near(look_at_geostationary(&look_earth_wgs84, &sites[3], 10.0).elevation_deg, -90.0,
                1e-9);
}

static void what_is_not_a_number_stays_visible_as_such(void **state)
{
    static const struct look_site sites[] = {
        {NAN, 0.0, 0.0}, {0.0, NAN, 0.0}, {0.0, 0.0, NAN}, {INFINITY, 0.0, 0.0}};
    static const struct look_site good = {46.6, 10.1, 0.0};

    (void)state;
    for (size_t i = 0; i < sizeof sites / sizeof *sites; i++) {
        struct look look = look_at_geostationary(&look_earth_wgs84, &sites[i], 10.0);
        assert_true(isnan(look.elevation_deg) && isnan(look.range_km) && isnan(look.skew_v_deg));
    }
    assert_true(isnan(look_at_geostationary(&look_earth_wgs84, &good, NAN).azimuth_deg));
    assert_true(isnan(look_refraction_deg(NAN, 0.0)));
    assert_true(isnan(look_refraction_deg(5.0, NAN)));
}

/* Any longitude is the same as one a whole turn away. */
static void longitudes_may_be_written_in_any_turn(void **state)
{
    static const struct look_site site = {-33.9, 151.2, 50.0},
                                  turned = {-33.9, 151.2 - 360.0, 50.0};
    struct look a = look_at_geostationary(&look_earth_wgs84, &site, -175.5);
    struct look b = look_at_geostationary(&look_earth_wgs84, &turned, 184.5);

    (void)state;
    expect_near(a.azimuth_deg, b.azimuth_deg, 1e-9);
    expect_near(a.elevation_deg, b.elevation_deg, 1e-9);
    expect_near(a.skew_v_deg, b.skew_v_deg, 1e-9);
    expect_near(a.skew_simple_deg, b.skew_simple_deg, 1e-9);
}

/*
 * A ray traced through the reference atmosphere of ITU-R P.453, n = 1 + 315e-6 exp(-h / 7.35 km):
 * the bending is the integral of -cot(elevation) dn / n along n r cos(elevation) = constant.
 *
 *   apparent_deg  where the ray arrives
 *   returns       degrees
 */
static double traced_bending_deg(double apparent_deg, double height_km)
{
    static const double earth_km = 6371.0, scale_km = 7.35, n0 = 315e-6;
    const int steps = 20000;
    const double top_root = 10.0; /* up to 100 km in steps of equal root of the height */
    double constant = (1.0 + n0 * exp(-height_km / scale_km)) * (earth_km + height_km) *
                      cos(apparent_deg * ANGLE_RAD_PER_DEG);
    double bending = 0.0;

    for (int i = 0; i < steps; i++) {
        double root = (i + 0.5) * top_root / steps, h = height_km + root * root;
        double air = n0 * exp(-h / scale_km);
        double c = constant / ((1.0 + air) * (earth_km + h));
        bending += air / scale_km / (1.0 + air) * c / sqrt(1.0 - c * c) * 2.0 * root;
    }
    return bending * top_root / steps / ANGLE_RAD_PER_DEG;
}

static void refraction_is_that_of_a_ray_traced_through_the_standard_air(void **state)
{
    static const double apparent_deg[] = {0.0, 0.2, 0.5,  1.0,  2.0,  3.0,  5.0,
                                          7.0, 9.0, 12.0, 20.0, 40.0, 60.0, 80.0};

    (void)state;
    for (int km = 0; km <= 3; km++) {
        for (size_t i = 0; i < sizeof apparent_deg / sizeof *apparent_deg; i++) {
            double bending = traced_bending_deg(apparent_deg[i], km);
            expect_near(look_refraction_deg(apparent_deg[i] - bending, km * 1e3), bending, 0.012);
        }
    }
}

/*
 * ERFA 2.0.0, eraRefco for radio waves at 1013.25 hPa, 15 C, 60 %: A = 0.0182963 and B =
 * -1.87506e-5 degrees in A tan z + B tan^3 z, z the observed zenith distance; solved for the
 * geometric elevations below.
 */
static void refraction_agrees_with_astronomers_above_eight_degrees(void **state)
{
    static const struct {
        double geometric_deg, bending_deg;
    } rows[] = {{8, 0.12176},  {10, 0.09940}, {12, 0.08355}, {15, 0.06700}, {20, 0.04975},
                {30, 0.03155}, {45, 0.01827}, {60, 0.01056}, {80, 0.00322}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(look_refraction_deg(rows[i].geometric_deg, 0.0), rows[i].bending_deg, 0.008);
    }
}

/*
 * Optical refraction for comparison: 28.5' where the geometric elevation is 0, 21.5' at 1 (Meeus,
 * Astronomical Algorithms, chapter 16, from memory). Radio waves are bent some 10 to 20 % more near
 * the ground, where water vapour counts.
 */
static void at_the_horizon_it_is_half_a_degree_and_more(void **state)
{
    (void)state;
    expect_near(look_refraction_deg(0.0, 0.0), 1.2 * 28.5 / 60.0, 0.1 * 28.5 / 60.0);
    expect_near(look_refraction_deg(1.0, 0.0), 1.2 * 21.5 / 60.0, 0.1 * 21.5 / 60.0);
}

static void the_apparent_elevation_never_jumps_nor_turns_back(void **state)
{
    static const double heights_m[] = {-400.0, 0.0, 2200.0, 8000.0, 9000.0};

    (void)state;
    for (size_t i = 0; i < sizeof heights_m / sizeof *heights_m; i++) {
        double before = -90.001, bent_before = look_refraction_deg(before, heights_m[i]);
        for (int n = -9000; n <= 9000; n++) {
            double e = n * 0.01, bent = look_refraction_deg(e, heights_m[i]);
            assert_true(bent >= 0.0 && fabs(bent - bent_before) < 0.006);
            assert_true(e + bent > before);
            before = e + bent;
            bent_before = bent;
        }
    }
    expect_near(look_refraction_deg(-3.0, 0.0), 0.0, 0.0);
    expect_near(look_refraction_deg(90.0, 0.0), 0.0, 1e-9);
    assert_true(look_refraction_deg(5.0, 3000.0) < look_refraction_deg(5.0, 0.0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_of_the_reference_is_met),
        cmocka_unit_test(the_worked_examples_come_out_on_their_own_spheres),
        cmocka_unit_test(the_arc_ends_where_the_textbook_says),
        cmocka_unit_test(nothing_breaks_where_angles_lose_their_meaning),
        cmocka_unit_test(what_is_not_a_number_stays_visible_as_such),
        cmocka_unit_test(longitudes_may_be_written_in_any_turn),
        cmocka_unit_test(refraction_is_that_of_a_ray_traced_through_the_standard_air),
        cmocka_unit_test(refraction_agrees_with_astronomers_above_eight_degrees),
        cmocka_unit_test(at_the_horizon_it_is_half_a_degree_and_more),
        cmocka_unit_test(the_apparent_elevation_never_jumps_nor_turns_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
