/*
 * The pointing sheet's parts beside the angles: beam, neighbours, skyline, sun, motion, signal,
 * exposure. Expected values: the tables of tests/reference/ and what follows from them by hand.
 */
#include "expect.h"

#include <string.h>

#include "job/cut_file.h"
#include "job/elements_file.h"
#include "plan_stage.h"

/* date -u -d 2026-02-25T09:30 +%s */
static const double a_morning = 1772011800.0;

static const char *const heads[] = {"Beam",    "Neighbours", "Skyline",
                                    "CAUTION", "Signal",     "The satellite's motion"};

static void a_hut(void)
{
    place("46.6", "10.1", "22.4", "V");
    set("site", "height", "2200");
}

static void a_dish(void)
{
    set("antenna", "diameter", "0.75");
    set("antenna", "frequency", "11.7");
}

static void what_the_job_does_not_say_is_left_out(void **state)
{
    json_t *object;

    (void)state;
    a_hut();
    make(a_morning);
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++) {
        says_not(heads[i]);
    }
    says_not("utage");
    says_not("nan");
    object = plan_sheet_json(&job, &sheet);
    assert_true(json_is_null(json_object_get(object, "beam")));
    assert_true(json_is_null(json_object_get(object, "arc")));
    assert_true(json_is_null(json_object_get(object, "motion")));
    assert_true(json_is_null(json_object_get(object, "link")));
    assert_true(json_is_null(json_object_get(object, "exposure")));
    json_decref(object);
    fits_80_columns();
}

/* rf-relations.csv, rows hpbw-70-11.7-0.75 and mainlobe-0.1; elevation 35.10 as the sheet has it */
static void the_beam_lies_on_the_mounts_scales(void **state)
{
    const double width = 2.3915;

    (void)state;
    a_hut();
    a_dish();
    set("mount", "azimuth_turn", "1.5");
    make(a_morning);
    double scale = 1.0 / cos(sheet.row.elevation_apparent_deg * 3.14159265358979 / 180.0);
    expect_near(sheet.beam.elevation.width_deg, width, 0.0005);
    expect_near(sheet.beam.azimuth.width_deg, width * scale, 0.0005);
    expect_near(sheet.beam.azimuth.width_turns, width * scale / 1.5, 0.001);
    expect_near(sheet.beam.azimuth.error_deg[3], 0.5 * width * scale, 0.005);
    /* 12 (x / width)^2 = 1 dB; a real aperture's top is up to 3 percent wider */
    expect_near(sheet.beam.elevation.error_deg[2], width * sqrt(1.0 / 12.0), 0.03 * width * 0.29);
    says("its bolt            0.67 turns  for a degree");
    says("beam in azimuth       2.92 deg  half-power width, 1.9 turns of the bolt");
    says_not("aslant");
    fits_80_columns();
}

static void a_measured_pattern_takes_the_formulas_place(void **state)
{
    static const char cut[] = "0 40\n1 37\n2 30\n3 12\n4 19\n5 10\n";
    char why[JOB_ERROR_SIZE];

    (void)state;
    assert_int_equal(cut_file_read_text("cut", cut, &files.width_cut, why), 0);
    files.has_width_cut = true;
    a_hut();
    make(a_morning);
    assert_true(sheet.beam.known);
    expect_near(sheet.beam.elevation.lobe_db, -21.0, 0.2);
    expect_near(sheet.beam.elevation.lobe_deg, 4.0, 0.05);
    expect_near(sheet.beam.elevation.error_deg[3], 1.0, 1e-6);
    memset(&files, 0, sizeof files);
}

