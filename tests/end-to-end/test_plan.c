/*
 * The plan command as it is typed: what it prints, what it complains of, how it ends. Expected
 * values: the tables of tests/reference/.
 */
#include "../unit/expect.h"
#include "../unit/csv.h"
#include "../unit/scratch.h"

#include <jansson.h>
#include <stdbool.h>

#include "run_plan.h"

static double number(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);

    if (!json_is_number(value)) {
        fail_msg("%s is no number in %s", key, out);
    }
    return json_number_value(value);
}

static json_t *parse_output(void)
{
    json_error_t error;
    json_t *object = json_loads(out, JSON_REJECT_DUPLICATES, &error);

    if (!object) {
        fail_msg("%s: %s", error.text, out);
    }
    return object;
}

/* A few dozen rows of look-angles-wgs84.csv, through all of the command. */
static void json_gives_the_tables_values_at_full_precision(void **state)
{
    struct csv csv;
    int checked = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/look-angles-wgs84.csv"));
    while (csv_next(&csv)) {
        char arguments[256];
        double elevation = csv_number(&csv, "elevation_deg");
        json_t *object;

        if (strcmp(csv_text(&csv, "kind"), "geo") != 0 || csv.row % 5 != 0) {
            continue;
        }
        snprintf(arguments, sizeof arguments, "--site=%s,%s,%s --target=%s --pol=%s --json",
                 csv_text(&csv, "lat_deg"), csv_text(&csv, "lon_deg"), csv_text(&csv, "height_m"),
                 csv_text(&csv, "sat_lon_deg"), checked % 2 ? "V" : "H");
        assert_int_equal(run(arguments), elevation > -0.5 ? 0 : 1);
        object = parse_output();
        expect_near(number(object, "azimuth_deg"), csv_number(&csv, "azimuth_deg"), 1e-6);
        expect_near(number(object, "elevation_deg"), elevation, 1e-6);
        expect_near(number(object, "range_km"), csv_number(&csv, "range_km"), 1e-6);
        expect_near(number(object, "skew_deg"),
                    csv_number(&csv, checked % 2 ? "tilt_perp_deg" : "tilt_par_deg"), 1e-6);
        assert_true(number(object, "elevation_apparent_deg") >= number(object, "elevation_deg"));
        assert_true(isfinite(number(object, "azimuth_magnetic_deg")));
        assert_true(json_is_boolean(json_object_get(object, "visible")));
        json_decref(object);
        checked++;
    }
    assert_true(checked >= 30);
}

/* wmm2025-test-values.csv, r02: declination -0.16 degrees. */
static void declination_is_of_the_day_that_is_asked_for(void **state)
{
    json_t *object;

    (void)state;
    assert_int_equal(run("--site=0,120 --target 90E --pol V --date 2025-01-01 --json"), 0);
    assert_string_equal(err, "");
    object = parse_output();
    expect_near(number(object, "declination_deg"), -0.16, 0.005);
    expect_near(number(object, "azimuth_magnetic_deg"), 270.16, 0.005);
    assert_true(json_is_true(json_object_get(object, "magnetic_in_date")));
    assert_string_equal(json_string_value(json_object_get(object, "date")), "2025-01-01");
    assert_true(json_is_null(json_object_get(object, "beam_azimuth_deg")));
    assert_true(json_is_null(json_object_get(json_object_get(object, "site"), "name")));
    json_decref(object);
}

/* look-angle-examples.csv, roddy-3.1-3.2 on WGS84. */
static void the_sheet_names_all_that_is_to_be_set(void **state)
{
    static const char *const parts[] = {"162.90 deg", "47.99 deg",   "-14.01 deg",    "37203 km",
                                        "magnetic",   "declination", "elevation",     "skew",
                                        "geometric",  "90.00 W",     "polarisation V"};

    (void)state;
    assert_int_equal(run("--site=35,-100 --target=90W --pol=V --date=2026-05-01"), 0);
    assert_string_equal(err, "");
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (!strstr(out, parts[i])) {
            fail_msg("no \"%s\" in %s", parts[i], out);
        }
    }
}

static void below_the_horizon_it_says_how_far_and_fails(void **state)
{
    json_t *object;

    (void)state;
    assert_int_equal(run("--site=46.6,10.1 --target=91E --pol=V --date=2026-05-01"), 1);
    assert_non_null(strstr(out, "2.2 deg below the horizon"));
    assert_string_equal(err, "");
    assert_int_equal(run("--site=46.6,10.1 --target=91E --pol=V --date=2026-05-01 --json"), 1);
    object = parse_output();
    assert_true(json_is_false(json_object_get(object, "visible")));
    assert_true(number(object, "elevation_deg") < 0.0);
    json_decref(object);
}

