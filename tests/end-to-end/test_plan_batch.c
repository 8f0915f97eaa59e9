/*
 * `plan --batch` and `plan --csv` as they are typed. Expected values: the tables of
 * tests/reference/.
 */
#include "../unit/expect.h"
#include "../unit/csv.h"

#include "run_plan.h"

enum { MOST_TABLE = 65536 };

static char table[MOST_TABLE];

static void begin(const char *text)
{
    snprintf(table, sizeof table, "%s", text);
}

static void add(const char *format, ...) __attribute__((format(printf, 1, 2)));

static void add(const char *format, ...)
{
    size_t n = strlen(table);
    va_list arguments;

    va_start(arguments, format);
    n += (size_t)vsnprintf(table + n, sizeof table - n, format, arguments);
    va_end(arguments);
    assert_true(n < sizeof table);
}

/* Write the table and run the batch over it. */
static int batch(const char *flags)
{
    char arguments[1000];

    snprintf(arguments, sizeof arguments, "--batch %s %s",
             scratch_write("in.csv", table, strlen(table)), flags);
    return run(arguments);
}

static void expect_says(const char *text, const char *part)
{
    if (!strstr(text, part)) {
        fail_msg("\"%s\" is not in:\n%s", part, text);
    }
}

/* look-angles-wgs84.csv: GeographicLib's positions; every row with its own site and satellite. */
static void every_row_has_the_tables_values(void **state)
{
    struct csv csv, got;
    int checked = 0;

    (void)state;
    begin("tilt,azimuth,elevation,range,target,lat,lon,height_m,pol\n");
    assert_true(csv_open(&csv, REFERENCE "/look-angles-wgs84.csv"));
    while (csv_next(&csv)) {
        const char *pol = csv.row % 2 ? "V" : "H";
        if (strcmp(csv_text(&csv, "kind"), "geo") != 0) {
            continue;
        }
        add("%s,%s,%s,%s,%s,%s,%s,%s,%s\n",
            csv_text(&csv, csv.row % 2 ? "tilt_perp_deg" : "tilt_par_deg"),
            csv_text(&csv, "azimuth_deg"), csv_text(&csv, "elevation_deg"),
            csv_text(&csv, "range_km"), csv_text(&csv, "sat_lon_deg"), csv_text(&csv, "lat_deg"),
            csv_text(&csv, "lon_deg"), csv_text(&csv, "height_m"), pol);
    }
    assert_int_equal(batch(""), 0);
    assert_string_equal(err, "");
    assert_true(csv_open(&got, scratch_path("out")));
    while (csv_next(&got)) {
        expect_near(csv_number(&got, "azimuth_deg"), csv_number(&got, "azimuth"), 1e-6);
        expect_near(csv_number(&got, "elevation_deg"), csv_number(&got, "elevation"), 1e-6);
        expect_near(csv_number(&got, "range_km"), csv_number(&got, "range"), 1e-6);
        expect_near(csv_number(&got, "skew_deg"), csv_number(&got, "tilt"), 1e-6);
        checked++;
    }
    assert_true(checked >= 200);
}

/* wmm2025-test-values.csv: the model's own test values, at heights where people are; half of a
 * year of 365 days is noon on the 2nd of July. */
static void declination_is_that_of_each_rows_day(void **state)
{
    struct csv csv, got;
    int checked = 0;

    (void)state;
    begin("date,lat,lon,height_m,D\n");
    assert_true(csv_open(&csv, REFERENCE "/wmm2025-test-values.csv"));
    while (csv_next(&csv)) {
        double year = csv_number(&csv, "decimal_year");
        if (csv_number(&csv, "height_km") <= 9.0 && year < 2028.5) {
            add("%.0f-%s,%s,%.2f,%.0f,%s\n", floor(year),
                year > floor(year) ? "07-02T12:00" : "01-01", csv_text(&csv, "lat_deg"),
                remainder(csv_number(&csv, "lon_deg"), 360.0), csv_number(&csv, "height_km") * 1e3,
                csv_text(&csv, "D_deg"));
        }
    }
    assert_int_equal(batch("--target 0E --pol H"), 0);
    assert_true(csv_open(&got, scratch_path("out")));
    while (csv_next(&got)) {
        double turn = csv_number(&got, "azimuth_deg") - csv_number(&got, "azimuth_magnetic_deg");
        expect_near(csv_number(&got, "declination_deg"), csv_number(&got, "D"), 0.0051);
        expect_near(remainder(turn - csv_number(&got, "declination_deg"), 360.0), 0.0, 2e-7);
        checked++;
    }
    assert_true(checked >= 13);
}

static void other_columns_pass_through_untouched(void **state)
{
    (void)state;
    begin("\xef\xbb\xbf"
          "id, lat ,\"lon\",note\r\n"
          "0007,46.6,10.1,\"a \"\"quoted\"\", one\"\r\n"
          "\r\n"
          " 8 ,46.6N,\"10d6m E\",\"two\nlines\"");
    assert_int_equal(batch("--target 21.5E --pol V"), 0);
    assert_int_equal(strncmp(out,
                             "\xef\xbb\xbf"
                             "id, lat ,\"lon\",note,azimuth_deg,",
                             35),
                     0);
    expect_says(out, ",visible\r\n0007,46.6,10.1,\"a \"\"quoted\"\", one\",1");
    expect_says(out, ",true\r\n 8 ,46.6N,\"10d6m E\",\"two\nlines\",1");
}

