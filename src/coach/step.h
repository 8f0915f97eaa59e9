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
    bool hears_back; /* `back` is an answer to its question, not the wish for the step before */
    void (*enter)(const struct step_context *context); /* may be NULL */
    enum step_outcome (*update)(const struct step_context *context);
};

extern const struct step_ops step_confirm, step_fix, step_set, step_sweep, step_identify, step_peak,
    step_skew, step_tighten, step_measure, step_record;

/* True when the operator has just said `done`. */
bool step_answered(const struct step_context *context);

/* The operator has just said this. */
bool step_heard(const struct step_context *context, enum record_step_event event);

#endif
