/*
 * arc.h - the neighbours of a satellite along the arc, as a sweep meets them. Pure.
 *
 * Everything is geometric. Refraction makes a small difference only low down: at 10 degrees of
 * elevation a neighbour 2 degrees higher is lifted 0.016 degrees less than the target.
 */
#ifndef SKY_ARC_H
#define SKY_ARC_H

#include <stdbool.h>
#include <stddef.h>

#include "sky/look.h"

struct arc_slot {
    const char *name; /* borrowed; only handed through */
    double lon_deg;   /* east positive, any turn */
};

/* One neighbour; differences are neighbour minus target. */
struct arc_neighbour {
    const char *name; /* borrowed from its slot */
    size_t slot;      /* its place in the list given */
    struct look look;
    double lon_deg;       /* in longitude: positive = east of the target, (-180, 180] */
    double azimuth_deg;   /* positive = right of the target, (-180, 180] */
    double elevation_deg; /* positive = higher */
    double skew_v_deg;    /* of polarisation V: positive = further clockwise, (-90, 90] */
    double skew_h_deg;    /* of polarisation H, likewise */
    double angle_deg;     /* between the two lines of sight, [0, 180] */
    bool visible;         /* apparent elevation, refraction included, not below the horizon */
};

/*
 * The neighbours within some longitude of the target, in the order from left to right as seen
 * from behind the antenna; at one azimuth in the order given.
 *
 *   target_lon_deg  any turn; a slot at just this longitude is a neighbour, too
 *   slots           n of them, any order; one whose longitude is not finite is passed over
 *   within_deg      greatest difference of longitude, 10, say; >= 0
 *   ret             room for n
 *   returns         how many were written; 0 for a site or target that is not finite
 *   Source: look.h
 */
size_t arc_neighbours(const struct look_earth *earth, const struct look_site *site,
                      double target_lon_deg, const struct arc_slot *slots, size_t n,
                      double within_deg, struct arc_neighbour *ret);

/* What a sweep in azimuth at the target's elevation meets: places in the neighbours' list. */
struct arc_sweep {
    int first;  /* met first of all; -1 = nothing is met before the target */
    int before; /* met last before the target: the one to be mistaken for it; -1 = none */
    int count;  /* how many are met before the target */
};

/*
 *   neighbours  as arc_neighbours() gave them
 *   from_left   the sweep starts at the left and turns right; else the other way
 *   reach_deg   how far above or below the sweep a neighbour is still heard, >= 0: half the beam's
 *               width in elevation; INFINITY = at any height
 */
struct arc_sweep arc_sweep_order(const struct arc_neighbour *neighbours, size_t n, bool from_left,
                                 double reach_deg);

#endif
