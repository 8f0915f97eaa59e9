#include "sky/utc.h"

#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static const double julian_1970 = 2440587.5;

enum { FIRST_YEAR = 1, LAST_YEAR = 9999 };

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_in(int year, int month)
{
    static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

    return days[month - 1] + (month == 2 && is_leap(year));
}

/* Days from 1970-01-01 to the first of January of a year. */
static int days_to_year(int year)
{
    int before = year - 1;

    return 365 * before + before / 4 - before / 100 + before / 400 - 719162;
}

int utc_join(const struct utc_date *date, double *ret_unix_s)
{
    int days;

    if (date->year < FIRST_YEAR || date->year > LAST_YEAR || date->month < 1 || date->month > 12 ||
        date->day < 1 || date->day > days_in(date->year, date->month) || date->hour < 0 ||
        date->hour > 23 || date->minute < 0 || date->minute > 59 ||
        !(date->second >= 0.0 && date->second < 60.0)) {
        return -ERANGE;
    }
    days = days_to_year(date->year) + date->day - 1;
    for (int month = 1; month < date->month; month++) {
        days += days_in(date->year, month);
    }
    *ret_unix_s = days * UTC_DAY_S + date->hour * 3600.0 + date->minute * 60.0 + date->second;
    return 0;
}

int utc_split(double unix_s, struct utc_date *ret)
{
    double day = floor(unix_s / UTC_DAY_S), of_day = unix_s - day * UTC_DAY_S;
    int days, year;

    if (!(day >= days_to_year(FIRST_YEAR) && day < days_to_year(LAST_YEAR + 1))) {
        return -ERANGE;
    }
    year = 1970 + (int)floor(day / 365.2425);
    year += day >= days_to_year(year + 1);
    year -= day < days_to_year(year);
    days = (int)day - days_to_year(year);
    *ret = (struct utc_date){.year = year, .month = 1};
    while (days >= days_in(year, ret->month)) {
        days -= days_in(year, ret->month++);
    }
    ret->day = days + 1;
    ret->hour = (int)(of_day / 3600.0);
    ret->minute = (int)(of_day / 60.0) % 60;
    ret->second = fmax(0.0, of_day - ret->hour * 3600.0 - ret->minute * 60.0);
    return 0;
}

double utc_midnight(double unix_s)
{
    return floor(unix_s / UTC_DAY_S) * UTC_DAY_S;
}

double utc_decimal_year(double unix_s)
{
    struct utc_date date;

    if (utc_split(unix_s, &date) < 0) {
        return NAN;
    }
    return date.year +
           (unix_s / UTC_DAY_S - days_to_year(date.year)) / (365.0 + is_leap(date.year));
}

void utc_julian(double unix_s, double *ret_day, double *ret_rest)
{
    double day = floor(unix_s / UTC_DAY_S);

    *ret_day = julian_1970 + day;
    *ret_rest = (unix_s - day * UTC_DAY_S) / UTC_DAY_S;
}

/* --- reading -------------------------------------------------------------------------------- */

/* Just n digits. False, the text where it was, when there are less. */
static bool take_digits(const char **text, int n, int *ret)
{
    int value = 0;

    for (int i = 0; i < n; i++) {
        if ((*text)[i] < '0' || (*text)[i] > '9') {
            return false;
        }
        value = 10 * value + (*text)[i] - '0';
    }
    *text += n;
    *ret = value;
    return true;
}

static bool take_char(const char **text, const char *any)
{
    if (**text == '\0' || !strchr(any, **text)) {
        return false;
    }
    ++*text;
    return true;
}

/* "2026-11-25" or "2026-329": the day of the year comes out as a day of its month. 0, -EINVAL,
 * -ERANGE. */
static int take_day(const char **text, struct utc_date *date)
{
    int days;

    if (!take_digits(text, 4, &date->year) || !take_char(text, "-")) {
        return -EINVAL;
    }
    if (!take_digits(text, 3, &days)) {
        return take_digits(text, 2, &date->month) && take_char(text, "-") &&
                       take_digits(text, 2, &date->day)
                   ? 0
                   : -EINVAL;
    }
    if (days < 1 || days > 365 + is_leap(date->year)) {
        return -ERANGE;
    }
    date->month = 1;
    while (days > days_in(date->year, date->month)) {
        days -= days_in(date->year, date->month++);
    }
    date->day = days;
    return 0;
}

