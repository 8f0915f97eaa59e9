/*
 * change.h - sequential detection of a fall of the level, for the time when bolts are tightened.
 * Pure: no I/O, no clock, no memory.
 *
 *     S = max(0, S + (reference - y) - fall / 2),   alarm while S > h
 *
 * which is the quickest way to notice a fall for a given rate of false alarms. h follows from that
 * rate by Siegmund's approximation of the mean number of readings to a false alarm,
 *
 *     N(k, h) = (exp(2 k b) - 2 k b - 1) / (2 k^2),  b = h + 1.166,  k = fall / 2 (in sd),
 *
 * averaged over what the reference may be wrong by.
 *   Source: Page, Continuous Inspection Schemes, Biometrika 41 (1954); Siegmund, Sequential
 *   Analysis (1985), from memory. Figures: docs/peaking.md.
 */
#ifndef PEAKING_CHANGE_H
#define PEAKING_CHANGE_H

#include <stdbool.h>

enum { CHANGE_REFERENCE = 64, CHANGE_REFERENCE_ENOUGH = 20 };

struct change {
    double reference; /* level before */
    double allowance; /* half of the fall to notice: deviations below it do not add up */
    double threshold;
    double sum;
    double rise;  /* the same sum upwards */
    double below; /* sum of reference - y since the sum last was zero, and of how many */
    int below_count;
};

struct change_plan {
    double reference;           /* level before */
    double reference_error;     /* its standard error, >= 0 */
    double noise;               /* sd of one reading, > 0 */
    double fall;                /* what is to be noticed, > 0, same unit */
    double period_s;            /* between readings; NaN = 0.5 s */
    double false_alarm_every_s; /* mean time between false alarms; NaN = 600 s */
    double correlation;         /* of successive readings (fading, a smoothing meter), 0 to < 1 */
};

/* Watch for a fall below a reference. */
void change_plan_watch(struct change *change, const struct change_plan *plan);

/*
 * One reading; what is not finite is left out. True while the sum is beyond the threshold. One
 * reading alone, however wild, can't bring it there.
 */
bool change_push(struct change *change, double value);

/* True while the level stands above the reference as surely: then it was not at the peak. */
bool change_rising(const struct change *change);

/* How far the level has fallen, as the readings since the fall began say; 0 while none did. */
double change_fall(const struct change *change);

/*
 * Readings from a fall to its alarm, on average (Siegmund, as above).
 *
 *   fall  how far it really falls; INFINITY is returned where that is half the planned fall or less
 */
double change_delay(const struct change_plan *plan, double fall);

/* Readings of the level before: kept until there are enough. */
struct change_reference {
    double value[CHANGE_REFERENCE]; /* the newest */
    int count, next;
};

void change_reference_init(struct change_reference *reference);
/* True once there are CHANGE_REFERENCE_ENOUGH. */
bool change_reference_push(struct change_reference *reference, double value);
/* Mean without the outer quarters, its standard error, and sd of one reading; NaN with none (mean)
 * or fewer than 3. */
double change_reference_level(const struct change_reference *reference);
double change_reference_error(const struct change_reference *reference);
double change_reference_noise(const struct change_reference *reference);

#endif
