/*
 * search_plan.h - how to look for the satellite: lines of constant elevation swept in azimuth, from
 * the likeliest elevation outward. Pure: no I/O, no memory.
 *
 * Where the level may fall by D dB and still be noticed, the lobe reaches w = B sqrt(D / 12) to
 * each side. Lines a step of w sqrt 2 apart cover the most sky a second: the least chord met is
 * then as long as the step. The hand may cross that chord no faster than the meter answers: chord /
 * (update + 2 lag) with a level, chord / (lock delay + update) with a lock lamp. The elevations
 * nearest to the expected one come first, for they are the likeliest. Source: elementary; order by
 * density: Koopman, The Theory of Search, Oper. Res. 5 (1957), from memory. docs/peaking.md.
 */
#ifndef PEAKING_SEARCH_PLAN_H
#define PEAKING_SEARCH_PLAN_H

#include "radio/beam.h"

enum { SEARCH_LINES = 9 };

struct search_job {
    struct beam beam;        /* tilted when a panel is turned to its skew */
    double elevation_deg;    /* of the target: azimuth scales by 1 / cos */
    double compass_deg;      /* azimuth known to within this, > 0 (2 sd) */
    double elevation_sd_deg; /* of the mount's elevation as set, > 0 */
    double neighbour_deg;    /* azimuth between neighbours: two of them are looked at on each side,
                                to know the arc by; 0 = none */
    double fall_db;          /* D: still noticed that far below the peak; NaN = 6 */
    double period_s, lag_s;  /* of the meter; NaN = 0.5 and 0.8 */
    double lock_s;           /* it only has a lock lamp, which takes so long; 0 = it has a level */
    double fastest_deg_s;    /* of a hand; NaN = 3 */
};

struct search_plan {
    double span_deg;   /* azimuth to each side */
    double step_deg;   /* elevation between lines */
    double chord_deg;  /* azimuth for which the satellite is seen, at the least */
    double rate_deg_s; /* azimuth, not to be exceeded */
    int lines;
    double offset_deg[SEARCH_LINES]; /* elevation of each line against the expected one, in order */
    double covered[SEARCH_LINES];    /* chance to have met it once this line is done */
    double line_s;                   /* time for one line */
    double expected_s, longest_s;    /* mean time until it is met (if it can be), and for all */
};

/* Never fails for finite input as above; the lines cover 98 % of the elevations, or SEARCH_LINES.
 */
struct search_plan search_plan_make(const struct search_job *job);

#endif
