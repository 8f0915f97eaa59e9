/*
 * sun_outage.h - when the sun passes behind the satellite and drowns its signal in noise. Pure.
 *
 * Twice a year, around the equinoxes, on some days in a row and for some minutes each, predictable
 * to the minute. It is no fault, and it passes by itself.
 */
#ifndef SKY_SUN_OUTAGE_H
#define SKY_SUN_OUTAGE_H

#include <stddef.h>

#include "sky/look.h"

/* The antenna as the sun finds it. */
struct sun_ear {
    double width_deg, height_deg; /* half-power widths in its own frame, 0.1 to 30 */
    double turn_deg;              /* its turn about the boresight, clockwise seen from behind */
    double noise_k;               /* system noise temperature with a clear sky, > 0 */
    double sun_k;                 /* the sun's brightness temperature, >= 0 */
};

/*
 * Brightness temperature of the quiet sun.
 *
 *   returns  K; NaN outside of 1 to 50 GHz (measured up to 18 GHz)
 *   Source: Zirin, Baumert, Hurford, The microwave brightness temperature spectrum of the quiet
 *   sun, ApJ 370 (1991): 140 077 f^-2.1 + 10 880 (from memory). An active sun is a few tenths
 *   brighter at 12 GHz, twice at 4 GHz.
 */
double sun_brightness_k(double frequency_ghz);

/*
 * System noise temperature from G/T.
 *
 *   gain_dbi  of the antenna at the same reference point; gt_db in dB/K
 */
double sun_noise_k(double gain_dbi, double gt_db);

/*
 * What the sun adds to the noise.
 *
 *   right_deg, up_deg  of the sun's centre from the boresight, as seen along it
 *   radius_deg         of the disc
 *   returns            dB >= 0: 10 log (1 + added / noise_k); NaN for input that is not finite
 *   Model: an even disc seen by a Gaussian main lobe that takes in all the antenna's power. With
 *   the sun in the centre of a round beam the share of the disc is 1 - 2^-(disc / beam)^2, the same
 *   as in ITU-R S.1525 (from memory). Real antennas leave a tenth to a third of the power in side
 *   lobes: the rise is then up to 2 dB smaller, and a little is left further out.
 */
double sun_noise_rise_db(const struct sun_ear *ear, double right_deg, double up_deg,
                         double radius_deg);

struct sun_outage {
    double start_s, peak_s, end_s; /* UTC; the rise passes the limit at start and end */
    double rise_db;                /* at the peak */
    double angle_deg;              /* between sun and boresight at the peak */
};

/*
 * The next season of outages, one a day, in order; a season that is running counts from the next
 * passage of the sun on.
 *
 *   site, sat_lon_deg  a satellite on the equator; the sun's own distance is allowed for
 *   from_s             UTC in seconds since 1970, within the years 1 to 9998
 *   limit_db           an outage is a rise of at least this, > 0
 *   ret                room for this many days
 *   returns            how many days the season has, also when not all found room; 0 = none within
 *                      a year: the beam is too wide for the sun to matter, the satellite is below
 *                      the horizon, or the input is out of range
 *   Accuracy: the peak within 10 s for an antenna that is well pointed; start and end as good as
 *   beam and noise are known.
 */
size_t sun_outage_season(const struct look_site *site, double sat_lon_deg,
                         const struct sun_ear *ear, double from_s, double limit_db,
                         struct sun_outage *ret, size_t room);

#endif
