#include "sim/program/receiver.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static const double geoid_m = 48.0;

/* "$" + body + "*hh" behind what is there. Returns the new length. */
static size_t append(char lines[RECEIVER_LINES_SIZE], size_t used, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static size_t append(char lines[RECEIVER_LINES_SIZE], size_t used, const char *format, ...)
{
    char body[120];
    unsigned sum = 0;
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(body, sizeof body, format, arguments);
    va_end(arguments);
    for (const char *p = body; *p; p++) {
        sum ^= (unsigned char)*p;
    }
    return used +
           (size_t)snprintf(lines + used, RECEIVER_LINES_SIZE - used, "$%s*%02X\r\n", body, sum);
}

/* "4636.00000,N": whole degrees and minutes, rounded once so that minutes never show 60. */
static void format_angle(char text[40], double deg, int width, const char *signs)
{
    long units = lround(fabs(deg) * 60.0 * 1e5);
    long whole = units / 6000000, minutes = units % 6000000;

    snprintf(text, 40, "%0*ld%02ld.%05ld,%c", width, whole, minutes / 100000, minutes % 100000,
             signs[deg < 0.0]);
}

size_t receiver_format_fix(char lines[RECEIVER_LINES_SIZE], const struct globe_site *site,
                           double utc_s)
{
    long long hundredths = llround(utc_s * 100.0);
    time_t seconds = (time_t)(hundredths / 100);
    struct tm tm;
    char lat[40], lon[40], clock[16], date[16];
    int part = (int)(hundredths % 100);
    size_t used;

    gmtime_r(&seconds, &tm);
    strftime(clock, sizeof clock, "%H%M%S", &tm);
    strftime(date, sizeof date, "%d%m", &tm);
    format_angle(lat, site->lat_deg, 2, "NS");
    format_angle(lon, site->lon_deg, 3, "EW");
    used = append(lines, 0, "GPRMC,%s.%02d,A,%s,%s,0.0,0.0,%s%02d,,,A", clock, part, lat, lon, date,
                  tm.tm_year % 100);
    return append(lines, used, "GPGGA,%s.%02d,%s,%s,1,09,0.9,%.1f,M,%.1f,M,,", clock, part, lat,
                  lon, site->height_m - geoid_m, geoid_m);
}

size_t receiver_format_attitude(char lines[RECEIVER_LINES_SIZE], const double deg[3])
{
    char fields[3][16];

    for (int i = 0; i < 3; i++) {
        fields[i][0] = '\0';
        if (isfinite(deg[i])) {
            snprintf(fields[i], sizeof fields[i], "%.2f", deg[i]);
        }
    }
    return append(lines, 0, "PTNTHTM,%s,N,%s,N,%s,N,65.0,2454", fields[0], fields[1], fields[2]);
}
