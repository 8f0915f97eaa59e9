#include "sky/sun.h"

#include <erfa.h>
#include <erfam.h>
#include <errno.h>
#include <math.h>

#include "sky/angle.h"
#include "sky/utc.h"

/* IAU 2012 resolution B2; IAU 2015 resolution B3. */
static const double au_km = 149597870.7, sun_radius_km = 695700.0;

/* TT - TAI, by definition. */
static const double tt_ahead_s = 32.184;

/* TAI - UTC; beyond the library's table of leap seconds its last entry. */
static double leap_seconds(const struct utc_date *date)
{
    double tai_ahead_s = 0.0;

    eraDat(date->year, date->month, date->day, 0.0, &tai_ahead_s);
    return tai_ahead_s;
}

/* The apparent sun from the earth's centre, on the true equator and equinox of date. */
static void place_of_date(double day, double rest, double ret_km[3])
{
    double about_sun[2][3], about_barycentre[2][3], away[3], seen[3], speed[3], matrix[3][3];
    double distance_au;

    eraEpv00(day, rest, about_sun, about_barycentre);
    eraSxp(-1.0, about_sun[0], away);
    eraPn(away, &distance_au, away);
    eraSxp(ERFA_AULT / ERFA_DAYSEC, about_barycentre[1], speed); /* au/day in units of light's */
    eraAb(away, speed, distance_au, sqrt(1.0 - eraPdp(speed, speed)), seen);
    eraPnm00b(day, rest, matrix);
    eraRxp(matrix, seen, seen);
    eraSxp(distance_au * au_km, seen, ret_km);
}

int sun_track_make(double start_s, struct sun_track *ret)
{
    struct utc_date date;
    double day, rest, tt_rest;

    if (utc_split(start_s, &date) < 0) {
        return -ERANGE;
    }
    utc_julian(start_s, &day, &rest);
    tt_rest = rest + (leap_seconds(&date) + tt_ahead_s) / UTC_DAY_S;
    ret->start_s = start_s;
    for (int i = 0; i < 3; i++) {
        place_of_date(day, tt_rest + 0.5 * i, ret->place_km[i]);
    }
    ret->turn_rad = eraGst00b(day, rest);
    ret->turn_day_rad = 2.0 * M_PI + eraAnpm(eraGst00b(day + 1.0, rest) - ret->turn_rad);
    return 0;
}

/* Quadratic between the three places: the sun's path over a day is bent so little that the third
 * difference is 2e-6 degrees. */
void sun_position(const struct sun_track *track, double unix_s, double ret_km[3])
{
    double days = (unix_s - track->start_s) / UTC_DAY_S, h = 2.0 * days - 1.0, place[3];
    double turn = track->turn_rad + days * track->turn_day_rad;

    for (int k = 0; k < 3; k++) {
        double before = track->place_km[0][k], middle = track->place_km[1][k],
               after = track->place_km[2][k];
        place[k] = middle + 0.5 * h * (after - before + h * (after - 2.0 * middle + before));
    }
    ret_km[0] = place[0] * cos(turn) + place[1] * sin(turn);
    ret_km[1] = place[1] * cos(turn) - place[0] * sin(turn);
    ret_km[2] = place[2];
}

struct sun sun_at(const struct sun_track *track, const struct look_site *site, double unix_s)
{
    double km[3];
    struct look look;

    sun_position(track, unix_s, km);
    look = look_at_position(&look_earth_wgs84, site, km);
    return (struct sun){
        .azimuth_deg = look.azimuth_deg,
        .elevation_deg = look.elevation_deg,
        .radius_deg = asin(sun_radius_km / look.range_km) / ANGLE_RAD_PER_DEG,
    };
}

/* --- the shadow of a plumb line ------------------------------------------------------------- */

/* How far the sun stands right of an azimuth. */
static double past_azimuth_deg(const struct sun_track *track, const struct look_site *site,
                               double azimuth_deg, double unix_s)
{
    return angle_turn_deg(azimuth_deg, sun_at(track, site, unix_s).azimuth_deg);
}

/* The moment between two at which the azimuth is met, by halving. */
static double meeting_s(const struct sun_track *track, const struct look_site *site,
                        double azimuth_deg, double low_s, double high_s)
{
    bool rising = past_azimuth_deg(track, site, azimuth_deg, low_s) < 0.0;

    for (int i = 0; i < 24; i++) {
        double middle_s = 0.5 * (low_s + high_s);
        if ((past_azimuth_deg(track, site, azimuth_deg, middle_s) < 0.0) == rising) {
            low_s = middle_s;
        } else {
            high_s = middle_s;
        }
    }
    return 0.5 * (low_s + high_s);
}

static struct sun_time time_at(const struct sun_track *track, const struct look_site *site,
                               double unix_s, bool behind)
{
    double before = sun_at(track, site, unix_s - 30.0).azimuth_deg;
    double after = sun_at(track, site, unix_s + 30.0).azimuth_deg;

    return (struct sun_time){
        .unix_s = unix_s,
        .elevation_deg = sun_at(track, site, unix_s).elevation_deg,
        .rate_deg_min = angle_turn_deg(before, after),
        .behind = behind,
    };
}

/* Whether the azimuth is met within a step, from how far right of it the sun was and is. */
static bool meets(double before_deg, double after_deg)
{
    /* half a turn away the sign changes, too, but over a jump */
    return (before_deg < 0.0) != (after_deg < 0.0) && fabs(before_deg - after_deg) < 180.0;
}

size_t sun_in_azimuth(const struct sun_track *track, const struct look_site *site,
                      double azimuth_deg, struct sun_time ret[SUN_TIMES])
{
    static const double step_s = 300.0;
    const double azimuths[2] = {azimuth_deg, azimuth_deg + 180.0};
    double before[2] = {NAN, NAN};
    size_t count = 0;

    if (!isfinite(azimuth_deg)) {
        return 0;
    }
    for (double t = 0.0; t <= UTC_DAY_S; t += step_s) {
        double unix_s = track->start_s + t, now_deg = sun_at(track, site, unix_s).azimuth_deg;
        for (int k = 0; k < 2; k++) {
            double now = angle_turn_deg(azimuths[k], now_deg);
            if (t > 0.0 && meets(before[k], now) && count < SUN_TIMES) {
                double at_s = meeting_s(track, site, azimuths[k], unix_s - step_s, unix_s);
                ret[count] = time_at(track, site, at_s, k == 1);
                count += ret[count].elevation_deg > 0.0;
            }
            before[k] = now;
        }
    }
    return count;
}
