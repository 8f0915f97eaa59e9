/* change.h - sequential detection of a fall of the level (CUSUM). Pure. */
#ifndef PEAKING_CHANGE_H
#define PEAKING_CHANGE_H

#include <stdbool.h>

struct change {
    double reference; /* level before */
    double allowance; /* half of the fall to notice: deviations below it do not add up */
    double threshold;
    double sum;
};

/*
 * Watch for a fall below a reference: S = max(0, S + (reference - y) - fall/2), alarm at S > h.
 *
 *   reference  level before, from 20 readings or more
 *   noise      sd of one reading, > 0, in the same unit as fall
 *   fall       what is to be noticed, > 0
 *   period_s   between readings; NaN = 0.5 s assumed
 *   Source: Page, Continuous inspection schemes, Biometrika 41 (1954); h from Siegmund's
 *   approximation of the mean time to a false alarm (Sequential Analysis, 1985, from memory), for
 *   one false alarm in ten minutes.
 */
void change_init(struct change *change, double reference, double noise, double fall,
                 double period_s);

/* One reading: true while the sum is beyond the threshold. */
bool change_push(struct change *change, double value);

#endif
