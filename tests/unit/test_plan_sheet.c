/* Expected values: the tables of tests/reference/ and what follows from them by hand. */
#include "expect.h"

#include <stdlib.h>
#include <string.h>

#include "csv.h"
#include "plan_stage.h"
#include "sky/angle.h"

/* date -u -d 2025-01-01 +%s, and so on */
static const double new_year_2025 = 1735689600.0, new_year_2031 = 1924992000.0,
                    new_year_2036 = 2082758400.0;

/* look-angle-examples.csv, roddy-3.1-3.2 on WGS84. */
static void the_sheet_says_what_the_table_says(void **state)
{
    (void)state;
    place("35N", "100W", "90W", "V");
    make(new_year_2025);
    expect_near(sheet.row.look.azimuth_deg, 162.8981, 0.00005);
    expect_near(sheet.row.look.elevation_deg, 47.9910, 0.00005);
    expect_near(sheet.row.look.range_km, 37202.64, 0.005);
    expect_near(sheet.row.skew_deg, -14.0075, 0.00005);
    says("162.90 deg");
    says("47.99 deg");
    says("-14.01 deg  anticlockwise off the vertical, from behind");
    says("37203 km");
    says("35.00000 N, 100.00000 W");
    says("90.00 W, polarisation V");
    says("2025-01-01");
    says_not("the target");
    says_not("scale");
    says_not("beam");
    fits_80_columns();
    assert_true(sheet.row.visible && !sheet.overhead);
}

/* wmm2025-test-values.csv, r02: 0.16 degrees west; a site on the equator sees the arc due west. */
static void magnetic_is_true_less_the_declination(void **state)
{
    (void)state;
    place("0", "120E", "90E", "H");
    make(new_year_2025);
    expect_near(sheet.row.look.azimuth_deg, 270.0, 1e-9);
    expect_near(sheet.row.field.declination_deg, -0.16, 0.005);
    expect_near(sheet.row.azimuth_magnetic_deg, 270.16, 0.005);
    says("270.16 deg  by a compass");
    says("-0.16 deg  west, sure to 0.29 (1 sigma), WMM-2025"); /* sqrt(0.26^2 + (5417/39678)^2) */
    /* a row of the arc along the prime vertical lies flat there: H is upright */
    expect_near(fabs(sheet.row.skew_deg), 90.0, 1e-9);
}

/* look-angles-wgs84.csv, every row: the skew of either polarisation, turned by the satellite. */
static void skew_is_that_of_the_polarisation_and_the_satellites_turn(void **state)
{
    struct csv csv;
    int checked = 0;

    (void)state;
    place("0", "0", "0", "V");
    set("target", "skew_offset", "-7.5");
    assert_true(csv_open(&csv, REFERENCE "/look-angles-wgs84.csv"));
    while (csv_next(&csv)) {
        if (strcmp(csv_text(&csv, "kind"), "geo") != 0) {
            continue;
        }
        place(csv_text(&csv, "lat_deg"), csv_text(&csv, "lon_deg"), csv_text(&csv, "sat_lon_deg"),
              checked % 2 ? "V" : "H");
        job.site.place.height_m = csv_number(&csv, "height_m");
        make(new_year_2025);
        expect_near(
            angle_turn_axial_deg(csv_number(&csv, checked % 2 ? "tilt_perp_deg" : "tilt_par_deg"),
                                 sheet.row.skew_deg + 7.5),
            0.0, 1e-6);
        assert_true(sheet.row.skew_deg > -90.0 && sheet.row.skew_deg <= 90.0);
        fits_80_columns();
        checked++;
        job.setting_count = 0; /* the record of what was set has an end */
    }
    assert_int_equal(checked, 200);
}

