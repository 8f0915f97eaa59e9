/*
 * sgp4_deep.h - what SDP4 adds to SGP4 far out: the pull of moon and sun, and the resonance with
 * the earth's lumps. A part of sgp4.h. Pure.
 *
 *   Source: as sgp4.h; the deep-space equations are section 8 of Spacetrack Report No. 3.
 */
#ifndef SKY_SGP4_DEEP_H
#define SKY_SGP4_DEEP_H

#include "sky/sgp4_resonance.h"

/* A body that pulls. Each element follows waves of twice the body's longitude (2, 3), and of its
 * distance (4): e eccentricity, i tilt, l mean longitude, g perigee and node together, h node. */
struct sgp4_body {
    double anomaly, motion, eccentricity; /* of the body's own orbit, at the epoch */
    double e2, e3, i2, i3, l2, l3, l4, g2, g3, g4, h2, h3;
};

struct sgp4_deep {
    struct sgp4_body sun, moon;
    double eccentricity_rate, tilt_rate; /* lasting, by both bodies, a minute */
    struct sgp4_rates lasting;
    struct sgp4_resonance resonance;
};

/*
 *   epoch_s  UTC in seconds since 1970
 *   mean     at the epoch
 *   shape    rates by the earth's shape, the mean motion in the anomaly's
 */
void sgp4_deep_make(double epoch_s, const struct sgp4_mean *mean, const struct sgp4_rates *shape,
                    struct sgp4_deep *ret);

/* What lasts and the resonance, added to mean elements t minutes after the epoch. */
void sgp4_deep_secular(const struct sgp4_deep *deep, double t, struct sgp4_mean *mean);

/* The waves of moon and sun, added to them. */
void sgp4_deep_periodic(const struct sgp4_deep *deep, double t, struct sgp4_mean *mean);

#endif