static void flags_go_over_the_job_file(void **state)
{
    static const char job[] = "[site]\nname = Hut\nlat = 10\nlon = 20\nheight = 100\n"
                              "[target]\nname = Ptarmigan 1\nlongitude = 30E\npolarisation = H\n"
                              "[mount]\nelevation_scale_zero = -20\n"
                              "[antenna]\nbeam_width = 2\nbeam_height = 2\n";
    char arguments[1024];
    json_t *object;

    (void)state;
    snprintf(arguments, sizeof arguments, "--target=25E --job %s --site=46.6,10.1 --json",
             scratch_write("job", job, sizeof job - 1));
    assert_int_equal(run(arguments), 0);
    object = parse_output();
    assert_string_equal(json_string_value(json_object_get(object, "polarisation")), "H");
    expect_near(number(json_object_get(object, "target"), "lon_deg"), 25.0, 0.0);
    expect_near(number(json_object_get(object, "site"), "lat_deg"), 46.6, 1e-12);
    expect_near(number(json_object_get(object, "scale"), "elevation_deg"),
                number(object, "elevation_apparent_deg") - 20.0, 1e-9);
    expect_near(number(object, "beam_elevation_deg"), 2.0, 1e-9);
    json_decref(object);
}

static void a_doubtful_compass_is_warned_of_on_standard_error(void **state)
{
    (void)state;
    assert_int_equal(run("--site=46.6,10.1 --target=21E --pol=V --date=2031-02-28"), 0);
    assert_non_null(strstr(err, "peakward: warning: the magnetic declination is out of date"));
    assert_non_null(strstr(err, "2031-02-28"));
    assert_int_equal(run("--site=46.6,10.1 --target=21E --pol=V --date=2024-01-01"), 0);
    assert_non_null(strstr(err, "out of date"));
    assert_int_equal(run("--site=70,-100 --target=100W --pol=V --date=2026-02-28"), 0);
    assert_non_null(strstr(err, "a compass is not to be trusted here"));
    /* the zone around the magnetic pole itself, 85.8 N 138 E in 2026 (model's own map, from memory)
     */
    assert_int_equal(run("--site=85.8,138 --target=138E --pol=V --date=2026-02-28"), 1);
    assert_non_null(strstr(err, "no compass is of use here"));
}

/* The coefficients of 2025 under the name that the next model may have. */
static void a_newer_model_takes_the_built_in_ones_place(void **state)
{
    static const char header[] = "2030.0 WMM-2030 11/13/2029\n";
    static char model[MOST_OUTPUT], job[2048];
    char arguments[1024];
    json_t *object;
    FILE *file = fopen(SOURCES "/src/sky/WMM2025.COF", "r");
    size_t n = sizeof header - 1;

    (void)state;
    assert_non_null(file);
    assert_non_null(fgets(model, sizeof model, file)); /* its own header */
    memcpy(model, header, n);
    n += fread(model + n, 1, sizeof model - n, file);
    fclose(file);
    snprintf(job, sizeof job, "[files]\nmagnetic_model = %s\n",
             scratch_write("next.cof", model, n));
    snprintf(arguments, sizeof arguments,
             "--job %s --site=0,120 --target=90E --pol=V --date=2030-01-01 --json",
             scratch_write("job", job, strlen(job)));
    assert_int_equal(run(arguments), 0);
    assert_string_equal(err, "");
    object = parse_output();
    assert_string_equal(json_string_value(json_object_get(object, "magnetic_model")), "WMM-2030");
    expect_near(number(object, "declination_deg"), -0.16, 0.005); /* r02 again, at its epoch */
    json_decref(object);

    scratch_write("next.cof", model, n / 2);
    assert_int_equal(run(arguments), 2);
    assert_non_null(strstr(err, "next.cof: line "));
}

