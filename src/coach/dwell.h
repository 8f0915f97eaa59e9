/*
 * dwell.h - stop and read: the level at one place, once the meter has settled. Pure.
 */
#ifndef COACH_DWELL_H
#define COACH_DWELL_H

#include <stdbool.h>

#include "session/state.h"

enum { DWELL_READINGS = 64 };

struct dwell {
    enum axis axis; /* whose angle is averaged beside the level; AXIS_NONE = no axis */
    double from_t;  /* readings before this are still settling */
    double until_t; /* not before this; NaN = the count alone decides */
    int needed;
    int count;
    double level[DWELL_READINGS];
    double x_sum;
    int x_count;
};

/*
 * Begin. How long to settle and how many readings follow from the meter: three lags after a step
 * of 3 dB leave 0.15 dB; noise over the root of the count is to be 0.1 of the unit. Briefly: two
 * lags, which leave 0.1 dB of a step of 0.7, and noise of 0.14, which is what fading adds anyway.
 *
 *   lag_s       of the meter
 *   still_t     since when no hand is on the antenna: what it has settled by now counts
 *   at_least_s  read for at least that long; 0 = as the meter needs
 *   brief       after a short turn, one of several readings
 */
void dwell_start(struct dwell *dwell, const struct state *state, enum axis axis, double lag_s,
                 double still_t, double at_least_s, bool brief);

/* A record came (state has it): true once enough was read. */
bool dwell_update(struct dwell *dwell, const struct state *state, const struct record *record);

/* Mean of the readings without the outermost quarter on each side, and its standard error. */
double dwell_level(const struct dwell *dwell);
double dwell_level_error(const struct dwell *dwell);

#endif
