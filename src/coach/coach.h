/*
 * coach.h - what to do next. Follows a procedure over the state and turns every record into advice.
 * Pure: no I/O, no clock, no memory; the same records always give the same advice.
 */
#ifndef COACH_COACH_H
#define COACH_COACH_H

#include <stdbool.h>

#include "coach/arc.h"
#include "coach/by_scale.h"
#include "coach/dwell.h"
#include "coach/peak.h"
#include "coach/procedure.h"
#include "coach/skew_setting.h"
#include "coach/sweep.h"
#include "coach/tighten.h"
#include "coach/travel.h"
#include "session/state.h"

enum { COACH_OUT = 8 };

/* What the coach has learned, kept from step to step. */
struct coach_learned {
    double peak_level;              /* fitted level at the top; NaN = not known */
    double peak_x[AXIS_COUNT];      /* axis coordinate where its peak was left; NaN = not known */
    struct peak_cut cut[AXIS_SKEW]; /* newest through the lobe, in azimuth and in elevation */
    double middle_x[AXIS_COUNT]; /* of a tilted lobe, where an axis still has to go; NaN = none */
    double middle_level;
    double fall; /* stations: level lost at one width from the top, as the last lobe showed it;
                    NaN = not known */
    double lag_s, lag_error_s;      /* of the meter, by sweeps there and back; NaN = not known */
    double azimuth_bias_deg;        /* measured minus true azimuth, once the target is known */
    bool sure;                      /* the carrier is known to be the target */
    char grounds[RECORD_TEXT_SIZE]; /* why it is, or is not, taken for the target */
};

/* The highest level seen, and whether it comes again and again though the readings are finer. */
struct coach_end {
    double top, run_t;  /* since when it is shown without a change */
    int run;            /* readings */
    double noise, step; /* of the readings before */
    bool found;
};

struct coach {
    const struct job *job;             /* borrowed */
    const struct procedure *procedure; /* borrowed */
    size_t at;                         /* index of the step at hand */
    bool started, finished;
    double step_t;  /* when it was entered */
    double still_t; /* since when no hand is on the antenna, as far as is known */
    bool asking;    /* what a scale shows, before the step can begin */
    bool gone_back; /* to this step by the operator, and nothing was to be done in it since */
    char nothing_left[RECORD_TEXT_SIZE]; /* why not; "" = not known yet */
    struct coach_learned learned;
    struct coach_end end; /* of the meter's range */
    int repeaks;          /* times that tightening sent us back */
    int lost;             /* times in a row that nothing was found where it was looked for */
    struct arc arc; /* what the search has met, and which satellite is which: for the screen, too */

    /* working memory of the step at hand */
    struct travel travel;
    struct by_scale by_scale; /* instead, where a scale is all there is */
    struct dwell dwell;
    struct peak peak;
    struct sweep sweep;
    struct skew_setting skew;
    struct tighten tighten;
    bool refuted;     /* identify: this is not the target, and no sweep can go on from it */
    double settled_t; /* set: since when the axis stands at its angle; NaN = it does not */

    struct advice advice; /* the last one given */
    double advice_t;
    struct record out[COACH_OUT];
    size_t out_first, out_count;
};

/* The level at which the meter is at its end: as the job has it, else as it has shown; NaN = none
 * known. */
double coach_saturation(const struct coach *coach, const struct state *state);

/* The meter's lag, s: as the job has it, else as peaking has shown it, else a usual one. */
double coach_lag_s(const struct coach *coach, const struct state *state);

void coach_init(struct coach *coach, const struct job *job, const struct procedure *procedure);

/*
 * One record has been folded into the state: think again. Records that the coach made itself are
 * to be folded, too, but need not come back here.
 */
void coach_update(struct coach *coach, const struct state *state, const struct record *record);

/* The coach's own records (step, advice), oldest first; false = none left. */
bool coach_take(struct coach *coach, struct record *ret_record);

#endif