/* "14:32", "14:32:06", "14:32:06.25" */
static bool take_time(const char **text, struct utc_date *date)
{
    double unit = 1.0;
    int digit, second = 0;

    if (!take_digits(text, 2, &date->hour) || !take_char(text, ":") ||
        !take_digits(text, 2, &date->minute)) {
        return false;
    }
    if (!take_char(text, ":")) {
        return true;
    }
    if (!take_digits(text, 2, &second)) {
        return false;
    }
    date->second = second;
    if (!take_char(text, ".,")) {
        return true;
    }
    if (!take_digits(text, 1, &digit)) {
        return false;
    }
    do {
        unit *= 0.1;
        date->second += digit * unit;
    } while (take_digits(text, 1, &digit));
    return true;
}

/* "Z", "+01:00", "-0330" or nothing. 0, -EINVAL, -ERANGE. */
static int take_zone(const char **text, double *ret_ahead_s)
{
    int hours, minutes, sign = **text == '-' ? -1 : 1;

    *ret_ahead_s = 0.0;
    if (**text == '\0' || take_char(text, "Zz")) {
        return 0;
    }
    if (!take_char(text, "+-") || !take_digits(text, 2, &hours)) {
        return -EINVAL;
    }
    take_char(text, ":");
    if (!take_digits(text, 2, &minutes)) {
        return -EINVAL;
    }
    *ret_ahead_s = sign * (hours * 3600.0 + minutes * 60.0);
    return hours > 23 || minutes > 59 ? -ERANGE : 0;
}

int utc_parse(const char *text, double *ret_unix_s)
{
    struct utc_date date = {.hour = 0};
    double unix_s, ahead_s = 0.0, leap_s = 0.0;
    int r = take_day(&text, &date);

    if (r < 0) {
        return r;
    }
    if (take_char(&text, "Tt ")) {
        if (!take_time(&text, &date)) {
            return -EINVAL;
        }
        r = take_zone(&text, &ahead_s);
    }
    if (r < 0 || *text) {
        return r < 0 ? r : -EINVAL;
    }
    if (date.minute == 59 && date.second >= 60.0 && date.second < 61.0) {
        date.second -= 1.0;
        leap_s = 1.0;
    }
    r = utc_join(&date, &unix_s);
    if (r < 0) {
        return r;
    }
    *ret_unix_s = unix_s - ahead_s + leap_s;
    return 0;
}

const char *utc_format(double unix_s, int decimals, char ret[UTC_TEXT_SIZE])
{
    /* in whole ticks of the day: nothing can come out as the 60th second */
    double ticks_a_second = decimals == -1 ? 1.0 / 60.0 : decimals < -1 ? 0.0 : pow(10.0, decimals);
    double midnight = utc_midnight(unix_s);
    double ticks = round((unix_s - midnight) * ticks_a_second);
    double whole_s = ticks_a_second > 0.0 ? floor(ticks / ticks_a_second) : 0.0;
    struct utc_date date;
    int used;

    ret[0] = '\0';
    if (utc_split(midnight + whole_s, &date) < 0) {
        return ret;
    }
    used = snprintf(ret, UTC_TEXT_SIZE, "%04d-%02d-%02d", date.year, date.month, date.day);
    if (decimals >= -1) {
        used += snprintf(ret + used, UTC_TEXT_SIZE - (size_t)used, "T%02d:%02d", date.hour,
                         date.minute);
    }
    if (decimals >= 0) {
        used += snprintf(ret + used, UTC_TEXT_SIZE - (size_t)used, ":%02d", (int)date.second);
    }
    if (decimals > 0) {
        used += snprintf(ret + used, UTC_TEXT_SIZE - (size_t)used, ".%0*.0f", decimals,
                         ticks - whole_s * ticks_a_second);
    }
    if (decimals >= -1) {
        snprintf(ret + used, UTC_TEXT_SIZE - (size_t)used, "Z");
    }
    return ret;
}
