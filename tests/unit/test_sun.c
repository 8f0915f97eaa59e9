/* Expected values: ERFA's full models and NREL's report (tests/reference/README.md); the low
 * accuracy method of Meeus, written here; the almanac's equation of time. */
#include "expect.h"

#include <errno.h>
#include <math.h>

#include "csv.h"
#include "sky/angle.h"
#include "sky/sun.h"
#include "sky/utc.h"

#define RAD ANGLE_RAD_PER_DEG

static double time_of(const char *text)
{
    double t = NAN;

    assert_int_equal(utc_parse(text, &t), 0);
    return t;
}

/* ERFA's rows to 0.0001 degrees; NREL's by another ephemeris, with their own UT1 and delta T. */
static void every_row_of_the_reference_is_met(void **state)
{
    struct csv csv;
    int checked = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/sun-positions.csv"));
    while (csv_next(&csv)) {
        struct look_site site = {csv_number(&csv, "lat_deg"), csv_number(&csv, "lon_deg"),
                                 csv_number(&csv, "height_m")};
        double t = time_of(csv_text(&csv, "utc"));
        struct sun_track track;
        struct sun sun;

        if (csv_number(&csv, "pressure_hpa") > 0.0) {
            continue; /* with refraction */
        }
        assert_int_equal(sun_track_make(utc_midnight(t), &track), 0);
        sun = sun_at(&track, &site, t);
        expect_near(sun.elevation_deg, csv_number(&csv, "elevation_deg"), 1.0e-4);
        expect_near(angle_turn_deg(csv_number(&csv, "azimuth_deg"), sun.azimuth_deg) *
                        cos(sun.elevation_deg * RAD),
                    0.0, 1.0e-4);
        checked++;
    }
    assert_int_equal(checked, 62);
}

/*
 * Meeus, Astronomical Algorithms, chapter 25, the method of low accuracy (0.01 degrees), sidereal
 * time of chapter 12, parallax 8.794"; on a sphere whose vertical is the ellipsoid's.
 */
static void meeus(const struct look_site *site, double unix_s, double *ret_az, double *ret_el)
{
    double d = unix_s / 86400.0 + 2440587.5 - 2451545.0, t = (d + 69.0 / 86400.0) / 36525.0;
    double mean = 280.46646 + 36000.76983 * t + 0.0003032 * t * t;
    double m = (357.52911 + 35999.05029 * t - 0.0001537 * t * t) * RAD;
    double centre = (1.914602 - 0.004817 * t) * sin(m) + (0.019993 - 0.000101 * t) * sin(2.0 * m) +
                    0.000289 * sin(3.0 * m);
    double node = (125.04 - 1934.136 * t) * RAD;
    double lon = (mean + centre - 0.00569 - 0.00478 * sin(node)) * RAD;
    double tilt = (23.439291 - 0.0130042 * t + 0.00256 * cos(node)) * RAD;
    double ra = atan2(cos(tilt) * sin(lon), cos(lon)), dec = asin(sin(tilt) * sin(lon));
    double turn = (280.46061837 + 360.98564736629 * d) * RAD;
    double hour = turn + site->lon_deg * RAD - ra, lat = site->lat_deg * RAD;

    *ret_az = 180.0 + atan2(sin(hour), cos(hour) * sin(lat) - tan(dec) * cos(lat)) / RAD;
    *ret_el = asin(sin(lat) * sin(dec) + cos(lat) * cos(dec) * cos(hour)) / RAD;
    *ret_el -= 8.794 / 3600.0 * cos(*ret_el * RAD);
}

static void a_simple_method_agrees_to_its_own_accuracy(void **state)
{
    static const struct look_site sites[] = {
        {46.6, 10.1, 2200.0}, {-33.9, 151.2, 50.0}, {0.5, -78.5, 2800.0}, {69.6, 18.9, 0.0}};
    int checked = 0;

    (void)state;
    for (double t = time_of("2001-01-01"); t < time_of("2050-01-01"); t += 3.7e6) {
        struct sun_track track;
        assert_int_equal(sun_track_make(t, &track), 0);
        for (size_t i = 0; i < 4; i++) {
            double when = t + 3600.0 * (double)(checked % 24), az, el;
            struct sun sun = sun_at(&track, &sites[i], when);
            meeus(&sites[i], when, &az, &el);
            expect_near(look_angle_deg(sun.azimuth_deg, sun.elevation_deg, az, el), 0.0, 0.013);
            checked++;
        }
    }
    assert_true(checked > 1000);
}

/*
 * The equation of time has its extremes of +16 min 25 s on 3 November and -14 min 14 s on 11
 * February (any almanac; from memory): at Greenwich the sun is due south so much before or after
 * noon.
 */
static void the_sun_is_due_south_when_the_almanac_says(void **state)
{
    static const struct look_site greenwich = {51.4779, 0.0, 46.0};
    static const struct {
        const char *day;
        double noon_s;
    } rows[] = {{"2026-11-03", -985.0}, {"2027-02-11", 854.0}};

    (void)state;
    for (size_t i = 0; i < 2; i++) {
        struct sun_track track;
        struct sun_time got[SUN_TIMES];
        double midnight = time_of(rows[i].day);

        assert_int_equal(sun_track_make(midnight, &track), 0);
        assert_int_equal(sun_in_azimuth(&track, &greenwich, 180.0, got), 1);
        expect_near(got[0].unix_s - midnight - 43200.0, rows[i].noon_s, 4.0);
        assert_false(got[0].behind);
        assert_int_equal(sun_in_azimuth(&track, &greenwich, 0.0, got), 1);
        assert_true(got[0].behind);
    }
}

