/* Expected values: ERFA 2.0.0's calendar, the standards' own examples, facts of the calendar. */
#include "expect.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <time.h>

#include "csv.h"
#include "sky/utc.h"

static const double untouched = -4711.0;

static void every_row_of_the_reference_goes_both_ways(void **state)
{
    struct csv csv;
    int checked = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/calendar.csv"));
    while (csv_next(&csv)) {
        struct utc_date date = {(int)csv_number(&csv, "year"),   (int)csv_number(&csv, "month"),
                                (int)csv_number(&csv, "day"),    (int)csv_number(&csv, "hour"),
                                (int)csv_number(&csv, "minute"), csv_number(&csv, "second")};
        struct utc_date back;
        double unix_s, day, rest,
            of_day = date.hour / 24.0 + date.minute / 1440.0 + date.second / 86400.0;

        assert_int_equal(utc_join(&date, &unix_s), 0);
        expect_near(unix_s, csv_number(&csv, "unix_s"), 0.0);
        assert_int_equal(utc_split(unix_s, &back), 0);
        assert_true(back.year == date.year && back.month == date.month && back.day == date.day &&
                    back.hour == date.hour && back.minute == date.minute);
        expect_near(back.second, date.second, 0.0);
        utc_julian(unix_s, &day, &rest);
        expect_near(day, csv_number(&csv, "julian_day"), 0.0);
        expect_near(rest, of_day, 1e-12);
        expect_near(utc_midnight(unix_s), (csv_number(&csv, "julian_day") - 2440587.5) * 86400.0,
                    0.0);
        checked++;
    }
    assert_int_equal(checked, 80);
}

/* The C library knows the calendar, too. */
static void each_day_of_two_centuries_is_the_c_librarys(void **state)
{
    (void)state;
    for (time_t t = -2208988800; t < 4102444800; t += 86400 + 3607) {
        struct utc_date date;
        struct tm tm;
        gmtime_r(&t, &tm);
        assert_int_equal(utc_split((double)t, &date), 0);
        assert_true(date.year == tm.tm_year + 1900 && date.month == tm.tm_mon + 1 &&
                    date.day == tm.tm_mday && date.hour == tm.tm_hour && date.minute == tm.tm_min &&
                    (int)date.second == tm.tm_sec);
    }
}

/* RFC 3339, section 5.8: its examples name the same instants by different zones. */
static void times_are_read_as_they_are_written(void **state)
{
    static const struct {
        const char *text;
        int want;
        double unix_s;
    } rows[] = {
        {"1970-01-01", 0, 0},
        {"1970-01-01T00:00:01Z", 0, 1},
        {"1985-04-12T23:20:50.52Z", 0, 482196050.52},
        {"1996-12-19T16:39:57-08:00", 0, 851042397},
        {"1996-12-20T00:39:57Z", 0, 851042397},
        {"1990-12-31T23:59:60Z", 0, 662688000},
        {"1990-12-31T15:59:60-08:00", 0, 662688000},
        {"1937-01-01T12:00:27.87+00:20", 0, -1041337172.13},
        {"2026-11-25", 0, 1795564800},
        {"2026-11-25T14:32", 0, 1795617120},
        {"2026-11-25 14:32:06", 0, 1795617126},
        {"2026-11-25t14:32:06z", 0, 1795617126},
        {"2026-11-25T14:32:06,5", 0, 1795617126.5},
        {"2026-329", 0, 1795564800},
        {"2026-329T14:32:06.25Z", 0, 1795617126.25},
        {"2024-366", 0, 1735603200},
        {"2026-11-25T15:32+0100", 0, 1795617120},
        {"2026-366", -ERANGE, untouched},
        {"2026-000", -ERANGE, untouched},
        {"2026-02-29", -ERANGE, untouched},
        {"2100-02-29", -ERANGE, untouched},
        {"2026-13-01", -ERANGE, untouched},
        {"2026-00-01", -ERANGE, untouched},
        {"2026-04-31", -ERANGE, untouched},
        {"0000-01-01", -ERANGE, untouched},
        {"2026-11-25T24:00", -ERANGE, untouched},
        {"2026-11-25T12:60", -ERANGE, untouched},
        {"2026-11-25T12:30:60", -ERANGE, untouched},
        {"2026-11-25T12:30+24:00", -ERANGE, untouched},
        {"", -EINVAL, untouched},
        {"today", -EINVAL, untouched},
        {"26-11-25", -EINVAL, untouched},
        {"2026-1-25", -EINVAL, untouched},
        {"2026/11/25", -EINVAL, untouched},
        {"2026-11-25T", -EINVAL, untouched},
        {"2026-11-25T14", -EINVAL, untouched},
        {"2026-11-25T14:32:", -EINVAL, untouched},
        {"2026-11-25T14:32:06.", -EINVAL, untouched},
        {"2026-11-25T14:32 Z", -EINVAL, untouched},
        {"2026-11-25T14:32Zulu", -EINVAL, untouched},
        {"2026-11-25T14:32+1", -EINVAL, untouched},
        {"2026-11-25Z", -EINVAL, untouched},
        {" 2026-11-25", -EINVAL, untouched},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double got = untouched;
        if (utc_parse(rows[i].text, &got) != rows[i].want) {
            fail_msg("\"%s\"", rows[i].text);
        }
        expect_near(got, rows[i].unix_s, 1e-6);
    }
}

