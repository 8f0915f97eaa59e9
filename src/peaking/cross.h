/*
 * cross.h - azimuth and elevation at once, where they are coupled: a rectangular panel turned to
 * its skew has a tilted beam, and peaking one axis after the other comes closer only by a share
 * each time. Pure: no I/O, no memory.
 *
 *     level(d) = peak - 12 s (d - c)' Q (d - c),   d = (cross-elevation, elevation)
 *
 * with Q from the antenna (radio/beam.h) and its scale s free within 0.6 to 1.4 as the curvature in
 * lobe.h, for a floor under the lobe widens it both ways. Where the antenna is not known, Q itself
 * can be free; that takes 6 readings in general position: a cut in azimuth and one in elevation
 * through the same point can't tell the coupling.
 *   Source: elementary; robust least squares as in least.h; docs/peaking.md for the figures.
 */
#ifndef PEAKING_CROSS_H
#define PEAKING_CROSS_H

#include <stdbool.h>
#include <stddef.h>

#include "radio/beam.h"

struct cross_reading {
    double x_deg; /* cross-elevation: azimuth off any fixed azimuth, times cos(elevation) */
    double y_deg; /* elevation */
    double level; /* in dB */
};

struct cross_prior {
    struct beam beam;  /* expected; where not known, a rough scale (round is fine) */
    bool beam_known;   /* else Q is free */
    bool beam_fixed;   /* its size is exact as well: s = 1 */
    double noise;      /* sd of one reading in dB; NaN = from the residuals */
    double saturation; /* readings at or above are clipped; NaN = none */
};

struct cross_fit {
    double x_deg, y_deg;             /* the centre */
    double x_error_deg, y_error_deg; /* standard errors; NaN when the noise can't be known */
    double correlation;              /* of both errors, -1 to 1 */
    double peak, peak_error;
    struct beam beam;        /* as fitted: s Q, or Q */
    bool scale_free;         /* s came from the readings (or Q did) */
    double residual;         /* sd of one reading about the fit */
    double expected_loss_db; /* mean loss when the antenna is set to this centre, from the errors */
    bool bracketed;          /* readings on all four sides of the centre */
    int used, rejected;
};

enum { CROSS_READINGS = 512 };

/*
 *   readings  any order, at most CROSS_READINGS (else the newest ones); what is not finite or
 *             clipped is left out; of many, those within 5 dB of the top are used
 *   returns   0; -ENODATA fewer readings than unknowns (3 with the beam fixed, 4, or 6)
 *             -EDOM the readings do not tell the unknowns apart (all on a line, say), or show no
 *             top, or a centre more than 0.6 width beyond them
 */
int cross_fit(const struct cross_reading *readings, size_t n, const struct cross_prior *prior,
              struct cross_fit *ret);

/* Cross-elevation of an azimuth against a reference one, both in degrees, and back. */
double cross_elevation_deg(double azimuth_deg, double reference_deg, double elevation_deg);
double cross_azimuth_deg(double x_deg, double reference_deg, double elevation_deg);

#endif
