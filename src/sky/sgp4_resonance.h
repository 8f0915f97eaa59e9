/*
 * sgp4_resonance.h - a satellite that turns once or twice a day meets the earth's lumps again and
 * again at the same places, and they pull it along. A part of sgp4_deep.h. Pure.
 *
 *   Source: as sgp4.h.
 */
#ifndef SKY_SGP4_RESONANCE_H
#define SKY_SGP4_RESONANCE_H

/* The mean elements of a moment; radians, radians a minute. */
struct sgp4_mean {
    double motion, eccentricity, tilt, node, perigee, anomaly;
};

/* Rates of the angles, radians a minute. */
struct sgp4_rates {
    double anomaly, perigee, node;
};

enum sgp4_resonance_kind { SGP4_NO_RESONANCE, SGP4_DAY, SGP4_HALF_DAY };

enum { SGP4_RESONANCE_TERMS = 10 };

/* One pull: size * sin(turns * longitude + perigee_turns * perigee - phase). */
struct sgp4_term {
    double size, turns, perigee_turns, phase;
};

struct sgp4_resonance {
    enum sgp4_resonance_kind kind;
    struct sgp4_term terms[SGP4_RESONANCE_TERMS];
    int term_count;
    double longitude, longitude_rate; /* at the epoch; the rate beside the mean motion */
    double perigee, perigee_rate;     /* by the earth's shape */
    double sidereal, motion;          /* at the epoch */
};

/*
 *   sidereal  at the epoch
 *   mean      at the epoch
 *   shape     rates by the earth's shape, the mean motion in the anomaly's
 *   lasting   those by moon and sun
 */
void sgp4_resonance_make(double sidereal, const struct sgp4_mean *mean,
                         const struct sgp4_rates *shape, const struct sgp4_rates *lasting,
                         struct sgp4_resonance *ret);

/* Motion and anomaly t minutes after the epoch in place of those without resonance; nothing where
 * there is none. Node and perigee are those of t. */
void sgp4_resonance_apply(const struct sgp4_resonance *resonance, double t, struct sgp4_mean *mean);

#endif
