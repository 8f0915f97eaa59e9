/*
 * arc.h - the tops met in the search, against the satellites that should be there: which is which,
 * by how much the azimuth is off, and where to look next. Kept from the first sweep to the end of
 * the session, for the screen, too. Pure.
 *
 * Azimuth coordinates are those of travel_position(); where nothing tells the azimuth they count
 * from where it was set, which is taken for the target's place until the arc says better.
 */
#ifndef COACH_ARC_H
#define COACH_ARC_H

#include <stdbool.h>

#include "coach/sweep.h"
#include "peaking/arc_match.h"
#include "session/state.h"

enum { ARC_LINES = 2 * SEARCH_LINES };

/* A piece of sky that was looked at: azimuths from low to high at an elevation, coordinates. */
struct arc_line {
    double elevation, low, high;
};

struct arc {
    bool begun;              /* a search has begun: what is here is of this session's sky */
    double origin_x;         /* azimuth coordinate that is the target's if the azimuth is right */
    double elevation_offset; /* elevation coordinate minus true elevation, as believed */
    double elevation_error;  /* of that, 1 sd */
    double width_deg, height_deg; /* half-power widths along azimuth (on its scale), elevation */
    struct sweep_peak tops[SWEEP_PEAKS];
    int top_count;
    struct arc_line lines[ARC_LINES];
    int line_count;
    int chosen; /* the top that was gone to; -1 = none, or a place where none was met */

    /* the latest comparison */
    bool matched;             /* there is one; else the tops fit nothing */
    struct arc_match match;   /* peak i is tops[i] */
    int slot[ARC_SATELLITES]; /* satellite of the match: -1 the target, else the job's neighbour */
    double slot_elevation[ARC_SATELLITES]; /* apparent */
    int slot_count;

    bool resume;                   /* the next sweep goes on where the last one left off */
    int looked;                    /* places that were looked at */
    double refused_x[SWEEP_PEAKS]; /* places where nothing was, or not the target */
    int refused_count;
};

/* Nothing met yet; the search begins at these coordinates, which are the target's as set. */
void arc_begin(struct arc *arc, const struct state *state, double origin_x, double elevation_x);

/* A top was passed: kept, or put together with the same one met on another line. Index, or -1. */
int arc_add(struct arc *arc, const struct state *state, const struct sweep_peak *top);

/* The azimuths from low to high were looked at on a line. Grows the piece at hand. */
void arc_swept(struct arc *arc, double elevation, double from_x, double to_x);

/* Compare what was met with what should be there. */
void arc_compare(struct arc *arc, const struct state *state);

/*
 * The top that is likeliest the target and was not refused, -1 = none; *ret_probability that it
 * is, 0 with none.
 */
int arc_likeliest(const struct arc *arc, double *ret_probability);

/* Where the target should stand by the tops that are known, azimuth coordinate; NaN when the arc
 * tells too little. */
double arc_target_x(const struct arc *arc);

/* The target's elevation coordinate: as it was set, or as the tops that were peaked correct it. */
double arc_target_elevation(const struct arc *arc, const struct state *state);

/* True when this place was looked at before and refused. */
bool arc_is_refused(const struct arc *arc, double x);

/* The place at hand is not the target's. */
void arc_refuse(struct arc *arc, double x);

/* The place of this top was lost: as if it had not been met. */
void arc_forget(struct arc *arc, int top);

/* The satellite that a top is taken for: its name, "" when not known well enough. */
const char *arc_name(const struct arc *arc, const struct job *job, int top);

#endif
