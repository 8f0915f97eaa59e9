/*
 * sweeps.h - readings as a sweep over a lobe would give them, and the bound on what can be got out
 * of them. Lengths are in half-power widths, levels in dB. Knows nothing of the estimators.
 */
#ifndef BENCH_SWEEPS_H
#define BENCH_SWEEPS_H

#include <stdbool.h>
#include <stddef.h>

#include "chance.h"

enum { SWEEP_READINGS = 256 };

struct sweep_reading {
    double t, x, level;
};

/* Normal noise; a share of the readings wild by 3 to 9 dB, up or down. */
double sweep_noise(struct chance *chance, double sd, double wild_share);

/* n readings evenly over -half to half, of a parabola with its top at `centre`. */
void sweep_parabola(struct sweep_reading *readings, size_t n, double half, double centre,
                    double noise, double wild_share, struct chance *chance);

/*
 * A tapered dish as a meter of total power sees it: the field of a circular aperture that is lit by
 * pedestal + (1 - pedestal) (1 - r^2), pedestal 0.316 (10 dB down at the edge), so that
 * E(u) = p 2 J1(u)/u + (1 - p)/2 8 J2(u)/u^2; the carrier stands `over_floor` dB over noise alone.
 * Source: Fourier transforms of the aperture, any textbook on antennas.
 */
void sweep_dish(struct sweep_reading *readings, size_t n, double half, double centre,
                double over_floor, double noise, struct chance *chance);

/*
 * There and back over a parabola with a meter that lags (first order, simulated in steps of a 50th
 * of a reading), about n readings each way at nominal speed; a rest of 3 s first.
 *
 *   there, back  speeds against the nominal one
 *   lag          nominal speed times the meter's lag, in widths
 *   returns      how many readings
 */
size_t sweep_both_ways(struct sweep_reading *readings, size_t n, double half, double centre,
                       double there, double back, double lag, double noise, double wild_share,
                       struct chance *chance);

/*
 * Cramer-Rao bound on the variance of the centre: the inverse of Fisher's matrix of the unknowns
 * (centre, peak, and the curvature unless it is known) for normal noise at the readings' places.
 * Derivatives of y = P - 12 r (x - c)^2: by c 24 r (x - c), by P 1, by r -12 (x - c)^2, at r = 1.
 * Source: Kay, Fundamentals of Statistical Signal Processing: Estimation Theory (1993), chapter 3.
 */
double sweep_bound(const struct sweep_reading *readings, size_t n, double centre, double noise,
                   bool curvature_known);

#endif
