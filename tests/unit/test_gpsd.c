#include "expect.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "source/gpsd.h"

static struct gpsd_parser *parser;

static int set_up(void **state)
{
    (void)state;
    parser = gpsd_parser_create("gps");
    return parser ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    gpsd_parser_destroy(parser);
    return 0;
}

static int parse(const char *line, struct gpsd_report *report)
{
    char *copy = strdup(line); /* just the right size, so that reading too far is seen */
    char why[RECORD_TEXT_SIZE] = "";
    int r = gpsd_parse_line(parser, copy, report, why);

    free(copy);
    assert_int_equal(r < 0, why[0] != '\0');
    return r;
}

/* Rows att-1 to att-3 of tests/reference/nmea-examples.csv (gpsd 3.22's output and its manual page
 * gpsd_json(5)), then constructed ones. */
static void attitude_gives_true_heading_pitch_and_roll_in_range(void **state)
{
    static const struct {
        const char *line;
        int want, count;
        double azimuth, elevation, skew;
    } rows[] = {
        {"{\"class\":\"ATT\",\"device\":\"/dev/ttyS0\",\"heading\":274.070}", 0, 1, 274.07, NAN,
         NAN},
        {"{\"class\":\"ATT\",\"device\":\"/dev/ttyS0\",\"time\":\"2026-01-01T12:00:00.000Z\","
         "\"heading\":85.70,\"mheading\":98.30,\"pitch\":2.50,\"roll\":-1.30}",
         0, 1, 85.7, 2.5, -1.3},
        /* gpsd 3.22's own parser stumbles over the numeric time of its manual page */
        {"{\"class\":\"ATT\",\"time\":1270938096.843,\"heading\":14223.00,\"mag_st\":\"N\","
         "\"pitch\":169.00,\"pitch_st\":\"N\",\"roll\":-43.00,\"roll_st\":\"N\",\"dip\":13641.000,"
         "\"mag_x\":2454.000}",
         -EINVAL, 0, 0, 0, 0},
        {"{\"class\":\"ATT\",\"heading\":14223.00,\"pitch\":169.00,\"roll\":-43.00}", -ERANGE, 0, 0,
         0, 0},
        {"{\"class\":\"ATT\",\"heading\":123.4,\"pitch\":91.0}", -ERANGE, 0, 0, 0, 0},
        {"{\"class\":\"ATT\",\"heading\":-0.1}", -ERANGE, 0, 0, 0, 0},
        {"{\"class\":\"ATT\",\"roll\":180.1}", -ERANGE, 0, 0, 0, 0},
        {"{\"class\":\"ATT\",\"heading\":360.0}", 0, 1, 0.0, NAN, NAN},
        {"{\"class\":\"ATT\",\"pitch\":31.25}", 0, 1, NAN, 31.25, NAN},
        {"{\"class\":\"ATT\",\"device\":\"/dev/ttyS0\"}", 0, 0, 0, 0, 0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct gpsd_report report = {.count = 0};
        assert_int_equal(parse(rows[i].line, &report), rows[i].want);
        assert_int_equal(report.count, rows[i].count);
        assert_int_equal(report.is_receiver, rows[i].want == 0);
        if (rows[i].count == 1) {
            const struct record_angles *angles = &report.records[0].angles;
            assert_int_equal(report.records[0].kind, RECORD_ANGLES);
            assert_false(angles->magnetic);
            assert_string_equal(angles->from, "gps");
            expect_near(angles->deg[AXIS_AZIMUTH], rows[i].azimuth, 1e-9);
            expect_near(angles->deg[AXIS_ELEVATION], rows[i].elevation, 1e-9);
            expect_near(angles->deg[AXIS_SKEW], rows[i].skew, 1e-9);
        }
    }
}

static void a_position_gives_a_fix_above_the_ellipsoid_and_the_time(void **state)
{
    struct gpsd_report report;

    (void)state;
    assert_int_equal(parse("{\"class\":\"SKY\",\"satellites\":["
                           "{\"PRN\":1,\"el\":3.0,\"az\":4.0,\"ss\":22.0,\"used\":true},"
                           "{\"PRN\":2,\"el\":3.0,\"az\":4.0,\"ss\":22.0,\"used\":false}]}",
                           &report),
                     0);
    assert_int_equal(report.count, 0);
    assert_true(report.is_receiver);
    /* the time: date -u -d 2026-01-01T12:00:00Z +%s */
    assert_int_equal(parse("{\"class\":\"TPV\",\"device\":\"/dev/ttyS0\",\"mode\":3,"
                           "\"time\":\"2026-01-01T12:00:00.500Z\",\"lat\":46.5,\"lon\":-10.1,"
                           "\"altHAE\":2200.5,\"altMSL\":2150.1,\"eph\":3.2}",
                           &report),
                     0);
    assert_int_equal(report.count, 2);
    assert_true(report.is_position);
    assert_int_equal(report.records[0].kind, RECORD_FIX);
    assert_int_equal(report.records[0].fix.mode, 3);
    assert_int_equal(report.records[0].fix.satellites, 1);
    expect_near(report.records[0].fix.lat_deg, 46.5, 0.0);
    expect_near(report.records[0].fix.lon_deg, -10.1, 0.0);
    expect_near(report.records[0].fix.height_m, 2200.5, 0.0);
    expect_near(report.records[0].fix.error_m, 3.2, 0.0);
    assert_int_equal(report.records[1].kind, RECORD_UTC);
    expect_near(report.records[1].utc.unix_s, 1767268800.5, 1e-6);

    assert_int_equal(parse("{\"class\":\"SKY\",\"uSat\":7,\"satellites\":[]}", &report), 0);
    assert_int_equal(parse("{\"class\":\"SKY\",\"hdop\":0.9}", &report), 0);
    assert_int_equal(parse("{\"class\":\"TPV\",\"mode\":2,\"lat\":46.5,\"lon\":10.1}", &report), 0);
    assert_int_equal(report.count, 1);
    assert_int_equal(report.records[0].fix.mode, 2);
    assert_int_equal(report.records[0].fix.satellites, 7);
    expect_near(report.records[0].fix.height_m, NAN, 0.0);
    expect_near(report.records[0].fix.error_m, NAN, 0.0);
    expect_near(report.unix_s, NAN, 0.0);
}

static void without_a_fix_neither_place_nor_time_is_taken(void **state)
{
    struct gpsd_report report;

    (void)state;
    assert_int_equal(parse("{\"class\":\"TPV\",\"mode\":3,\"time\":\"2026-01-01T12:00:00.000Z\","
                           "\"lat\":46.5,\"lon\":10.1}",
                           &report),
                     0);
    assert_int_equal(
        parse("{\"class\":\"TPV\",\"mode\":1,\"time\":\"2006-01-01T12:00:00.000Z\"}", &report), 0);
    assert_int_equal(report.count, 1);
    assert_int_equal(report.records[0].kind, RECORD_FIX);
    assert_int_equal(report.records[0].fix.mode, 1);
    expect_near(report.records[0].fix.lat_deg, NAN, 0.0);
    expect_near(report.records[0].fix.lon_deg, NAN, 0.0);
    assert_int_equal(report.records[0].fix.satellites, -1);
}

static void what_is_no_line_of_gpsd_is_refused(void **state)
{
    static const struct {
        const char *line;
        int want;
    } rows[] = {
        {"", -EINVAL},
        {"{", -EINVAL},
        {"{}", -EINVAL},
        {"SNR=12.1", -EINVAL},
        {"{\"mode\":3,\"class\":\"TPV\"}", -EINVAL},
        {"{\"class\":\"TPV\",bad", -EINVAL},
        {"{\"class\":\"TPV\"", -EINVAL},
        {"{\"class\":\"TPV\",\"mode\":3,\"lat\":46.5,\"lo", -EINVAL},
        {"{\"class\":\"TPV\",\"mode\":3,\"lat\":91.0,\"lon\":10.1}", -ERANGE},
        {"{\"class\":\"TPV\",\"mode\":3,\"lat\":46.0,\"lon\":180.1}", -ERANGE},
        {"{\"class\":\"TPV\",\"mode\":3,\"lat\":1e400,\"lon\":10.1}", -EINVAL},
        {"{\"class\":\"TPV\",\"mode\":3,\"lat\":46.0,\"lon\":10.1,\"altHAE\":1e6}", -ERANGE},
        {"{\"class\":\"TPV\",\"mode\":1}{\"class\":\"TPV\",\"mode\":1}", -EINVAL},
        {"{\"class\":\"TPV\",\"mode\":{\"class\":\"TPV\"}}", -EINVAL},
        {"{\"class\":\"TPV\",\"mode\":1,\"mode\":3}", -EINVAL},
        /* gps_unpack() of libgps 3.22 never comes back from this one */
        {"{\"class\":\"DEVICES\",,devices\":[{\"class\":\"DEVICE\",\"path\":\"/dev/ttyS0\"}]}",
         -EINVAL},
        {"{\"class\":\"ERROR\",\"message\":\"no\"}", -EINVAL},
        {"{\"class\":\"VERSION\",\"release\":\"3.22\",\"rev\":\"3.22\",\"proto_major\":3,"
         "\"proto_minor\":14}",
         0},
        {"{\"class\":\"DEVICES\",\"devices\":[]}", 0},
        {"{\"class\":\"WATCH\",\"enable\":true,\"json\":true}", 0},
        {"{\"class\":\"OF A LATER GPSD\",\"x\":1}", 0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct gpsd_report report = {.count = 77, .is_receiver = true};
        int r = parse(rows[i].line, &report);
        if (r != rows[i].want) {
            fail_msg("%s gives %d, want %d", rows[i].line, r, rows[i].want);
        }
        assert_int_equal(report.count, r < 0 ? 77 : 0);
        assert_int_equal(report.is_receiver, r < 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(attitude_gives_true_heading_pitch_and_roll_in_range, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(a_position_gives_a_fix_above_the_ellipsoid_and_the_time,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(without_a_fix_neither_place_nor_time_is_taken, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(what_is_no_line_of_gpsd_is_refused, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
