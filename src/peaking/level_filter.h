/*
 * level_filter.h - what a meter's jumping readings say: a level, how sure, how noisy, how often.
 * Pure: no I/O, no clock, no memory.
 */
#ifndef PEAKING_LEVEL_FILTER_H
#define PEAKING_LEVEL_FILTER_H

#include <stdbool.h>

enum { LEVEL_FILTER_WINDOW = 32 };

struct level_filter {
    double noise_given;      /* sd of one reading, NaN = estimate it */
    double minimum, maximum; /* the meter's ends: a reading there is saturated; NaN = none */
    double t[LEVEL_FILTER_WINDOW], value[LEVEL_FILTER_WINDOW]; /* the newest first */
    int count;
    double bends[LEVEL_FILTER_WINDOW]; /* sizes of the second differences, ascending */
    int bend_count;
    double roots[LEVEL_FILTER_WINDOW]; /* of 1, 2, 3, ... */
    double level;                      /* filtered; NaN before the first reading */
    double error;                      /* its standard error; NaN = not known yet */
    int used;                          /* of the newest readings went into the level */
};

/*
 *   noise             sd of one reading in the meter's unit; NaN = estimated from the readings
 *   minimum, maximum  the meter's range; NaN = none
 */
void level_filter_init(struct level_filter *filter, double noise, double minimum, double maximum);

/*
 * One reading. Returns the filtered level: the mean of as many of the newest readings as agree with
 * each other within their noise, 3 to LEVEL_FILTER_WINDOW of them, single wild ones left out. So it
 * follows a hand at once and settles to the noise over the root of the count when the hand is off.
 * A reading that is not finite is left out; a gap of more than 4 s starts anew:
 * levels typed in by hand stand each for itself.
 *   Source: intersection of confidence intervals, Goldenshluger and Nemirovski, Math. Methods
 *   Statist. 6 (1997), from memory.
 */
double level_filter_push(struct level_filter *filter, double t, double value);

/*
 * The level for best-so-far: what the filtered level is above by all likelihood, level - 2 error.
 * A maximum of noisy levels is always too high and can never be reached again; the maximum of this
 * one stays at or below the true level, and comes up to it while the hand is off the mount. Before
 * the noise is known it is the lowest of the newest three. NaN before the first reading.
 */
double level_filter_sure(const struct level_filter *filter);

/* When the level was as it is said to be: the middle of the times of what went into it; NaN before
 * the first reading. */
double level_filter_middle_t(const struct level_filter *filter);

/*
 * Standard deviation of one reading, robust: from second differences, so that a steady sweep does
 * not count as noise. Never below what the meter's steps make (step / sqrt 12). Readings that a
 * meter sends again without a new measurement are taken once. NaN with fewer than 8 readings, or
 * when all are equal.
 */
double level_filter_noise(const struct level_filter *filter);

/* Time between new readings, s (median); NaN with fewer than 3. */
double level_filter_period_s(const struct level_filter *filter);

/* Smallest step between readings that differ, in the meter's unit; NaN when all are equal. */
double level_filter_step(const struct level_filter *filter);

/* True when the newest readings sit at an end of the meter's range, or are stuck on one value
 * while they were not before. */
bool level_filter_saturated(const struct level_filter *filter);

#endif
