/*
 * lobe_beside.h - inside the lobe's estimators: the top of a lobe between neighbours whose carriers
 * overlap the wanted one. Pure.
 *
 * A receiver that measures carrier over noise counts a neighbour's carrier as noise:
 *
 *     level(u) = P - 12 r u^2 - 10 log10(1 + sum over neighbours of s g(distance from u))
 *
 * u in half-power widths off the middle, g the antenna's own lobe, s how far a neighbour's carrier
 * would stand over the noise if the antenna were turned to it. Where the neighbours stand is known,
 * s is not: each strength from none to strong is tried, and the tops that follow are averaged, each
 * by how well it explains the readings (Bayes' rule). A parabola's top slides away from the
 * neighbour meanwhile, by 0.04 widths where one as strong stands 1.2 widths off.
 */
#ifndef PEAKING_LOBE_BESIDE_H
#define PEAKING_LOBE_BESIDE_H

#include "peaking/lobe_readings.h"

/*
 * How far the lobe's middle lies from a place near it, in widths; 0 where the readings do not tell.
 * Levels in any unit of which prior->unit_per_db make about a dB.
 */
double lobe_beside(const struct lobe_readings *kept, const struct lobe_prior *prior,
                   double near_deg);

#endif