static void neighbours_stand_from_left_to_right(void **state)
{
    (void)state;
    a_hut();
    a_dish();
    set("neighbour Marmot 2", "longitude", "19.7E");
    set("neighbour Ibex 4", "longitude", "25.1E");
    set("neighbour Alpine Swift", "longitude", "28E");
    set("neighbour Far away", "longitude", "33E");
    make(a_morning);
    assert_int_equal(sheet.arc.count, 3); /* the last is 10.6 degrees away */
    assert_string_equal(sheet.arc.neighbours[0].seen.name, "Alpine Swift");
    assert_string_equal(sheet.arc.neighbours[2].seen.name, "Marmot 2");
    says("From the right Marmot 2 is met before the target.");
    /* from the left the dish passes below Alpine Swift: it stands lower by more than half a beam */
    assert_true(sheet.arc.neighbours[0].seen.elevation_deg < -0.5 * 2.39);
    says("From the left Ibex 4 is met before the target.");
    says_not("Far away");
    says_not("mask"); /* no gain is given */
    set("antenna", "gain", "37.4");
    make(a_morning);
    says("the mask of ITU-R S.465 allows"); /* 29 wavelengths: S.580 begins at 50 */
    fits_80_columns();
}

static void a_panel_across_the_arc_is_told_of(void **state)
{
    (void)state;
    place("5", "60", "22.4", "V");
    set("antenna", "kind", "panel");
    set("antenna", "width", "0.9");
    set("antenna", "height", "0.35");
    set("antenna", "frequency", "12");
    set("mount", "skew_by", "feed");
    set("neighbour Ibex 4", "longitude", "25.1E");
    make(a_morning);
    says("The panel does not lie along the arc: it hears Ibex 4 by");
    set("mount", "skew_by", "panel"); /* turned to V it stands across the arc's rise: along it */
    make(a_morning);
    says("the whole antenna turns, its beam with it");
    says("aslant");
    says_not("does not lie along the arc");
    fits_80_columns();
}

static void the_skyline_is_compared_with_the_beams_edge(void **state)
{
    (void)state;
    a_hut();
    a_dish();
    set("skyline", "point", "110 4");
    set("skyline", "point", "165 6");
    set("skyline", "point", "190 6");
    make(a_morning);
    /* 35.10 less half of 2.39, less 6 degrees and what the slope from 4 to 6 leaves */
    expect_near(sheet.skyline.clearance.edge_deg, 33.90, 0.01);
    expect_near(sheet.skyline.clearance.clearance_deg, 27.9, 0.1);
    says("clearance             27.9 deg  above the skyline");
    /* 10 m away the beam is still a cylinder: 10 tan 35.10 - 0.375 / cos 35.10; 50 m away it has
     * opened: 50 tan 33.90 */
    expect_near(sheet.skyline.room_m[1], 6.57, 0.01);
    expect_near(sheet.skyline.room_m[3], 33.60, 0.01);
    set("skyline", "object", "163 20 16 3"); /* atan(16/20) = 38.66 degrees */
    make(a_morning);
    says("THE BEAM IS BLOCKED");
    expect_near(sheet.skyline.clearance.skyline_deg, 38.66, 0.01);
    assert_true(sheet.skyline.span_count == 1);
    says("A sweep at this elevation looks at the skyline at azimuth 159 to 167 deg.");
    fits_80_columns();
}

static void the_sun_is_a_compass_and_a_danger(void **state)
{
    (void)state;
    a_hut();
    make(a_morning);
    says("never look into it");
    says("away from the satellite");
    assert_int_equal(sheet.sun.time_count, 1);
    /* the sun's own place at that time: the sky's tests hold it to ERFA and NREL */
    struct sun at = sun_at(&sheet.sun.track, &job.site.place, sheet.sun.times[0].unix_s);
    expect_near(at.azimuth_deg, sheet.row.look.azimuth_deg, 1e-3);
    says_not("utage"); /* neither beam nor noise are known */
    a_dish();
    set("link", "noise_temperature", "120");
    make(a_morning);
    /* the satellite is seen 6.9 degrees south of the equator: the sun stands there about the end of
     * February (any almanac) */
    says("Sun outages (noise up by 1.0 dB or more) daily from 2026-0");
    says("It is no fault");
    fits_80_columns();
}

static void the_night_has_no_sun_and_the_far_north_no_shadow(void **state)
{
    (void)state;
    a_hut();
    make(a_morning - 6 * 3600.0);
    says("At 03:30 UTC it is below the horizon.");
    place("75N", "10.1", "12E", "V");
    make(a_morning - 60 * 86400.0); /* polar night */
    says("On this day no shadow lies in the satellite's azimuth.");
    fits_80_columns();
}

