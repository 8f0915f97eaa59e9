/*
 * procedure.h - the script that the coach follows, as data: an ordered list of steps. Pure; the
 * file format is peakward-procedure(5).
 */
#ifndef COACH_PROCEDURE_H
#define COACH_PROCEDURE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/axis.h"

enum {
    PROCEDURE_STEPS = 32,
    PROCEDURE_NAME_SIZE = 48,
    PROCEDURE_TEXT_SIZE = 240,
    PROCEDURE_SETTINGS = 192,
};

enum procedure_do {
    DO_CONFIRM,  /* a caution or a piece of work the operator says is done */
    DO_FIX,      /* wait for a position */
    DO_SET,      /* bring an axis to its predicted angle */
    DO_SWEEP,    /* turn an axis until a carrier is found */
    DO_IDENTIFY, /* be sure that it is the target */
    DO_PEAK,     /* bring an axis to the top of the lobe */
    DO_NULL,     /* bring skew to the cross-polar null */
    DO_TIGHTEN,  /* fasten the bolts and keep the level */
    DO_MEASURE,  /* average the level */
    DO_RECORD,   /* close the session */
    DO_COUNT
};

struct procedure_step {
    char name[PROCEDURE_NAME_SIZE]; /* "peak azimuth" */
    enum procedure_do act;
    enum axis axis;                 /* AXIS_NONE where none is needed */
    double tolerance_deg;           /* set, peak: close enough; NaN = from the beam */
    double span_deg;                /* sweep: each way; NaN = from the compass's uncertainty */
    double rate_deg_s;              /* sweep: not to exceed; NaN = from beam and meter */
    double limit_db;                /* tighten: how far below best is accepted */
    double dwell_s;                 /* how long a level must be read; NaN = from the meter */
    char text[PROCEDURE_TEXT_SIZE]; /* confirm: what to say; else added to the reason */
};

struct procedure {
    char name[PROCEDURE_NAME_SIZE];
    struct procedure_step steps[PROCEDURE_STEPS];
    size_t step_count;

    /* Everything that was set, in order (the log's header). */
    struct {
        char section[PROCEDURE_NAME_SIZE + 8], key[24], value[PROCEDURE_TEXT_SIZE];
    } settings[PROCEDURE_SETTINGS];
    size_t setting_count;
};

void procedure_init(struct procedure *procedure, const char *name);

/*
 * Set one key of a `step NAME` section; a new name appends a step.
 *
 *   returns  0; -EINVAL and why (key, value, what is allowed); -ENOSPC one step too many
 */
int procedure_set(struct procedure *procedure, const char *section, const char *key,
                  const char *value, char *why, size_t why_size);

/* Every step complete and in an order that can work. 0 or -EINVAL and why. */
int procedure_check(const struct procedure *procedure, char *why, size_t why_size);

#endif