static void roundings_are_not_shown_as_a_full_turn_or_less_than_nothing(void **state)
{
    (void)state;
    place("35S", "90.001E", "90E", "V"); /* a hair to the west of north */
    make(new_year_2025);
    assert_true(sheet.row.look.azimuth_deg > 359.99 && sheet.row.look.azimuth_deg < 360.0);
    says_not("360.00");
    says_not("-0.00");
    place("35S", "89.999E", "90E", "V");
    make(new_year_2025);
    says_not("-0.00");
}

static void circular_polarisation_has_no_skew(void **state)
{
    (void)state;
    place("46.6", "10.1", "21.5E", "circular");
    set("target", "skew_offset", "5");
    make(new_year_2025);
    assert_true(isnan(sheet.row.skew_deg));
    says("none");
    says("circular polarisation");
    fits_80_columns();
}

static void the_mounts_scales_and_the_beam_are_shown_when_they_are_known(void **state)
{
    (void)state;
    place("35N", "100W", "90W", "V");
    set("site", "name", "Hut");
    set("target", "name", "Ptarmigan 1");
    set("mount", "elevation_scale_zero", "-22");
    set("mount", "skew_scale_sense", "-1");
    set("antenna", "beam_width", "2");
    set("antenna", "beam_height", "3");
    make(new_year_2025);
    says("Pointing sheet: Hut");
    says("Ptarmigan 1");
    expect_near(sheet.scale_deg[AXIS_ELEVATION], sheet.row.elevation_apparent_deg - 22.0, 1e-9);
    expect_near(sheet.scale_deg[AXIS_SKEW], 14.0075, 0.00005);
    says("26.01 deg  what the mount has to show"); /* 47.991 + 0.016 - 22 */
    says("14.01 deg  what the mount has to show");
    /* turned at the feed the dish stays upright: 2 / cos(48.006) = 2.989 */
    expect_near(sheet.beam.azimuth.width_deg, 2.989, 0.001);
    expect_near(sheet.beam.elevation.width_deg, 3.0, 1e-9);
    says("beam in azimuth");
    fits_80_columns();
}

static void a_satellite_below_the_horizon_is_said_to_be_there(void **state)
{
    char east[32];

    (void)state;
    /* Roddy, section 3.4: the arc ends 81.3 degrees away; the air lifts it by some half a degree */
    place("0", "0", "83.7E", "V");
    make(new_year_2025);
    assert_false(sheet.row.visible);
    assert_true(sheet.arc_deg > 81.3 && sheet.arc_deg < 82.2);
    says("deg below the horizon");
    says("at azimuth 90.0 deg");
    says_not("nan");
    says_not("slant");
    fits_80_columns();
    place("0", "170E", "0", "V");
    make(new_year_2025);
    /* the far side of the date line: 170 + 82 - 360 */
    snprintf(east, sizeof east, "eastward to %.2f W.", 190.0 - sheet.arc_deg);
    says(east);
    fits_80_columns();
}

static void just_below_is_not_said_to_be_nothing(void **state)
{
    char lon[32];

    (void)state;
    place("0", "0", "83E", "V");
    make(new_year_2025);
    snprintf(lon, sizeof lon, "%.6f", sheet.arc_deg + 0.005);
    place("0", "0", lon, "V");
    make(new_year_2025);
    assert_false(sheet.row.visible);
    says("less than 0.1 deg below the horizon");
    snprintf(lon, sizeof lon, "%.6f", sheet.arc_deg - 0.005);
    place("0", "0", lon, "V");
    make(new_year_2025);
    assert_true(sheet.row.visible);
}

/* Geometry: from 81.3 degrees of latitude on nothing of the arc is in sight. */
static void near_a_pole_there_is_no_arc(void **state)
{
    (void)state;
    place("85S", "12", "12", "V");
    make(new_year_2025);
    assert_true(isnan(sheet.arc_deg));
    says("too near a pole");
    fits_80_columns();
}