/* At each moment found the sun, by the simple method, stands in the azimuth or opposite. */
static void a_moment_found_is_a_moment_met(void **state)
{
    static const struct look_site sites[] = {
        {46.6, 10.1, 2200.0}, {-33.9, 151.2, 50.0}, {12.0, 15.0, 300.0}, {-3.1, -60.0, 60.0}};
    int found = 0, behind = 0;

    (void)state;
    for (double az = 3.0; az < 360.0; az += 8.5) {
        for (size_t i = 0; i < 4; i++) {
            struct sun_track track;
            struct sun_time got[SUN_TIMES];
            size_t n;

            assert_int_equal(sun_track_make(time_of("2026-06-11"), &track), 0);
            n = sun_in_azimuth(&track, &sites[i], az, got);
            for (size_t k = 0; k < n; k++) {
                double sun_az, sun_el, later_az, later_el;
                meeus(&sites[i], got[k].unix_s, &sun_az, &sun_el);
                meeus(&sites[i], got[k].unix_s + 60.0, &later_az, &later_el);
                expect_near(angle_turn_deg(az + (got[k].behind ? 180.0 : 0.0), sun_az) *
                                cos(sun_el * RAD),
                            0.0, 0.013);
                expect_near(got[k].elevation_deg, sun_el, 0.013);
                expect_near(got[k].rate_deg_min, angle_turn_deg(sun_az, later_az),
                            0.01 + 0.1 * fabs(got[k].rate_deg_min));
                assert_true(got[k].elevation_deg > 0.0 &&
                            (k == 0 || got[k].unix_s > got[k - 1].unix_s));
                behind += got[k].behind;
                found++;
            }
        }
    }
    assert_true(found > 150 && behind > 20);
}

/* In June at 12N the sun rises north of east, goes back to the north and passes 65 degrees twice.
 */
static void in_the_tropics_one_azimuth_may_come_twice(void **state)
{
    static const struct look_site tropic = {12.0, 15.0, 300.0};
    struct sun_track track;
    struct sun_time got[SUN_TIMES];

    (void)state;
    assert_int_equal(sun_track_make(time_of("2026-06-21"), &track), 0);
    assert_int_equal(sun_in_azimuth(&track, &tropic, 67.5, got), 2);
    assert_true(got[0].rate_deg_min > 0.0 && got[1].rate_deg_min < 0.0);
}

/* Polar night: the sun does not rise at 78N in December. */
static void below_the_horizon_there_is_no_shadow(void **state)
{
    static const struct look_site north = {78.2, 15.6, 0.0};
    struct sun_track track;
    struct sun_time got[SUN_TIMES];

    (void)state;
    assert_int_equal(sun_track_make(time_of("2026-12-21"), &track), 0);
    assert_int_equal(sun_in_azimuth(&track, &north, 180.0, got), 0);
    assert_int_equal(sun_track_make(time_of("2026-06-21"), &track), 0);
    assert_int_equal(sun_in_azimuth(&track, &north, 180.0, got), 2); /* round the clock */
}

/* The disc is 31' 31" wide in July and 32' 33" in January (any almanac; from memory). */
static void the_disc_is_as_wide_as_in_the_almanac(void **state)
{
    static const struct look_site site = {46.6, 10.1, 2200.0};
    struct sun_track track;

    (void)state;
    assert_int_equal(sun_track_make(time_of("2026-01-03"), &track), 0);
    expect_near(2.0 * sun_at(&track, &site, track.start_s).radius_deg, 32.55 / 60.0, 0.05 / 60.0);
    assert_int_equal(sun_track_make(time_of("2026-07-06"), &track), 0);
    expect_near(2.0 * sun_at(&track, &site, track.start_s).radius_deg, 31.48 / 60.0, 0.05 / 60.0);
}

static void a_time_that_is_none_is_refused(void **state)
{
    struct sun_track track = {.start_s = -1.0};

    (void)state;
    assert_int_equal(sun_track_make(NAN, &track), -ERANGE);
    assert_int_equal(sun_track_make(1e15, &track), -ERANGE);
    expect_near(track.start_s, -1.0, 0.0);
}

static void what_is_not_a_number_stays_so(void **state)
{
    static const struct look_site site = {46.6, 10.1, 2200.0}, none = {NAN, 10.1, 0.0};
    struct sun_track track;
    struct sun_time got[SUN_TIMES];

    (void)state;
    assert_int_equal(sun_track_make(time_of("2026-01-03"), &track), 0);
    assert_true(isnan(sun_at(&track, &site, NAN).elevation_deg));
    assert_true(isnan(sun_at(&track, &none, track.start_s).azimuth_deg));
    assert_int_equal(sun_in_azimuth(&track, &none, 180.0, got), 0);
    assert_int_equal(sun_in_azimuth(&track, &site, NAN, got), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_of_the_reference_is_met),
        cmocka_unit_test(a_simple_method_agrees_to_its_own_accuracy),
        cmocka_unit_test(the_sun_is_due_south_when_the_almanac_says),
        cmocka_unit_test(a_moment_found_is_a_moment_met),
        cmocka_unit_test(in_the_tropics_one_azimuth_may_come_twice),
        cmocka_unit_test(below_the_horizon_there_is_no_shadow),
        cmocka_unit_test(the_disc_is_as_wide_as_in_the_almanac),
        cmocka_unit_test(a_time_that_is_none_is_refused),
        cmocka_unit_test(what_is_not_a_number_stays_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
