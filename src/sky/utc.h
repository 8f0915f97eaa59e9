/*
 * utc.h - days and times of day, UTC in seconds since 1970 without leap seconds (as a clock has
 * them). The calendar is the proleptic Gregorian one. Pure.
 */
#ifndef SKY_UTC_H
#define SKY_UTC_H

#include <stddef.h>

#define UTC_DAY_S 86400.0

struct utc_date {
    int year;       /* 1 to 9999 */
    int month, day; /* from 1 */
    int hour, minute;
    double second; /* [0, 60) */
};

/*
 * Read a time as people and files write it (ISO 8601 and RFC 3339; the day of the year as CCSDS
 * 301.0-B, time code B, has it):
 *
 *   2026-11-25   2026-329   2026-11-25T14:32   2026-11-25T14:32:06.25Z   2026-11-25 14:32:06
 *   2026-11-25T15:32:06+01:00
 *
 * A day alone is its midnight; without a zone it is UTC. The 60th second of a leap second is the
 * first of the next minute.
 *
 *   returns  0; -EINVAL not such a spelling; -ERANGE no such day or time, or a year outside of 1 to
 *            9999
 */
int utc_parse(const char *text, double *ret_unix_s);

enum { UTC_TEXT_SIZE = 40 };

/*
 * "2026-11-25T14:32:06Z"; a time that lies between two that can be written goes to the nearer one.
 *
 *   decimals  of the second, 0 to 6; -1 = no seconds: "2026-11-25T14:32Z"; -2 = the day alone:
 *             "2026-11-25", the day that is, never the next one
 *   returns   ret; "" for a time that is not finite or outside of the years 1 to 9999
 */
const char *utc_format(double unix_s, int decimals, char ret[UTC_TEXT_SIZE]);

/*
 * The calendar's day and the time of day.
 *
 *   returns  0; -ERANGE for a time that is not finite or outside of the years 1 to 9999
 */
int utc_split(double unix_s, struct utc_date *ret);

/* The other way. -ERANGE for no such day or time. */
int utc_join(const struct utc_date *date, double *ret_unix_s);

/* The day's beginning; NaN stays NaN. */
double utc_midnight(double unix_s);

/* Year + (day of the year - 1) / days of the year, the time of day as part of the day; NaN when
 * utc_split() can't. */
double utc_decimal_year(double unix_s);

/*
 * Julian date in two parts, whole day and a half and the rest, for no loss of digits: their sum is
 * the Julian date, 2440587.5 at the start of 1970.
 */
void utc_julian(double unix_s, double *ret_day, double *ret_rest);

#endif
