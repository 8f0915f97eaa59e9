#include "expect.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "source/nmea.h"

enum { COLUMNS = 8, LINE_MOST = 1024 };

/* Expected results of tests/reference/nmea-examples.csv; the file names the source of each. */
static const struct {
    const char *id;
    int want;
    double true_deg, magnetic_deg, pitch_deg, roll_deg;
} expected[] = {
    {"hdt-1", 1, 274.07, NAN, NAN, NAN},      {"hdt-2", 1, 341.8, NAN, NAN, NAN},
    {"hdt-3", 1, 0.0, NAN, NAN, NAN},         {"hdt-4", 1, 359.99, NAN, NAN, NAN},
    {"hdt-5", 0, NAN, NAN, NAN, NAN},         {"hdm-1", 1, NAN, 218.634, NAN, NAN},
    {"hdm-2", 1, NAN, 212.2, NAN, NAN},       {"hdg-1", 1, 85.7, 98.3, NAN, NAN},
    {"hdg-2", 1, 235.9, 234.6, NAN, NAN},     {"hdg-3", 1, 165.0, 175.0, NAN, NAN},
    {"hdg-4", 1, 6.5, 354.0, NAN, NAN},       {"hdg-5", 1, 94.0, 101.1, NAN, NAN},
    {"xdr-1", 1, NAN, NAN, 0.135, NAN},       {"xdr-2", 1, NAN, NAN, NAN, 3.861},
    {"xdr-3", 1, NAN, NAN, 177.0, -40.0},     {"xdr-4", 1, NAN, NAN, 171.0, -37.0},
    {"xdr-5", 0, NAN, NAN, NAN, NAN},         {"xdr-6", 1, NAN, NAN, 2.5, -1.3},
    {"cs-BAD", -EBADMSG, NAN, NAN, NAN, NAN},
};

static void expect_attitude(const struct nmea_attitude *got, double true_deg, double magnetic_deg,
                            double pitch_deg, double roll_deg)
{
    /* one addition of decimals in double precision */
    expect_near(got->true_deg, true_deg, 1e-9);
    expect_near(got->magnetic_deg, magnetic_deg, 1e-9);
    expect_near(got->pitch_deg, pitch_deg, 1e-9);
    expect_near(got->roll_deg, roll_deg, 1e-9);
}

/* A CSV line's columns, quotes undone in place. Returns how many. */
static int split_csv(char *line, char *columns[COLUMNS])
{
    int count = 0;
    char *in = line;

    while (count < COLUMNS) {
        char *out = in;
        bool quoted = *in == '"';
        columns[count++] = out;
        in += quoted;
        while (*in && *in != '\n' && (quoted || *in != ',')) {
            if (quoted && *in == '"') {
                if (in[1] != '"') {
                    quoted = false;
                    in++;
                    continue;
                }
                in++;
            }
            *out++ = *in++;
        }
        bool more = *in == ',';
        in++;
        *out = '\0';
        if (!more) {
            break;
        }
    }
    return count;
}

static void check_example(const char *id, const char *line)
{
    struct nmea_attitude got = {NAN, NAN, NAN, NAN};

    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        if (strcmp(expected[i].id, id) == 0) {
            assert_int_equal(nmea_parse(line, &got), expected[i].want);
            expect_attitude(&got, expected[i].true_deg, expected[i].magnetic_deg,
                            expected[i].pitch_deg, expected[i].roll_deg);
            return;
        }
    }
    fail_msg("no expected result for %s", id);
}

static void every_published_example_is_read(void **state)
{
    FILE *file = fopen(REFERENCE "/nmea-examples.csv", "r");
    char line[LINE_MOST];
    size_t seen = 0;

    (void)state;
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        char *columns[COLUMNS];
        assert_int_equal(split_csv(line, columns), COLUMNS);
        if (nmea_is_sentence(columns[2])) {
            check_example(columns[0], columns[2]);
            seen++;
        }
    }
    fclose(file);
    assert_int_equal(seen, sizeof expected / sizeof *expected);
}

/* A sentence with the checksum it must have. */
static const char *with_sum(const char *body)
{
    static char line[LINE_MOST];
    unsigned sum = 0;

    for (const char *p = body; *p; p++) {
        sum ^= (unsigned char)*p;
    }
    snprintf(line, sizeof line, "$%s*%02X", body, sum);
    return line;
}