static void wrong_usage_is_told_in_one_sentence(void **state)
{
    static const struct {
        const char *arguments, *complaint;
    } rows[] = {
        {"--target=21E --pol=V", "peakward: the job: no site: "},
        {"--site=46.6,10.1 --pol=V", "peakward: the job: no target: "},
        {"--site=46.6,10.1 --target=21E", "peakward: the job: [target] polarisation is missing: "},
        {"--site=46.6 --target=21E --pol=V", "peakward: --site: 46.6: give LAT,LON"},
        {"--site=46.6,10.1,0,9 --target=21E --pol=V", "peakward: --site: 46.6,10.1,0,9: give "},
        {"--site=96.6,10.1 --target=21E --pol=V", "peakward: --site: lat = 96.6: allowed is "},
        {"--site=,10.1 --target=21E --pol=V", "peakward: --site: lat = (nothing): allowed is "},
        {"--site=46.6,10.1,high --target=21E --pol=V", "peakward: --site: height = high: "},
        {"--site=46.6,10.1 --target=21X --pol=V", "peakward: --target: longitude = 21X: "},
        {"--site=46.6,10.1 --target=21E --pol=Z", "peakward: --pol: polarisation = Z: allowed "},
        {"--site=46.6,10.1 --target=21E --pol=V --date=2026-02-29",
         "peakward: --date: 2026-02-29: "},
        {"--site=46.6,10.1 --target=21E --pol=V --date=26-2-9", "peakward: --date: 26-2-9: give "},
        {"--site=46.6,10.1 --target=21E --pol=V --date=today", "peakward: --date: today: give "},
        {"--job /nowhere/at/all", "peakward: /nowhere/at/all: can't be read: "},
        {"--site", "peakward: --site: the value is missing: "},
        {"--json=yes", "peakward: --json=yes: this flag takes no value: "},
        {"--sight=46.6,10.1", "peakward: --sight=46.6,10.1: no such flag: "},
        {"--targett=21E", "peakward: --targett=21E: no such flag: perhaps --target was meant"},
        {"-x", "peakward: -x: no such flag: "},
        {"21E", "peakward: 21E: not a flag: "},
        {"\033[2J", "peakward: ?[2J: not a flag: "},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        int status = run(rows[i].arguments);
        if (status != 2 || strncmp(err, rows[i].complaint, strlen(rows[i].complaint)) != 0 ||
            strchr(err, '\n') != err + strlen(err) - 1 || out[0] != '\0') {
            fail_msg("plan %s: status %d, \"%s\", \"%s\"", rows[i].arguments, status, err, out);
        }
    }
}

static void help_goes_to_standard_output(void **state)
{
    (void)state;
    assert_int_equal(run("--help"), 0);
    assert_non_null(strstr(out, "--site LAT,LON,HEIGHT"));
    assert_non_null(strstr(out, "--date YYYY-MM-DD"));
    assert_string_equal(err, "");
}

static void a_sheet_that_can_not_be_written_is_no_success(void **state)
{
    (void)state;
    assert_int_equal(run_into("--site=46.6,10.1 --target=21E --pol=V", "/dev/full"), 1);
    assert_non_null(strstr(err, "could not be written"));
    assert_int_equal(run_into("--site=46.6,10.1 --target=21E --pol=V --json", "/dev/full"), 1);
}

static void load_text(const char *path, char *ret, size_t size)
{
    FILE *file = fopen(path, "r");
    size_t n;

    assert_non_null(file);
    n = fread(ret, 1, size - 1, file);
    ret[n] = '\0';
    fclose(file);
    assert_true(n < size - 1);
}

static char manual[32768];

/* Whether the output has just this line. */
static bool is_line(const char *line, size_t n)
{
    for (const char *p = out; p; p = strchr(p, '\n'), p = p ? p + 1 : NULL) {
        if (strncmp(p, line, n) == 0 && p[n] == '\n') {
            return true;
        }
    }
    return false;
}

static void the_sheet_in_the_manual_is_the_one_that_is_printed(void **state)
{
    int lines = 0, printed = 0;

    (void)state;
    load_text(SOURCES "/docs/plan.md", manual, sizeof manual);
    assert_int_equal(run("--job=" SOURCES "/docs/examples/hut.job --date=2026-11-25T09:30"), 0);
    for (const char *p = manual; p && *p; p = strchr(p, '\n'), p = p ? p + 1 : NULL) {
        size_t n = strcspn(p, "\n");
        if (n > 4 && strncmp(p, "    ", 4) == 0 && strncmp(p + 4, "peakward", 8) != 0) {
            if (!is_line(p + 4, n - 4)) {
                fail_msg("docs/plan.md has \"%.*s\", the sheet has not", (int)n, p);
            }
            lines++;
        }
    }
    for (const char *p = out; *p; p++) {
        printed += *p == '\n' && p[1] != '\n' && p[1] != '\0';
    }
    assert_int_equal(lines, printed + 1); /* none is left out */
    assert_true(printed < 60);            /* one page */
}

static void expect_keys_explained(const json_t *value)
{
    const char *key;
    const json_t *inner;
    char quoted[64];
    size_t i;

    json_object_foreach((json_t *)value, key, inner)
    {
        snprintf(quoted, sizeof quoted, "`%s`", key);
        if (!strstr(manual, quoted)) {
            fail_msg("docs/plan.md does not explain %s", quoted);
        }
        expect_keys_explained(inner);
    }
    json_array_foreach(value, i, inner)
    {
        expect_keys_explained(inner);
    }
}

