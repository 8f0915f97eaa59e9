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
    double t[LEVEL_FILTER_WINDOW], value[LEVEL_FILTER_WINDOW]; /* ring */
    int next, count;
    double level; /* filtered; NaN before the first reading */
};

/*
 *   noise             sd of one reading in the meter's unit; NaN = estimated from the readings
 *   minimum, maximum  the meter's range; NaN = none
 */
void level_filter_init(struct level_filter *filter, double noise, double minimum, double maximum);

/* One reading. Returns the filtered level: a median of the newest three, smoothed over about 1 s.
 */
double level_filter_push(struct level_filter *filter, double t, double value);

/* Standard deviation of one reading, robust (from differences); NaN with fewer than 8 readings. */
double level_filter_noise(const struct level_filter *filter);

/* Time between readings, s (median); NaN with fewer than 3. */
double level_filter_period_s(const struct level_filter *filter);

/* True when the newest readings sit at an end of the meter's range, or are stuck on one value
 * while they were not before. */
bool level_filter_saturated(const struct level_filter *filter);

#endif