static void a_time_is_written_to_the_nearest_that_can_be(void **state)
{
    static const struct {
        double unix_s;
        int decimals;
        const char *want;
    } rows[] = {
        {1795617126.25, 0, "2026-11-25T14:32:06Z"},
        {1795617126.25, 2, "2026-11-25T14:32:06.25Z"},
        {1795617126.05, 1, "2026-11-25T14:32:06.0Z"}, /* just below, in binary */
        {1795617126.25, 6, "2026-11-25T14:32:06.250000Z"},
        {1795617126.25, -1, "2026-11-25T14:32Z"},
        {1795617126.25, -2, "2026-11-25"},
        {1798761599.96, 1, "2027-01-01T00:00:00.0Z"},
        {1798761599.96, 2, "2026-12-31T23:59:59.96Z"},
        {1798761599.96, 0, "2027-01-01T00:00:00Z"},
        {1798761599.96, -1, "2027-01-01T00:00Z"},
        {1798761599.96, -2, "2026-12-31"},
        {-0.25, 2, "1969-12-31T23:59:59.75Z"},
        {-62135596800.0, 0, "0001-01-01T00:00:00Z"},
        {-62135596800.1, 2, ""},
        {253402300799.0, 0, "9999-12-31T23:59:59Z"},
        {253402300800.0, 0, ""},
        {NAN, 0, ""},
        {INFINITY, 0, ""},
        {-INFINITY, -2, ""},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char got[UTC_TEXT_SIZE];
        assert_string_equal(utc_format(rows[i].unix_s, rows[i].decimals, got), rows[i].want);
    }
}

static void what_is_written_reads_back(void **state)
{
    (void)state;
    for (double t = -6e9; t < 2e10; t += 123456789.123) {
        char text[UTC_TEXT_SIZE];
        double back = NAN;
        assert_int_equal(utc_parse(utc_format(t, 3, text), &back), 0);
        expect_near(back, t, 5.1e-4);
    }
}

/*
 * Year + (day of the year - 1) / days of the year: the World Magnetic Model's report. The seconds
 * by GNU date: date -u -d 2024-11-13 +%s = 1731456000, and so on.
 */
static void the_decimal_year_counts_days(void **state)
{
    static const struct {
        double unix_s, year;
    } rows[] = {
        {0.0, 1970.0},
        {1731456000.0, 2024.0 + 317.0 / 366.0},
        {1735689600.0, 2025.0},
        {1735689599.0, 2025.0},
        {951782400.0, 2000.0 + 59.0 / 366.0},
        {4102444800.0, 2100.0},
        {4107542400.0, 2100.0 + 59.0 / 365.0},
        {-2208988800.0, 1900.0},
        {-2203891200.0, 1900.0 + 59.0 / 365.0},
        {1782993600.0, 2026.0 + 182.5 / 365.0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(utc_decimal_year(rows[i].unix_s), rows[i].year, 1e-6);
    }
    assert_true(isnan(utc_decimal_year((double)NAN)) && isnan(utc_decimal_year((double)INFINITY)));
    assert_true(isnan(utc_decimal_year(-1e300)) && isnan(utc_decimal_year(1e15)));
    assert_true(isnan(utc_midnight(NAN)));
}

static void a_day_that_is_none_is_refused(void **state)
{
    static const struct utc_date rows[] = {
        {0, 1, 1, 0, 0, 0},      {10000, 1, 1, 0, 0, 0}, {2026, 0, 1, 0, 0, 0},
        {2026, 13, 1, 0, 0, 0},  {2026, 1, 0, 0, 0, 0},  {2026, 1, 32, 0, 0, 0},
        {2026, 1, 1, -1, 0, 0},  {2026, 1, 1, 24, 0, 0}, {2026, 1, 1, 0, -1, 0},
        {2026, 1, 1, 0, 60, 0},  {2026, 1, 1, 0, 0, -1}, {2026, 1, 1, 0, 0, 60},
        {2026, 1, 1, 0, 0, NAN},
    };
    double got = untouched;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_int_equal(utc_join(&rows[i], &got), -ERANGE);
    }
    expect_near(got, untouched, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_of_the_reference_goes_both_ways),
        cmocka_unit_test(each_day_of_two_centuries_is_the_c_librarys),
        cmocka_unit_test(times_are_read_as_they_are_written),
        cmocka_unit_test(a_time_is_written_to_the_nearest_that_can_be),
        cmocka_unit_test(what_is_written_reads_back),
        cmocka_unit_test(the_decimal_year_counts_days),
        cmocka_unit_test(a_day_that_is_none_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
