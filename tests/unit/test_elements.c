/*
 * Expected values: the fields as Spacetrack Report No. 3 and CCSDS 502.0-B lay them out; read by
 * python3-sgp4 2.15, too, which also counted the checksums. All satellites are invented.
 */
#include "expect.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "sky/elements.h"
#include "sky/elements_omm.h"

#define STILL_1 "1 99001U 26001A   26329.50000000 -.00000200  00000+0  00000+0 0   997\n"
#define STILL_2 "2 99001   3.1000  80.2000 0004000 120.0000 240.0000  1.00271000  1235\n"
#define LATER_1 "1 99001U 26001A   26330.50000000 -.00000200  00000+0  00000+0 0   999\n"
#define FAST_1 "1 00042U 99901ABC 99001.25000000  .00012345  00000+0 -11606-4 0   994\n"
#define FAST_2 "2 00042  51.6416 247.4627 0006703 130.5360 325.0288 15.72125391  1237\n"

static const char still[] = STILL_1 STILL_2;
static const char omm[] = "CCSDS_OMM_VERS = 3.0\n"
                          "COMMENT made up = for the tests\n"
                          "CREATION_DATE = 2026-11-25T00:00:00\n"
                          "ORIGINATOR = NOBODY\n"
                          "\n"
                          "OBJECT_NAME = PTARMIGAN 1\n"
                          "OBJECT_ID = 2026-001A\n"
                          "CENTER_NAME = EARTH\n"
                          "REF_FRAME = TEME\n"
                          "TIME_SYSTEM = UTC\n"
                          "MEAN_ELEMENT_THEORY = SGP/SGP4\n"
                          "EPOCH = 2026-329T12:00:00.000\n"
                          "MEAN_MOTION = 1.00271 [rev/day]\n"
                          "ECCENTRICITY = 0.0004\n"
                          "INCLINATION = 3.1 [deg]\n"
                          "RA_OF_ASC_NODE = 80.2 [deg]\n"
                          "ARG_OF_PERICENTER = 120.0 [deg]\n"
                          "MEAN_ANOMALY = 240.0 [deg]\n"
                          "NORAD_CAT_ID = 99001\n"
                          "ELEMENT_SET_NO = 99\n"
                          "BSTAR = 0.0001 [1/ER]\n";

static struct elements got;
static char why[ELEMENTS_WHY];

static void expect_still(const char *name, const char *designator, double drag)
{
    assert_string_equal(got.name, name);
    assert_string_equal(got.designator, designator);
    assert_string_equal(got.catalogue, "99001");
    expect_near(got.epoch_s, 1795608000.0, 0.0); /* 2026-11-25 12:00 */
    expect_near(got.mean_motion_rev_day, 1.00271, 0.0);
    expect_near(got.eccentricity, 0.0004, 0.0);
    expect_near(got.inclination_deg, 3.1, 0.0);
    expect_near(got.node_deg, 80.2, 0.0);
    expect_near(got.perigee_deg, 120.0, 0.0);
    expect_near(got.anomaly_deg, 240.0, 0.0);
    expect_near(got.drag, drag, 0.0);
}

static void two_lines_are_read_by_their_columns(void **state)
{
    (void)state;
    assert_int_equal(elements_parse(still, NULL, &got, why), 0);
    expect_still("", "26001A", 0.0);
    assert_int_equal(elements_parse("0 PTARMIGAN 1\r\n" STILL_1 "\n" STILL_2, "", &got, why), 0);
    expect_still("PTARMIGAN 1", "26001A", 0.0);
    assert_int_equal(elements_parse(FAST_1 FAST_2, "", &got, why), 0);
    assert_string_equal(got.catalogue, "42");
    assert_string_equal(got.designator, "99901ABC");
    expect_near(got.epoch_s, 915170400.0, 0.0); /* 1999-01-01 06:00 */
    expect_near(got.mean_motion_rev_day, 15.72125391, 0.0);
    expect_near(got.eccentricity, 0.0006703, 0.0);
    expect_near(got.drag, -0.11606e-4, 1e-20);
}

