/*
 * skew.h - the turn of the polarisation from readings over skew. Pure: no I/O, no memory.
 *
 * A linear wave met at an angle d off its own gives the wanted port cos^2 d of the power and the
 * other port sin^2 d. With what leaks in anyhow (noise, the antenna's own cross-polar part) as q:
 *
 *     co-polar     level = top + 10 log (cos^2 d + q)     flat at its top: 0.1 dB at 8.7 degrees
 *     cross-polar  level = top + 10 log (sin^2 d + q)     sharp at its null
 *
 * So read the other port where the meter can; else read far to both sides (30 to 45 degrees) where
 * the co-polar level falls steeply; never judge by the co-polar peak.
 *   Source: geometry, as in radio/isolation.h. docs/peaking.md has figures.
 */
#ifndef PEAKING_SKEW_H
#define PEAKING_SKEW_H

#include <stdbool.h>
#include <stddef.h>

enum { SKEW_READINGS = 512 };

struct skew_reading {
    double skew_deg, level;
    double fade_db; /* the wave was so much stronger meanwhile than at other times; 0 = not known */
};

struct skew_prior {
    double noise;      /* sd of one reading; NaN = from the residuals */
    bool is_db;        /* else equal levels to both sides are bracketed; where there are too few
                          places for that, the unit is taken for some share of a dB, of one size
                          over the levels that were read */
    double saturation; /* readings at or above are clipped; NaN = none */
    double depth_db;   /* what leaks, below the co-polar top, and its sd; NaN = 20 of a peak, 30 of
                          a null, each to 10 */
    double depth_sd_db;
};

struct skew_fit {
    double skew_deg;
    double error_deg; /* standard error; NaN when the noise can't be known */
    double level;     /* at the peak, or at the null */
    double depth_db;  /* the null below the co-polar top that its flanks imply, or the floor below
                         the peak; > 0; NaN when not in dB */
    double residual;
    bool low_reached, high_reached; /* readings well to that side: 10 degrees off a peak, 1 degree
                                       off a null */
    bool bracket;                   /* from equal levels only */
    int used, rejected;
};

/*
 * The peak from co-polar readings: anything from two clusters at equal drop to a whole sweep.
 *
 *   readings  n, any order, at most SKEW_READINGS (else the newest ones)
 *   returns   0; -ENODATA fewer than 3 usable readings or 2 places
 *             -EDOM the level does not depend on skew (total power over both polarisations does
 *             not), or one side only was read and the error would be beyond 15 degrees
 */
int skew_fit_copolar(const struct skew_reading *readings, size_t n, const struct skew_prior *prior,
                     struct skew_fit *ret);

/* The null from readings of the other polarisation. As above; -EDOM beyond 5 degrees of error. */
int skew_fit_null(const struct skew_reading *readings, size_t n, const struct skew_prior *prior,
                  struct skew_fit *ret);

#endif