/* An inclination of 2 degrees is seen as about that from afar: the site is 38 000 km from it, the
 * earth's centre 42 164 (geometry): 2 * 42164 / 38165 = 2.2. */
static void an_inclined_satellite_draws_its_eight(void **state)
{
    (void)state;
    a_hut();
    a_dish();
    set("target", "inclination", "2");
    make(a_morning);
    says("motion over 24 hours, by inclination and box of the job");
    expect_near(sheet.sway.spread.angle_deg, 2.2, 0.1);
    assert_true(sheet.sway.loss_db > 10.0); /* 0.92 of a beam away: 12 * 0.85 dB and more */
    says("beamwidths off");
    assert_true(isnan(sheet.sway.lon_deg));
    fits_80_columns();
}

static void elements_say_where_it_is_now(void **state)
{
    /* invented, as a geostationary satellite at 22.4 E would have them: with node, perigee and
     * anomaly 0 it stands over the equator where the sidereal time is its right ascension */
    static const char omm[] =
        "CCSDS_OMM_VERS = 2.0\nOBJECT_NAME = PTARMIGAN 1\nOBJECT_ID = 2020-001A\n"
        "CENTER_NAME = EARTH\nREF_FRAME = TEME\nTIME_SYSTEM = UTC\n"
        "MEAN_ELEMENT_THEORY = SGP4\nEPOCH = 2026-02-25T00:00:00\nMEAN_MOTION = 1.0027\n"
        "ECCENTRICITY = 0.0001\nINCLINATION = 0.05\n"
        "RA_OF_ASC_NODE = 177.5\nARG_OF_PERICENTER = 0\nMEAN_ANOMALY = 0\n"
        "NORAD_CAT_ID = 99999\nBSTAR = 0\n";
    char why[ELEMENTS_WHY] = "";

    (void)state;
    if (elements_file_read_text(omm, sizeof omm - 1, NULL, &files.elements, why) < 0) {
        fail_msg("%s", why);
    }
    files.has_elements = true;
    a_hut();
    a_dish();
    make(a_morning);
    says("motion over 24 hours, by SGP4/SDP4 and its elements");
    /* sidereal time at Greenwich on 2026-02-25 0h: 154.9 degrees (100.46 + 0.98565 d, Meeus) */
    expect_near(sheet.sway.lon_deg, 177.5 - 154.9, 0.5);
    says("Elements of 0.4 days ago");
    assert_true(sheet.sway.spread.angle_deg < 0.2);
    set("target", "longitude", "30E");
    make(a_morning);
    says("deg from the job's slot");
    fits_80_columns();
    memset(&files, 0, sizeof files);
}

static void the_signal_is_summed_and_its_modulation_named(void **state)
{
    (void)state;
    a_hut();
    a_dish();
    set("link", "eirp", "51");
    set("link", "gt", "16.5");
    make(a_morning);
    /* 92.4478 + 20 log 11.7 + 20 log 38165 = 205.44 dB; -228.6 dBW/K/Hz */
    expect_near(sheet.link.budget.free_space_db, 205.44, 0.01);
    expect_near(sheet.link.budget.cn0_dbhz, 51.0 - 205.44 + 16.5 + 228.6 - sheet.link.budget.gas_db,
                0.01);
    says("C/N0, clear sky       90.6 dBHz");
    says_not("Es/N0");
    set("link", "symbol_rate", "30");
    set("link", "margin", "1");
    make(a_morning);
    /* 90.57 - 74.77 = 15.80 dB, less 1: 32APSK 5/6 from 14.28 on (EN 302 307-1) */
    says("In clear sky 32APSK 5/6 holds with 0.5 dB to spare: 123.6 Mbit/s at most.");
    says("falls back to 32APSK 4/5, 118.5 Mbit/s.");
    /* over 1 dB 4.119540 falls to 3.951571 (32APSK 4/5 at 13.64): times 30 MBd, a tenth of it */
    says("Each tenth of a dB lost costs 0.5 Mbit/s on average.");
    says_not("In the rain");
    set("link", "rain", "20");
    set("link", "rain_path", "3");
    make(a_morning);
    says("In the rain");
    says("noise up 0.0 dB"); /* not known */
    fits_80_columns();
}

