/*
 * sky.h - everything that comes down from the arc, through the antenna as it stands. Pure.
 */
#ifndef SIM_SKY_H
#define SIM_SKY_H

#include "sim/scenario.h"

/* A satellite as this site sees it. */
struct sky_source {
    struct globe_arrival arrival;
    double power; /* at the peak, what is in the way taken off: a ratio to the noise */
};

struct sky {
    const struct scenario *scenario; /* borrowed */
    struct aperture aperture;
    struct sky_source sources[SCENARIO_SATELLITES];
};

void sky_init(struct sky *sky, const struct scenario *scenario);

/* A satellite through the antenna, as shares of what the best pointing gives, 0..1. */
struct sky_share {
    double pattern; /* the beam */
    double wanted;  /* the polarisation, at the port in use */
    double cross;   /* the polarisation, at the other port */
};

struct sky_share sky_share(const struct sky *sky, size_t satellite,
                           const struct globe_attitude *antenna);

/* What the receiver has: ratios to the noise. */
struct sky_power {
    double carriers;  /* all of them */
    double strongest; /* the strongest that a receiver can lock to */
    int strongest_of; /* whose; -1 = none */
    double others;    /* what of the other carriers falls into its channel */
    double cross;     /* all, at the other port */
};

struct sky_power sky_receive(const struct sky *sky, const struct globe_attitude *antenna);

/* The same with fade_db taken off every satellite. */
struct sky_power sky_faded(const struct sky_power *power, double fade_db);

#endif
