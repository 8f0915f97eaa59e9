/*
 * step.h - inside the coach: what one kind of step looks like. A new kind is one file and one row
 * of the table in coach.c.
 */
#ifndef COACH_STEP_H
#define COACH_STEP_H

#include "coach/coach.h"

enum step_outcome {
    STEP_GOES_ON,
    STEP_IS_DONE,
    STEP_SENDS_BACK, /* to the peak steps: the axis has moved */
    STEP_SEARCHES,   /* to the sweep before: this is not the target */
    STEP_SETS_UP,    /* to the first angle that is set: what is there is not to be trusted */
};

struct step_context {
    struct coach *coach;
    const struct procedure_step *step;
    const struct state *state;
    const struct record *record; /* what just happened */
    struct advice *advice;       /* to fill: what to do now */
    char *result;                /* RECORD_TEXT_SIZE, to fill when done */
};

struct step_ops {
    /* `back` is an answer to its question, not the wish for the step before; NULL = never */
    bool (*hears_back)(const struct coach *coach);
    void (*enter)(const struct step_context *context); /* may be NULL */
    enum step_outcome (*update)(const struct step_context *context);
};

extern const struct step_ops step_confirm, step_fix, step_set, step_sweep, step_identify, step_peak,
    step_skew, step_tighten, step_measure, step_record;

/* True when the operator has just said `done`. */
bool step_answered(const struct step_context *context);

/* The operator has just said this. */
bool step_heard(const struct step_context *context, enum record_step_event event);

/* The latest step before the one at hand that does this; the one at hand when there is none. */
size_t step_last(const struct coach *coach, enum procedure_do act);

/* A sweep stands before the step at hand: what is not the target can be searched on from. */
bool step_can_search(const struct coach *coach);

/* Not the target: remember the place, and search on. */
enum step_outcome step_search_on(const struct step_context *context);

/* Where the target should stand on an axis, coordinate of travel_position(): as predicted, and by
 * what its azimuth read before, once it is known. NaN on an axis that only counts nudges. */
double step_target_x(const struct step_context *context, enum axis axis);

/* Half-power width to go by, degrees: the expected one, else a usual one. */
double step_width_deg(const struct step_context *context, enum axis axis);

/* A level from which on the meter is at its end; NaN = none known. */
double step_end_level(const struct step_context *context);

/* Stop and read, see dwell_start(); what the antenna has stood still already counts. */
void step_read(const struct step_context *context, enum axis axis, double at_least_s);

/* The same after a short turn, where more readings follow. */
void step_read_briefly(const struct step_context *context, enum axis axis);

/* A scale that this step goes by was not read yet: true, and asked for. */
bool step_asks_scale(const struct step_context *context);

/* How high the job's skyline stands before the target; NaN = it is not hidden, or not known. */
double step_hidden_by_deg(const struct state *state);

/* Nothing was found, and the operator has to look why: the likely causes, in order. */
void step_say_causes(const struct step_context *context);

#endif