/* Below the satellite V is perpendicular to the equator and so lies north-south. */
static void straight_up_azimuth_is_said_to_mean_little(void **state)
{
    json_t *object;

    (void)state;
    set("antenna", "beam_width", "2");
    set("antenna", "beam_height", "2");
    place("0", "10.1", "10.1", "V");
    make(new_year_2025);
    assert_true(sheet.overhead);
    assert_true(isnan(sheet.beam.azimuth.width_deg));
    says("nearly straight up");
    says("V lies north-south");
    fits_80_columns();
    place("0", "10.1", "10.1", "H");
    set("target", "skew_offset", "3");
    make(new_year_2025);
    says_not("east-west");
    object = plan_sheet_json(&job, &sheet);
    assert_true(json_is_true(json_object_get(object, "overhead")));
    assert_true(json_is_null(json_object_get(object, "beam_azimuth_deg")));
    json_decref(object);
    place("2N", "10.1", "10.1", "H");
    make(new_year_2025);
    assert_false(sheet.overhead);
}

static void a_date_out_of_the_models_years_is_never_a_sure_number(void **state)
{
    (void)state;
    place("46.6", "10.1", "21.5E", "V");
    make(new_year_2031);
    assert_false(sheet.row.field.in_date);
    assert_true(isfinite(sheet.row.azimuth_magnetic_deg));
    assert_true(isnan(sheet.row.field.declination_error_deg));
    says("WMM-2025 is out of date");
    says_not("sigma");
    make(new_year_2036);
    assert_true(isnan(sheet.row.azimuth_magnetic_deg) && isnan(sheet.row.field.declination_deg));
    says("not known for this date");
    says_not("nan");
    fits_80_columns();
}

/* wmm2025-limits.csv; the field around the magnetic pole in the north of Canada. */
static void a_compass_is_not_praised_where_it_fails(void **state)
{
    json_t *object;

    (void)state;
    place("70N", "100W", "100W", "V");
    make(new_year_2025);
    assert_true(sheet.row.field.weak && !sheet.row.field.blackout);
    says("a compass is not to be trusted here");
    object = plan_sheet_json(&job, &sheet);
    assert_string_equal(json_string_value(json_object_get(object, "magnetic_zone")), "caution");
    json_decref(object);
    sheet.row.field.blackout = true;
    plan_sheet_text(&job, &sheet, text, sizeof text);
    says("no compass is of use here");
}

static void the_longest_names_still_fit(void **state)
{
    (void)state;
    place("-89.99999", "-179.99999", "-179.99", "circular");
    memset(job.site.name, 'n', sizeof job.site.name - 1);
    memset(job.target.satellite.name, 'm', sizeof job.target.satellite.name - 1);
    make(new_year_2025);
    fits_80_columns();
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(the_sheet_says_what_the_table_says, set_up),
        cmocka_unit_test_setup(magnetic_is_true_less_the_declination, set_up),
        cmocka_unit_test_setup(skew_is_that_of_the_polarisation_and_the_satellites_turn, set_up),
        cmocka_unit_test_setup(roundings_are_not_shown_as_a_full_turn_or_less_than_nothing, set_up),
        cmocka_unit_test_setup(circular_polarisation_has_no_skew, set_up),
        cmocka_unit_test_setup(the_mounts_scales_and_the_beam_are_shown_when_they_are_known,
                               set_up),
        cmocka_unit_test_setup(a_satellite_below_the_horizon_is_said_to_be_there, set_up),
        cmocka_unit_test_setup(just_below_is_not_said_to_be_nothing, set_up),
        cmocka_unit_test_setup(near_a_pole_there_is_no_arc, set_up),
        cmocka_unit_test_setup(straight_up_azimuth_is_said_to_mean_little, set_up),
        cmocka_unit_test_setup(a_date_out_of_the_models_years_is_never_a_sure_number, set_up),
        cmocka_unit_test_setup(a_compass_is_not_praised_where_it_fails, set_up),
        cmocka_unit_test_setup(the_longest_names_still_fit, set_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
