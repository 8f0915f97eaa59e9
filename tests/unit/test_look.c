/* Expected values: GeographicLib 2.1.2 and textbooks; tests/reference/README.md names each. */
#include "expect.h"

#include <math.h>

#include "csv.h"
#include "sky/angle.h"
#include "sky/look.h"

static void check_row(const struct csv *csv, const struct look *look)
{
    expect_near(look->elevation_deg, csv_number(csv, "elevation_deg"), 1e-6);
    expect_near(look->range_km, csv_number(csv, "range_km"), 1e-3);
    /* straight up, azimuth and skew lose their meaning as 1/cos(elevation) */
    if (look->elevation_deg < 89.99) {
        expect_near(angle_turn_deg(csv_number(csv, "azimuth_deg"), look->azimuth_deg), 0.0, 1e-4);
        expect_near(angle_turn_axial_deg(csv_number(csv, "tilt_perp_deg"), look->skew_v_deg), 0.0,
                    1e-4);
        expect_near(angle_turn_axial_deg(csv_number(csv, "tilt_par_deg"), look->skew_h_deg), 0.0,
                    1e-4);
    }
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
                0.0, 1e-5);
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
        /* one printed elevation contradicts its own cosine by a degree: the table says so */
        if (strcmp(csv_text(&csv, "id"), "tutorial-1") != 0) {
            check_printed(&csv, "printed_elevation_deg", look.elevation_deg);
        }
        check_printed(&csv, "recomputed_elevation_deg", look.elevation_deg);
        look = look_at_geostationary(&look_earth_wgs84, &site, csv_number(&csv, "sat_lon_deg"));
        check_printed(&csv, "wgs84_azimuth_deg", look.azimuth_deg);
        check_printed(&csv, "wgs84_elevation_deg", look.elevation_deg);
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

static void nothing_breaks_where_angles_lose_their_meaning(void **state)
{
    static const struct look_site sites[] = {
        {90.0, 0.0, 0.0}, {-90.0, 12.0, 0.0}, {0.0, 10.0, 0.0}, {0.0, -170.0, 0.0}};

    (void)state;
    for (size_t i = 0; i < sizeof sites / sizeof *sites; i++) {
        struct look look = look_at_geostationary(&look_earth_wgs84, &sites[i], 10.0);
        assert_true(isfinite(look.azimuth_deg) && isfinite(look.elevation_deg));
        assert_true(isfinite(look.skew_v_deg) && isfinite(look.skew_h_deg));
    }
    expect_near(look_at_geostationary(&look_earth_wgs84, &sites[2], 10.0).elevation_deg, 90.0,
                1e-9);
    assert_true(
        isnan(look_at_geostationary(&look_earth_wgs84, &sites[0], (double)NAN).azimuth_deg));
}

/*
 * Optical refraction for comparison: 34.5' at the horizon, 24' at 1, 5.3' at 10, 1.7' at 30 degrees
 * (Meeus, Astronomical Algorithms, chapter 16, from memory). Radio waves are bent some 10 to 20 %
 * more near the ground, where water vapour counts: P.834's average atmosphere.
 */
static void refraction_is_of_the_known_size(void **state)
{
    static const struct {
        double geometric_deg, optical_arcmin;
    } rows[] = {{0.0, 28.5}, {1.0, 21.5}, {5.0, 9.5}, {10.0, 5.2}, {30.0, 1.7}, {60.0, 0.55}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double got = look_refraction_deg(rows[i].geometric_deg, 0.0) * 60.0;
        assert_true(got > 0.9 * rows[i].optical_arcmin && got < 1.35 * rows[i].optical_arcmin);
    }
    assert_true(look_refraction_deg(5.0, 3000.0) < look_refraction_deg(5.0, 0.0));
    expect_near(look_refraction_deg(10.0001, 0.0), look_refraction_deg(9.9999, 0.0), 1e-5);
    expect_near(look_refraction_deg(-40.0, 0.0), 0.0, 0.0);
    expect_near(look_refraction_deg(90.0, 0.0), 0.0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_of_the_reference_is_met),
        cmocka_unit_test(the_worked_examples_come_out_on_their_own_spheres),
        cmocka_unit_test(the_arc_ends_where_the_textbook_says),
        cmocka_unit_test(nothing_breaks_where_angles_lose_their_meaning),
        cmocka_unit_test(refraction_is_of_the_known_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