/* rf-relations.csv rows xpi-1 (35.16 dB) and xpi-5 (21.16 dB), with 34 dB added in power. */
static void isolation_follows_from_skew_and_antenna(void **state)
{
    (void)state;
    a_hut();
    set("antenna", "cross_polar", "34");
    make(a_morning);
    expect_near(sheet.link.isolation_db[1], -10 * log10(pow(10, -3.51616) + pow(10, -3.4)), 1e-3);
    says("isolation             34.0 dB  at best; 31.5, 27.9, 20.9 when 1, 2, 5 deg off");
    set("link", "isolation", "35");
    make(a_morning);
    says("The antenna itself does not reach the 35 dB of isolation wanted.");
    fits_80_columns();
    set("target", "polarisation", "circular");
    make(a_morning);
    says_not("isolation");
}

/* rf-safety.csv, rows c-surf-8-0.75-29.5 and c-d10-8-0.75-29.5: 72.4 W/m2 and 45.3 m. */
static void the_caution_names_the_distance(void **state)
{
    (void)state;
    a_hut();
    set("antenna", "diameter", "0.75");
    set("antenna", "beam_width", "1");
    set("transmitter", "power", "8");
    set("transmitter", "frequency", "29.5");
    set("transmitter", "efficiency", "0.6");
    make(a_morning);
    says("CAUTION");
    says("up to 72 W/m2 at its face");
    says("is kept from 46 m on");
    says("local rules and a survey decide");
    fits_80_columns();
}

static void everything_together_still_fits(void **state)
{
    (void)state;
    a_hut();
    a_dish();
    set("mount", "azimuth_turn", "1.5");
    set("mount", "skew_by", "panel");
    set("antenna", "height", "0.5");
    set("antenna", "gain", "37.4");
    set("antenna", "cross_polar", "34");
    set("neighbour A name that is longer than most of them are, and more", "longitude", "25E");
    set("neighbour \u00c4lpler \u2014 mit langem Namen und noch etwas dazu", "longitude", "19E");
    set("skyline", "point", "110 4");
    set("skyline", "point", "165 40");
    set("skyline", "point", "190 6");
    set("target", "inclination", "5");
    set("link", "eirp", "51.25");
    set("link", "noise_temperature", "120");
    set("link", "symbol_rate", "27.4997");
    set("link", "rain", "20.25");
    set("link", "rain_path", "3.25");
    set("link", "isolation", "30");
    set("link", "standard", "DVB-S2X");
    set("transmitter", "power", "3");
    set("transmitter", "frequency", "14.2");
    for (int hour = 0; hour < 24 * 365; hour += 31 * 5) {
        make(a_morning + hour * 3600.0);
        fits_80_columns();
        says_not("nan");
    }
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++) {
        says(heads[i]);
    }
    assert_true(strlen(text) + 1 < sizeof text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(what_the_job_does_not_say_is_left_out, set_up),
        cmocka_unit_test_setup(the_beam_lies_on_the_mounts_scales, set_up),
        cmocka_unit_test_setup(a_measured_pattern_takes_the_formulas_place, set_up),
        cmocka_unit_test_setup(neighbours_stand_from_left_to_right, set_up),
        cmocka_unit_test_setup(a_panel_across_the_arc_is_told_of, set_up),
        cmocka_unit_test_setup(the_skyline_is_compared_with_the_beams_edge, set_up),
        cmocka_unit_test_setup(the_sun_is_a_compass_and_a_danger, set_up),
        cmocka_unit_test_setup(the_night_has_no_sun_and_the_far_north_no_shadow, set_up),
        cmocka_unit_test_setup(an_inclined_satellite_draws_its_eight, set_up),
        cmocka_unit_test_setup(elements_say_where_it_is_now, set_up),
        cmocka_unit_test_setup(the_signal_is_summed_and_its_modulation_named, set_up),
        cmocka_unit_test_setup(isolation_follows_from_skew_and_antenna, set_up),
        cmocka_unit_test_setup(the_caution_names_the_distance, set_up),
        cmocka_unit_test_setup(everything_together_still_fits, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
