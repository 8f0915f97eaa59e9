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
    PROCEDURE_ALLOWED_SIZE = 240,
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
    double tolerance_deg;           /* set: close enough; NaN = as usual for the axis */
    double span_deg;                /* sweep: each way; NaN = from the compass's uncertainty */
    double rate_deg_s;              /* sweep: not to exceed; NaN = from beam and meter */
    double limit_db;                /* tighten: how far below best is accepted */
    double dwell_s;                 /* measure: how long the level is read; NaN = as usual */
    char text[PROCEDURE_TEXT_SIZE]; /* confirm: what to say */
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

/* One row a key of a step, in the order of the manual; ended by a row whose key is NULL. */
struct procedure_key {
    const char *key;
    unsigned acts;      /* a bit for each enum procedure_do that it means something to */
    size_t offset;      /* of a number in struct procedure_step; 0 = no number */
    double least, most; /* of a number */
};

extern const struct procedure_key procedure_keys[];

/* What a key accepts, in words that follow "allowed is". */
void procedure_key_allowed(const struct procedure_key *row, char ret_text[PROCEDURE_ALLOWED_SIZE]);

/* "confirm", "fix", ... */
const char *procedure_do_name(enum procedure_do act);

void procedure_init(struct procedure *procedure, const char *name);

/*
 * Set one key of a `step NAME` section; a new name appends a step, a second `text` goes on with the
 * first.
 *
 *   returns  0; -EINVAL and why (key, value, what is allowed); -ENOSPC one step too many; the
 *            procedure is unchanged then
 */
int procedure_set(struct procedure *procedure, const char *section, const char *key,
                  const char *value, char *why, size_t why_size);

/*
 * Every step complete, with keys that mean something to it, and in an order that can work: a
 * position before what is aimed by it, the record last. 0 or -EINVAL, why, and which step is wrong
 * (step_count: the procedure as a whole); ret_step may be NULL.
 */
int procedure_check(const struct procedure *procedure, size_t *ret_step, char *why,
                    size_t why_size);

#endif
