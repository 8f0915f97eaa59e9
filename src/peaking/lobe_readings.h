/* lobe_readings.h - inside the lobe's estimators: readings in order of place. Pure. */
#ifndef PEAKING_LOBE_READINGS_H
#define PEAKING_LOBE_READINGS_H

#include "peaking/lobe.h"

struct lobe_readings {
    struct lobe_reading at[LOBE_READINGS]; /* by growing x */
    size_t count;
    size_t clipped; /* left out */
};

/* The usable ones of the newest LOBE_READINGS, sorted. keep_clipped: a flat top is wanted. */
void lobe_readings_take(struct lobe_readings *kept, const struct lobe_reading *readings, size_t n,
                        const struct lobe_prior *prior, bool keep_clipped);

/* Reading i with wild ones smoothed away: the median of it and its neighbours, 3 to 7 in all. */
double lobe_readings_smooth(const struct lobe_readings *kept, size_t i);

/* Index of the highest smoothed reading; count > 0. */
size_t lobe_readings_top(const struct lobe_readings *kept);

/* Places further apart than a 50th of the width, among at[first..last]; counted up to 4. */
int lobe_readings_places(const struct lobe_readings *kept, size_t first, size_t last,
                         double width_deg);

/* Sd of one reading, from how neighbours differ; NaN with fewer than 12. */
double lobe_readings_noise(const struct lobe_readings *kept);

#endif