static void a_message_is_read_by_its_keys(void **state)
{
    (void)state;
    assert_int_equal(elements_parse(omm, NULL, &got, why), 0);
    expect_still("PTARMIGAN 1", "2026-001A", 0.0001);
}

static void the_one_that_is_wanted_is_taken(void **state)
{
    static const char file[] =
        "PTARMIGAN 1\n" STILL_1 STILL_2 "SNOWCOCK\n" FAST_1 FAST_2 "PTARMIGAN 1\n" LATER_1 STILL_2;
    static const struct {
        const char *wanted;
        int want;
        const char *name, *why;
    } rows[] = {
        {"ptarmigan 1", 0, "PTARMIGAN 1", ""},
        {"99001", 0, "PTARMIGAN 1", ""},
        {"00042", 0, "SNOWCOCK", ""},
        {"42", 0, "SNOWCOCK", ""},
        {"0", -ENOENT, "", "no elements of \"0\" among 3 sets"},
        {"SNOW", -ENOENT, "", "no elements of \"SNOW\" among 3 sets"},
        {"", -ENOTUNIQ, "",
         "elements of several satellites, 3 sets: say which by a catalogue number or a name that "
         "only one has"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        memset(&got, 0, sizeof got);
        why[0] = '\0';
        assert_int_equal(elements_parse(file, rows[i].wanted, &got, why), rows[i].want);
        assert_string_equal(got.name, rows[i].name);
        assert_string_equal(why, rows[i].why);
    }
    /* of two sets the later one, wherever it stands */
    assert_int_equal(elements_parse(LATER_1 STILL_2 STILL_1 STILL_2, "", &got, why), 0);
    expect_near(got.epoch_s, 1795608000.0 + 86400.0, 0.0);
}

/* A line with something else from a column on; its checksum counted anew. */
static const char *altered(const char *text, int column, const char *with)
{
    static char line[160];
    int sum = 0;

    strcpy(line, text);
    memcpy(line + column - 1, with, strlen(with));
    for (int i = 0; i < 68; i++) {
        sum += line[i] >= '0' && line[i] <= '9' ? line[i] - '0' : line[i] == '-';
    }
    line[68] = (char)('0' + sum % 10);
    return line;
}

static void a_damaged_pair_is_refused_with_its_line(void **state)
{
    static const struct {
        int line, column;
        const char *with, *why;
    } rows[] = {
        {1, 19, "2x", "line 2: the epoch's year, columns 19 and 20, is no number"},
        {1, 21, "000", "line 2: the epoch's day, columns 21 to 32, is not within 1 and 367"},
        {1, 21, "367", "line 2: the epoch's day, columns 21 to 32, is not within 1 and 367"},
        {1, 54, " 0000e-3", "line 2: B*, columns 54 to 61, is not written as 12345-4"},
        {1, 54, "        ", "line 2: B*, columns 54 to 61, is not written as 12345-4"},
        {1, 63, "4", "line 2: column 63 says that it was made for another theory than SGP4"},
        {2, 3, "99002", "line 3: another catalogue number than in the line before"},
        {2, 9, "181.0000", "line 3: the inclination, columns 9 to 16, is no number from 0 to 180"},
        {2, 18, "     1e2",
         "line 3: the ascending node, columns 18 to 25, is no number from 0 to 360"},
        {2, 35, " -1.0000",
         "line 3: the argument of perigee, columns 35 to 42, is no number from 0 to 360"},
        {2, 44, "        ",
         "line 3: the mean anomaly, columns 44 to 51, is no number from 0 to 360"},
        {2, 53, " 0.00000000",
         "line 3: the mean motion, columns 53 to 63, is no number from 0.001 to 20"},
        {2, 27, "00 4000", "line 3: the eccentricity, columns 27 to 33, is not all digits"},
        {2, 27, ".004000", "line 3: the eccentricity, columns 27 to 33, is not all digits"},
        {2, 1, "3", "line 3: line 2 of a pair should stand here"},
        {1, 1, "2", "line 2: line 2 of a pair without a line 1 before it"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[400] = "PTARMIGAN 1\n";
        strcat(text, rows[i].line == 1 ? altered(STILL_1, rows[i].column, rows[i].with) : STILL_1);
        strcat(text, rows[i].line == 2 ? altered(STILL_2, rows[i].column, rows[i].with) : STILL_2);
        memset(&got, 0x5a, sizeof got);
        assert_int_equal(elements_parse(text, NULL, &got, why), -EINVAL);
        assert_string_equal(why, rows[i].why);
        assert_int_equal(got.name[0], 0x5a);
    }
}

/* A slip of one digit or the loss of one character anywhere is found. */
static void a_wrong_character_anywhere_is_found(void **state)
{
    char text[200];

    (void)state;
    for (size_t i = 0; i < strlen(still); i++) {
        if (still[i] < '0' || still[i] > '9') {
            continue;
        }
        strcpy(text, still);
        text[i] = (char)(text[i] == '9' ? '0' : text[i] + 1);
        if (elements_parse(text, NULL, &got, why) == 0) {
            fail_msg("character %zu", i);
        }
        memmove(text + i, still + i + 1, strlen(still + i));
        if (elements_parse(text, NULL, &got, why) == 0) {
            fail_msg("character %zu is missing", i);
        }
    }
    strcpy(text, still);
    text[68] = '8';
    assert_int_equal(elements_parse(text, NULL, &got, why), -EINVAL);
    assert_string_equal(why, "line 1: the checksum at its end should be 7: a character is wrong");
    text[67] = '\n';
    assert_int_equal(elements_parse(text, NULL, &got, why), -EINVAL);
    assert_string_equal(why, "line 1: line 1 of a pair has 69 characters, this one 67");
}

static void a_text_that_is_cut_gives_nothing(void **state)
{
    char text[800];

    (void)state;
    for (size_t n = 0; n < strlen(still) - 1; n++) {
        memcpy(text, still, n);
        text[n] = '\0';
        assert_true(elements_parse(text, NULL, &got, why) < 0);
    }
    for (size_t n = 0; n < strlen(omm) - 30; n++) {
        memcpy(text, omm, n);
        text[n] = '\0';
        if (elements_parse(text, NULL, &got, why) == 0) { /* what follows is not needed */
            assert_true(n > (size_t)(strstr(omm, "MEAN_ANOMALY = 2") - omm));
        }
    }
    assert_int_equal(elements_parse("", NULL, &got, why), -ENOENT);
    assert_string_equal(why, "no elements in it: neither two-line elements nor an OMM");
    memset(text, 'x', 400);
    text[400] = '\0';
    assert_int_equal(elements_parse(text, NULL, &got, why), -EINVAL);
    assert_string_equal(why, "line 1: too long for a line of elements");
}

/* One line of the message gone or another in its place. */
static void a_wrong_message_is_refused_with_line_and_key(void **state)
{
    static const struct {
        const char *from, *with, *why;
    } rows[] = {
        {"EPOCH = ", "EPOCH = tomorrow",
         "line 12: EPOCH: \"tomorrow\": allowed is a time such as 2026-11-25T14:32:06.5"},
        {"MEAN_MOTION = ", "MEAN_MOTION = 0",
         "line 13: MEAN_MOTION: \"0\": allowed is a number from 0.001 to 20"},
        {"ECCENTRICITY = ", "ECCENTRICITY = 1",
         "line 14: ECCENTRICITY: \"1\": allowed is a number from 0 to below 1"},
        {"INCLINATION = ", "INCLINATION = nan",
         "line 15: INCLINATION: \"nan\": allowed is a number from 0 to 180"},
        {"INCLINATION = ", "INCLINATION = 3 deg",
         "line 15: INCLINATION: \"3 deg\": allowed is a number from 0 to 180"},
        {"REF_FRAME = ", "REF_FRAME = GCRF",
         "line 9: REF_FRAME: \"GCRF\": only TEME is understood"},
        {"MEAN_ELEMENT_THEORY", "MEAN_ELEMENT_THEORY = DSST",
         "line 11: MEAN_ELEMENT_THEORY: \"DSST\": only SGP4 SGP/SGP4 is understood"},
        {"TIME_SYSTEM", "TIME_SYSTEM = ", "line 10: TIME_SYSTEM: \"\": only UTC is understood"},
        {"ELEMENT_SET_NO", "EPHEMERIS_TYPE = 4",
         "line 20: EPHEMERIS_TYPE: \"4\": only 0 2 is understood"},
        {"ELEMENT_SET_NO", "BSTAR = 1", "line 21: BSTAR is given twice"},
        {"MEAN_ANOMALY = ", "COMMENT", "line 21: MEAN_ANOMALY is missing"},
        {"ORIGINATOR", "me", "line 4: neither KEY = VALUE nor a COMMENT"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1000];
        const char *at = strstr(omm, rows[i].from), *rest = strchr(at, '\n');
        snprintf(text, sizeof text, "%.*s%s%s", (int)(at - omm), omm, rows[i].with, rest);
        assert_int_equal(elements_parse(text, NULL, &got, why), -EINVAL);
        assert_string_equal(why, rows[i].why);
    }
}

static void several_messages_may_follow_each_other(void **state)
{
    char text[3000];
    const char *id = strstr(omm, "NORAD_CAT_ID = 99001");

    (void)state;
    snprintf(text, sizeof text, "%s\n%.*sNORAD_CAT_ID = 99002%s", omm, (int)(id - omm), omm,
             strchr(id, '\n'));
    assert_int_equal(elements_parse(text, "99002", &got, why), 0);
    assert_string_equal(got.catalogue, "99002");
    assert_int_equal(elements_parse(text, "PTARMIGAN 1", &got, why), -ENOTUNIQ);
    snprintf(text, sizeof text, "%.*sEPOCH%s\n%s", 60, omm, " = 2026-11-25T12:00:00", omm);
    assert_int_equal(elements_parse(text, "99002", &got, why), -EINVAL);
}

/*
 * Node 80.2 + perigee 120 + anomaly 240 = 440.2 less the sidereal time 244.44602 of 2026-11-25
 * 12:00 (ERFA eraGmst82) leaves 164.24602 west. 1.00271 turns are 360.9756 degrees a day, node and
 * perigee add the share 1.5 J2 (6378 / 42164)^2 = 3.72e-5 of that: 0.0033 degrees a day more than
 * the earth's 360.98565.
 */
static void mean_elements_give_the_figure_of_eight(void **state)
{
    struct figure_eight figure;

    (void)state;
    assert_int_equal(elements_parse(still, NULL, &got, why), 0);
    assert_int_equal(elements_figure_eight(&got, &figure), 0);
    expect_near(figure.lon_deg, -164.24602, 1e-5);
    expect_near(figure.drift_deg_day, 0.0033, 1e-4);
    expect_near(figure.epoch_s, got.epoch_s, 0.0);
    expect_near(figure.inclination_deg, 3.1, 0.0);
    expect_near(figure.node_deg, 80.2, 0.0);
    expect_near(figure.eccentricity, 0.0004, 0.0);
    expect_near(figure.perigee_deg, 120.0, 0.0);
    assert_int_equal(elements_parse(FAST_1 FAST_2, NULL, &got, why), 0);
    assert_int_equal(elements_figure_eight(&got, &figure), -EDOM);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_lines_are_read_by_their_columns),
        cmocka_unit_test(a_message_is_read_by_its_keys),
        cmocka_unit_test(the_one_that_is_wanted_is_taken),
        cmocka_unit_test(a_damaged_pair_is_refused_with_its_line),
        cmocka_unit_test(a_wrong_character_anywhere_is_found),
        cmocka_unit_test(a_text_that_is_cut_gives_nothing),
        cmocka_unit_test(a_wrong_message_is_refused_with_line_and_key),
        cmocka_unit_test(several_messages_may_follow_each_other),
        cmocka_unit_test(mean_elements_give_the_figure_of_eight),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
