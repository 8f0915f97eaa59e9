/*
 * sun.h - where the sun stands, through the ERFA library (IAU models). Pure.
 *
 * The earth's turn is taken from UTC: UT1 may differ by up to 0.9 s, which moves the sun by up to
 * 0.004 degrees, and so does each second that the clock is wrong. The rest is within 0.0001 degrees
 * of the full models (tests, 2025 to 2030).
 *
 * Whoever shows anything of this to people says beside it: don't look into the sun.
 */
#ifndef SKY_SUN_H
#define SKY_SUN_H

#include <stdbool.h>
#include <stddef.h>

#include "sky/look.h"

/* The sun's way over 24 hours, made once so that any moment of it is cheap. */
struct sun_track {
    double start_s;                /* UTC, seconds since 1970 */
    double place_km[3][3];         /* at the start, 12 and 24 hours later; equator of date */
    double turn_rad, turn_day_rad; /* the earth's turn at the start, and in 24 hours */
};

/*
 *   start_s  UTC in seconds since 1970
 *   returns  0; -ERANGE for a time outside of the years 1 to 9999
 *   Source: ERFA eraEpv00 (earth about the sun), eraAb (aberration), eraPnm00b (IAU 2000B
 *   precession and nutation), eraGst00b (apparent sidereal time).
 */
int sun_track_make(double start_s, struct sun_track *ret);

struct sun {
    double azimuth_deg;   /* of the centre, [0, 360) */
    double elevation_deg; /* of the centre, geometric */
    double radius_deg;    /* of the disc: 0.262 to 0.271 */
};

/*
 *   unix_s   within the track's 24 hours; an hour or two beside them costs little accuracy
 *   returns  NaN for input that is not finite
 */
struct sun sun_at(const struct sun_track *track, const struct look_site *site, double unix_s);

/* The same as an earth-fixed place in km (x to 0E, z to the north pole). */
void sun_position(const struct sun_track *track, double unix_s, double ret_km[3]);

/* A moment at which a plumb line's shadow lies along the azimuth. */
struct sun_time {
    double unix_s;
    double elevation_deg; /* of the sun's centre, geometric, > 0 */
    double rate_deg_min;  /* how fast its azimuth moves: what a minute too late costs */
    bool behind;          /* the sun is opposite: the shadow points at the target, else away */
};

enum { SUN_TIMES = 8 };

/*
 * When the sun above the horizon stands exactly in an azimuth, or exactly opposite, in order of
 * time. In the tropics it may pass one azimuth twice.
 *
 *   returns  how many, at most SUN_TIMES; 0 also for input that is not finite
 *   Accuracy: 0.004 degrees of azimuth over the cosine of the sun's elevation; the edge of a shadow
 *   is 0.5 degrees wide, its middle can be judged to a tenth of that (common practice, no source).
 */
size_t sun_in_azimuth(const struct sun_track *track, const struct look_site *site,
                      double azimuth_deg, struct sun_time ret[SUN_TIMES]);

#endif
