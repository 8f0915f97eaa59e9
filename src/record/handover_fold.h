/*
 * handover_fold.h - fills a handover by a fold over a session's records, in memory that does not
 * grow with the log. The coach is run again over what was read, as in a replay: fits and levels are
 * its own. What steps did and said is taken from the log itself. Pure: no I/O, no clock, no memory.
 */
#ifndef RECORD_HANDOVER_FOLD_H
#define RECORD_HANDOVER_FOLD_H

#include "coach/coach.h"
#include "record/handover.h"
#include "session/state.h"
#include "sky/magnetic.h"

enum { HANDOVER_PENDING = COACH_OUT };

struct handover_fold {
    struct handover *out; /* borrowed */
    struct state state;
    struct coach coach;

    /* what the coach made of the newest input, to be held against what is logged next */
    struct record pending[HANDOVER_PENDING];
    int pending_count, pending_seen;

    enum record_step_event said; /* by the operator last */
    double said_t;
    int at, left; /* index of the step at hand, and of the one left last, by the log; -1 = none */
    double first_offset_s;  /* unix time minus t, by the first clock; NaN = none yet */
    double offset_s;        /* and by the newest */
    struct dwell final;     /* the level of the step that measures, as the log has it */
    bool typed[AXIS_COUNT]; /* the axis's angle was read off a scale last */
    struct {
        double first_deg, sum_deg; /* while the level was measured */
        int count;
    } stood[AXIS_COUNT];
    struct {
        double sum;
        int count;
    } cross;          /* the other polarisation, while the level was measured */
    bool height_seen; /* a fix had one */
    double isolation_told_db;
    double peak_expected; /* level at the top that the peaking at hand goes for */
    bool alarm_open;      /* the newest fastening is an alarm that still rings */
};

/*
 *   fold, ret   the caller's memory; ret is zeroed first
 *   job, procedure, magnetic   outlive both
 */
void handover_fold_init(struct handover_fold *fold, struct handover *ret, const struct job *job,
                        const struct procedure *procedure, const struct magnetic_model *magnetic);

/* One more record, in the order of the log. */
void handover_fold_apply(struct handover_fold *fold, const struct record *record);

/* The log has ended: what can only be said of the whole. The judgement is handover_judge()'s. */
void handover_fold_finish(struct handover_fold *fold);

#endif
