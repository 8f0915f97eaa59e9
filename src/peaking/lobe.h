/*
 * lobe.h - from readings along one axis to the top of the lobe. Pure: no I/O, no memory.
 *
 * Near its top a lobe in dB is a parabola: level = peak - 12 ((x - centre) / width)^2, width being
 * the half-power (3 dB) width. Fitted with the curvature free, because a lobe seen over a noise
 * floor is wider than the antenna's, robustly (Huber's weights), to the top few dB only.
 * Source: the parabola is the Gaussian beam of ITU-R S.465's kind to 3 dB; Huber, Robust
 * Estimation of a Location Parameter, Ann. Math. Statist. 35 (1964). docs/peaking.md says more.
 */
#ifndef PEAKING_LOBE_H
#define PEAKING_LOBE_H

#include <stdbool.h>
#include <stddef.h>

struct lobe_reading {
    double x_deg, level;
};

struct lobe_prior {
    double width_deg;  /* expected half-power width, > 0 */
    bool width_known;  /* it is computed from the antenna, not guessed */
    double noise;      /* sd of one reading in the level's unit; NaN = from the residuals */
    bool is_db;        /* else only monotone: percent, volts, raw */
    double saturation; /* readings at or above are clipped; NaN = none */
};

struct lobe_fit {
    double centre_deg;
    double centre_error_deg;          /* standard error */
    double peak;                      /* level at the centre */
    double width_deg;                 /* half-power width; the expected one where it was not free */
    double residual;                  /* robust sd of the readings about the fit */
    bool width_free;                  /* the curvature came from the readings */
    bool left_reached, right_reached; /* readings on both sides of the centre, past 0.15 width */
    int used, rejected;
};

enum { LOBE_READINGS = 512 };

/*
 *   readings  any order; not finite or clipped ones are left out; n at most LOBE_READINGS
 *   returns   0; -ENODATA fewer than 3 usable readings or 2 places; -EDOM no top: the level only
 *             rises or falls along the readings, or does not change
 */
int lobe_fit(const struct lobe_reading *readings, size_t n, const struct lobe_prior *prior,
             struct lobe_fit *ret);

#endif
