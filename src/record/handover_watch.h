/*
 * handover_watch.h - what the coach knows while it works, kept for the handover: the lobes as they
 * were read, the fastening of the bolts. Looks at the coach before and after each
 * record. Pure.
 */
#ifndef RECORD_HANDOVER_WATCH_H
#define RECORD_HANDOVER_WATCH_H

#include "record/handover_fold.h"

/* The coach as it stood before a record, as far as that is wanted. */
struct handover_watch {
    bool works; /* on a step of the procedure */
    size_t at;
    enum procedure_do act;
    enum peak_phase peak_phase;
    enum tighten_phase tighten_phase;
    bool falling;
    bool read; /* with this record the level at a peak was read, and then: */
    double level, error;
};

/* Before the coach hears of a record that the state has already. */
void handover_watch_before(const struct handover_fold *fold, const struct record *record,
                           struct handover_watch *ret);

/* After it, before what it made is taken. */
void handover_watch_after(struct handover_fold *fold, const struct handover_watch *watch);

/* The coach has left a step, for this input. */
void handover_watch_left(struct handover_fold *fold, const struct handover_watch *watch,
                         const struct record_step *step, const struct record *input);

#endif
