/*
 * two_way.h - sweeps there and back over a lobe: what the meter's lag does to one of them is undone
 * by the other. Pure: no I/O, no memory.
 *
 * A meter with a first-order lag shows, at each moment, the level of where the antenna was a while
 * ago. A parabola swept at speed v comes out shifted by v * lag in the direction of motion, and so
 * does latency. Here the places are put through the same lag as the levels; the lag is right when
 * the sweeps there and those back have the same centre. So hands may go unevenly, turn and stop.
 *
 * Play between a bolt and the antenna shifts with the direction exactly as lag does. Places that
 * are measured on the antenna itself have none. Places counted on the bolt have it: there the lag
 * must be known, and what is left of the difference is the play.
 *
 *   Source: response of a first-order system to a ramp, any textbook on control; docs/peaking.md.
 */
#ifndef PEAKING_TWO_WAY_H
#define PEAKING_TWO_WAY_H

#include "peaking/lobe.h"

struct two_way_reading {
    double t;     /* s */
    double x_deg; /* where the antenna (or the bolt) stood then */
    double level; /* what the meter said then */
};

struct two_way_prior {
    struct lobe_prior lobe;
    bool on_structure;    /* places are measured on the antenna; else on the bolt or by nudges */
    double lag_s;         /* of the meter; NaN = not known */
    double fastest_deg_s; /* readings taken in faster motion are discarded; NaN = keep all */
};

struct two_way_fit {
    struct lobe_fit fit;       /* lag removed. On the structure: from all readings. On the bolt: the
                                  centre       as met with growing x (finish from below) */
    double lag_s, lag_error_s; /* measured on the structure (that of the angle sensor taken off, so
                                  it may be negative), else as given */
                               /* centre met with growing x minus that with falling x, as read */
    double play_deg, play_error_deg; /* on the bolt, with the lag known; else NaN */
    int forward, back;               /* readings of either direction that were used */
    int too_fast;                    /* discarded */
};

/*
 *   readings  n of them, oldest first, at most LOBE_READINGS (else the newest ones); they may hold
 *             stops and any number of passes; they begin with the hand at rest
 *   returns   0; -ENODATA one direction is missing or has too few readings, and the lag is not
 *             known (with the lag known one direction will do);
 *             -EDOM no top in a direction, see lobe_fit(), or no lag brings both together and none
 *             is known beforehand
 *   On the bolt with the lag not known lag and play can't be told apart: the centre is then set
 *   half-way between both readings of the shift and its error says so.
 */
int two_way_fit(const struct two_way_reading *readings, size_t n, const struct two_way_prior *prior,
                struct two_way_fit *ret);

/* Speed of reading i, deg/s, smoothed over half a second; 0 for the first. */
double two_way_speed(const struct two_way_reading *readings, size_t i);

#endif