static void every_key_of_the_json_is_explained(void **state)
{
    static const char more[] = "[antenna]\ndiameter = 0.75\nfrequency = 11.7\ngain = 37\n"
                               "[link]\neirp = 50\nnoise_temperature = 120\nsymbol_rate = 30\n"
                               "rain = 20\nrain_path = 3\n[transmitter]\npower = 3\n"
                               "frequency = 14\n[target]\ninclination = 1\nlongitude = 22.4E\n"
                               "polarisation = H\n[neighbour Ibex 4]\nlongitude = 25E\n"
                               "[skyline]\npoint = 140 60\npoint = 180 60\n";
    char arguments[1000];
    json_t *object;

    (void)state;
    load_text(SOURCES "/docs/plan.md", manual, sizeof manual);
    snprintf(arguments, sizeof arguments, "--job=%s --site=46.6,10.1 --json",
             scratch_write("more.job", more, sizeof more - 1));
    assert_int_equal(run(arguments), 0);
    object = parse_output();
    assert_true(json_is_object(json_object_get(object, "link")));
    assert_true(json_is_object(json_object_get(object, "motion")));
    assert_true(json_is_object(json_object_get(object, "exposure")));
    expect_keys_explained(object);
    json_decref(object);
}

static void files_that_the_job_names_are_read_or_complained_of(void **state)
{
    static const struct {
        const char *key, *text, *says;
    } rows[] = {
        {"[antenna]\npattern", "-1 -9\nbad\n", "cut.txt:2: allowed are degrees and dB"},
        {"[antenna]\npattern_height", "-1 -9\n0 0\n", "cut.txt: fewer than 3 readings"},
        {"[target]\nelements", "nothing\n", "cut.txt: "},
    };
    char body[1024], arguments[1000];

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        snprintf(body, sizeof body, "%s = %s\n", rows[i].key,
                 scratch_write("cut.txt", rows[i].text, strlen(rows[i].text)));
        snprintf(arguments, sizeof arguments, "--job=%s --site=46.6,10.1 --target=22E --pol=V",
                 scratch_write("cut.job", body, strlen(body)));
        assert_int_equal(run(arguments), 2);
        assert_non_null(strstr(err, rows[i].says));
        assert_string_equal(out, "");
    }
}

static void the_drawing_goes_to_its_file(void **state)
{
    static char drawing[65536];
    char arguments[1000], path[600];

    (void)state;
    snprintf(path, sizeof path, "%s", scratch_path("sky.svg"));
    snprintf(arguments, sizeof arguments, "--site=46.6,10.1 --target=22E --pol=V --svg=%s", path);
    assert_int_equal(run(arguments), 0);
    load_text(path, drawing, sizeof drawing);
    assert_int_equal(strncmp(drawing, "<?xml", 5), 0);
    assert_non_null(strstr(drawing, "</svg>\n"));
    assert_non_null(strstr(out, "Pointing sheet"));
    assert_int_equal(run("--site=46.6,10.1 --target=22E --pol=V --svg=/nowhere/sky.svg"), 1);
    assert_non_null(strstr(err, "/nowhere/sky.svg: No such file"));
    assert_int_equal(run("--site=46.6,10.1 --target=22E --pol=V --svg=/dev/full"), 1);
    assert_non_null(strstr(err, "could not be written"));
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(json_gives_the_tables_values_at_full_precision),
        cmocka_unit_test(declination_is_of_the_day_that_is_asked_for),
        cmocka_unit_test(the_sheet_names_all_that_is_to_be_set),
        cmocka_unit_test(below_the_horizon_it_says_how_far_and_fails),
        cmocka_unit_test(flags_go_over_the_job_file),
        cmocka_unit_test(a_doubtful_compass_is_warned_of_on_standard_error),
        cmocka_unit_test(a_newer_model_takes_the_built_in_ones_place),
        cmocka_unit_test(wrong_usage_is_told_in_one_sentence),
        cmocka_unit_test(help_goes_to_standard_output),
        cmocka_unit_test(the_sheet_in_the_manual_is_the_one_that_is_printed),
        cmocka_unit_test(every_key_of_the_json_is_explained),
        cmocka_unit_test(files_that_the_job_names_are_read_or_complained_of),
        cmocka_unit_test(the_drawing_goes_to_its_file),
        cmocka_unit_test(a_sheet_that_can_not_be_written_is_no_success),
    };

    if (argc != 2) {
        return 2;
    }
    program = argv[1];
    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