static void a_bad_row_is_told_by_its_number_and_the_rest_goes_on(void **state)
{
    (void)state;
    begin("lat,lon,height_m,target,pol,date\n"
          "46.6,10.1,2200,21.5E,V,2026-11-25\n"
          "91,10.1,,,,\n"             /* 3 */
          "46.6,,,,,\n"               /* 4 */
          "46.6,10.1,99999,,,\n"      /* 5 */
          "46.6,10.1,,21.5X,,\n"      /* 6 */
          "46.6,10.1,,,diagonal,\n"   /* 7 */
          "46.6,10.1,,,,2026-02-30\n" /* 8 */
          "46.6,10.1\n"               /* 9 */
          "46.6,10.1,,,,,more\n"      /* 10 */
          "\"46.6,10.1,,,,\n"         /* 11 */
          "46.6,10.1,,,,\n");         /* 12: good, from the flags */
    assert_int_equal(batch("--target 13E --pol H --date 2026-11-25"), 1);
    expect_says(err, "row 3: lat = 91: allowed is a latitude");
    expect_says(err, "row 4: lon = (nothing): allowed is a longitude");
    expect_says(err, "row 5: height_m = 99999: allowed is a number from -500 to 9000");
    expect_says(err, "row 6: target = 21.5X: allowed is a longitude");
    expect_says(err, "row 7: pol = diagonal: allowed is V, H or circular");
    expect_says(err, "row 8: date = 2026-02-30: allowed is a day");
    expect_says(err, "row 9: it has 2 fields, the head has 6");
    expect_says(err, "row 10: it has 7 fields, the head has 6");
    expect_says(err, "row 11: a quote is out of its place");
    assert_null(strstr(err, "row 2:"));
    assert_null(strstr(err, "row 12:"));
    expect_says(out, "\n46.6,10.1,2200,21.5E,V,2026-11-25,");
    expect_says(out, "\n46.6,10.1,,,,,");
    int lines = 0;
    for (const char *p = out; (p = strchr(p, '\n')) != NULL; p++) {
        lines++;
    }
    assert_int_equal(lines, 3);
}

static void a_table_that_can_not_be_read_is_wrong_usage(void **state)
{
    static const struct {
        const char *table, *flags, *says;
    } rows[] = {
        {"", "--target 1E --pol V", "the table is empty"},
        {"lat,long\n", "--target 1E --pol V", "there is no column lon"},
        {"lat;lon\n46;10\n", "--target 1E --pol V", "by commas, not by semicolons"},
        {"lat,lon,lat\n", "--target 1E --pol V", "two columns are called lat"},
        {"lat,lon,skew_deg\n", "--target 1E --pol V", "the column skew_deg is there already"},
        {"lat,lon\n", "--pol V", "give --target, --job or a column target"},
        {"lat,lon\n", "--target 1E", "give --pol, --job or a column pol"},
        {"lat,lon\n", "--target 1E --pol V --site 1,2", "--site: the sites come from the table"},
        {"lat,lon\n", "--target 1E --pol V --json", "a batch is written as a table"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        begin(rows[i].table);
        assert_int_equal(batch(rows[i].flags), 2);
        expect_says(err, rows[i].says);
        assert_string_equal(out, "");
    }
    assert_int_equal(run("--batch /nowhere/at/all.csv --target 1E --pol V"), 2);
    expect_says(err, "/nowhere/at/all.csv: No such file");
    assert_int_equal(run("--batch /tmp --target 1E --pol V"), 2);
    expect_says(err, "/tmp: Is a directory");
}

static void a_row_out_of_the_models_years_has_no_declination_and_is_warned_of(void **state)
{
    (void)state;
    begin("lat,lon,date\n46.6,10.1,2026-01-01\n46.6,10.1,2060-01-01\n");
    assert_int_equal(batch("--target 13E --pol circular"), 0);
    expect_says(err, "1 rows lie outside of 2024.9 to 2030.0, the years of WMM-2025");
    expect_says(strstr(out, "2060-01-01"), ",,,normal,"); /* magnetic azimuth and declination */
    expect_says(strstr(out, "2060-01-01"), ",,3");        /* no skew: circular; 3..... km */
}

static void one_site_as_a_table_is_the_batchs_row(void **state)
{
    char once[MOST_OUTPUT];

    (void)state;
    assert_int_equal(run("--site 46.6,10.1,2200 --target 21.5E --pol H --date 2026-11-25 --csv"),
                     0);
    snprintf(once, sizeof once, "%s", out);
    begin("lat,lon,height_m,target,pol,date\n46.6,10.1,2200,21.5,H,2026-11-25\n");
    assert_int_equal(batch(""), 0);
    assert_string_equal(out, once);
    assert_int_equal(run("--site 46.6,10.1 --target 21.5E --pol H --csv --json"), 2);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_has_the_tables_values),
        cmocka_unit_test(declination_is_that_of_each_rows_day),
        cmocka_unit_test(other_columns_pass_through_untouched),
        cmocka_unit_test(a_bad_row_is_told_by_its_number_and_the_rest_goes_on),
        cmocka_unit_test(a_table_that_can_not_be_read_is_wrong_usage),
        cmocka_unit_test(a_row_out_of_the_models_years_has_no_declination_and_is_warned_of),
        cmocka_unit_test(one_site_as_a_table_is_the_batchs_row),
    };

    if (argc != 2) {
        return 2;
    }
    program = argv[1];
    return cmocka_run_group_tests(tests, scratch_begin, scratch_end);
}