static void what_is_not_sound_is_refused_and_says_nothing(void **state)
{
    static const struct {
        const char *body;
        int want;
    } rows[] = {
        {"GPHDT,360.1,T", -ERANGE},
        {"GPHDT,-0.1,T", -ERANGE},
        {"GPHDT,12.3,M", -EINVAL},
        {"GPHDT,12.3", -EINVAL},
        {"GPHDT,12x,T", -EINVAL},
        {"GPHDT,nan,T", -EINVAL},
        {"HCHDM,12.3,T", -EINVAL},
        {"HCHDG,400,,,,", -ERANGE},
        {"HCHDG,12,200,E,,", -ERANGE},
        {"HCHDG,12,2,,,", -EINVAL},
        {"HCHDG,12,2,N,,", -EINVAL},
        {"HCHDG,12,,,3,Q", -EINVAL},
        {"HCHDG,,,,3,E", 0},
        {"HCXDR,A,181,D,PITCH", -ERANGE},
        {"HCXDR,A,x,D,ROLL", -EINVAL},
        {"HCXDR,A,1,D", -EINVAL},
        {"HCXDR,A,1,P,ROLL", 0},
        {"HCXDR,A,,D,ROLL", 0},
        {"GPGGA,1,2,3", 0},
        {"PTNTHTM,123.4,N,12.5,N,-4.3,N,65.0,2454", 0},
        {"HDT,12.3,T", 0},
        {"", 0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmea_attitude got = {1.0, 2.0, 3.0, 4.0};
        int r = nmea_parse(with_sum(rows[i].body), &got);
        if (r != rows[i].want) {
            fail_msg("%s gives %d, want %d", rows[i].body, r, rows[i].want);
        }
        expect_attitude(&got, 1.0, 2.0, 3.0, 4.0);
    }
}

static void the_checksum_decides(void **state)
{
    static const struct {
        const char *line;
        int want;
    } rows[] = {
        {"$GPHDT,274.07,T*03", 1},
        {"$GPHDT,274.07,T*03  ", 1},
        {"$GPHDT,359.99,T*0a", 1},
        {"$GPHDT,274.07,T", -EBADMSG},
        {"$GPHDT,274.07,T*", -EBADMSG},
        {"$GPHDT,274.07,T*0", -EBADMSG},
        {"$GPHDT,274.07,T*03x", -EBADMSG},
        {"$GPHDT,274.07,T*G3", -EBADMSG},
        {"$GPHDT,274.17,T*03", -EBADMSG},
        {"GPHDT,274.07,T*03", -EINVAL},
        {"", -EINVAL},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct nmea_attitude got;
        assert_int_equal(nmea_parse(rows[i].line, &got), rows[i].want);
    }
}

static void a_sentence_of_any_length_is_survived(void **state)
{
    char body[600] = "HCXDR";
    struct nmea_attitude got;

    (void)state;
    while (strlen(body) + 12 < sizeof body) {
        strcat(body, ",A,1,D,X");
        int r = nmea_parse(with_sum(body), &got);
        assert_true(r == 0 || r == -EINVAL);
    }
}

static void the_measured_heading_counts_not_the_one_a_compass_was_set_to(void **state)
{
    struct nmea_attitude attitude;
    struct record_angles angles;

    (void)state;
    assert_int_equal(nmea_parse("$HCHDG,98.3,0.0,E,12.6,W*57", &attitude), 1);
    assert_int_equal(nmea_to_angles(&attitude, "compass", &angles), 0);
    assert_true(angles.magnetic);
    assert_false(angles.scale);
    assert_string_equal(angles.from, "compass");
    expect_near(angles.deg[AXIS_AZIMUTH], 98.3, 1e-9);
    expect_near(angles.deg[AXIS_ELEVATION], NAN, 0.0);

    assert_int_equal(nmea_parse("$GPHDT,274.07,T*03", &attitude), 1);
    assert_int_equal(nmea_to_angles(&attitude, "compass", &angles), 0);
    assert_false(angles.magnetic);
    expect_near(angles.deg[AXIS_AZIMUTH], 274.07, 1e-9);
}

static void pitch_is_elevation_and_roll_is_skew_unless_they_are_raw_counts(void **state)
{
    struct nmea_attitude attitude = {NAN, NAN, 31.25, -22.5};
    struct record_angles angles;

    (void)state;
    assert_int_equal(nmea_to_angles(&attitude, "tilt", &angles), 0);
    expect_near(angles.deg[AXIS_AZIMUTH], NAN, 0.0);
    expect_near(angles.deg[AXIS_ELEVATION], 31.25, 0.0);
    expect_near(angles.deg[AXIS_SKEW], -22.5, 0.0);
    assert_false(angles.magnetic);
    attitude.pitch_deg = 177.0;
    assert_int_equal(nmea_to_angles(&attitude, "tilt", &angles), -ERANGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_published_example_is_read),
        cmocka_unit_test(what_is_not_sound_is_refused_and_says_nothing),
        cmocka_unit_test(the_checksum_decides),
        cmocka_unit_test(a_sentence_of_any_length_is_survived),
        cmocka_unit_test(the_measured_heading_counts_not_the_one_a_compass_was_set_to),
        cmocka_unit_test(pitch_is_elevation_and_roll_is_skew_unless_they_are_raw_counts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
