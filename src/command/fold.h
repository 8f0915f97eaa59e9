/*
 * fold.h - one record through the state and past the coach: what a live session, its replay and a
 * look ahead have in common. Pure.
 */
#ifndef COMMAND_FOLD_H
#define COMMAND_FOLD_H

#include "coach/coach.h"
#include "session/state.h"

/* A record was folded into the state: the one that came in, then what the coach made of it. */
typedef void fold_hear(void *to, const struct record *record);

/*
 * Fold a record in, rounded to what a log keeps and not before the one before it.
 *
 *   hear  called for each record, oldest first; NULL = nobody listens
 */
void fold_record(struct state *state, struct coach *coach, const struct record *record,
                 fold_hear *hear, void *to);

#endif
