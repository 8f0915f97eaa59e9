/*
 * sgp4.h - a satellite's place from its mean elements: SGP4, and SDP4 with the pull of moon and sun
 * and the resonances with the earth's own lumps, which a geostationary satellite needs. Pure.
 *
 *   Source: Hoots and Roehrich, Spacetrack Report No. 3 (1980), sections 6 to 8, with the
 *   corrections of Vallado, Crawford, Hujsak, Kelso, Revisiting Spacetrack Report #3, AIAA
 *   2006-6753; constants WGS-72, as the elements are made with them.
 *
 *   Accuracy: the same numbers as another implementation to a millimetre within a week, to 2 cm
 *   within ten weeks and 1 m within a year (tests). The theory itself errs by some km within days
 *   of the epoch, 0.01 degrees for a geostationary satellite (common practice, no source). It knows
 *   nothing of manoeuvres, and those come every week or two: take fresh elements.
 */
#ifndef SKY_SGP4_H
#define SKY_SGP4_H

#include <stdbool.h>

#include "sky/elements.h"
#include "sky/sgp4_deep.h"

/* One satellite, made ready. Lengths in earth radii, times in minutes, angles in radians. */
struct sgp4 {
    double epoch_s;
    bool deep;   /* SDP4: a turn takes 225 minutes or more */
    bool simple; /* the drag's higher terms are left out: deep, or perigee below 220 km */
    double motion, eccentricity, tilt, node, perigee, anomaly, drag; /* mean, at the epoch */
    double anomaly_rate, perigee_rate, node_rate;                    /* by the earth's shape */
    /* of the drag, c and d as the report names them; t2 to t5 go with powers of the time */
    double c1, c4, c5, d2, d3, d4, t2, t3, t4, t5;
    double eta, node_drag, perigee_drag, anomaly_drag, start_cube, start_sine;
    struct sgp4_deep pull; /* where deep */
};

/* 0; -EDOM when the elements are no orbit: eccentricity outside of [0, 1), less than a turn in 1000
 * days, or anything that is not a number. */
int sgp4_make(const struct elements *elements, struct sgp4 *ret);

/*
 * Place and speed on the true equator and mean equinox of date (TEME).
 *
 *   unix_s         UTC in seconds since 1970
 *   ret_km_s       may be NULL
 *   returns        0; -EDOM the mean elements leave their range so far from the epoch; -ERANGE it
 *                  has come down; both also for a time that is not finite
 */
int sgp4_at(const struct sgp4 *sgp4, double unix_s, double ret_km[3], double ret_km_s[3]);

/* The same place turned with the earth (x to 0E, z to the north pole): what look_at_position()
 * takes. */
int sgp4_earth_fixed(const struct sgp4 *sgp4, double unix_s, double ret_km[3]);

#endif
