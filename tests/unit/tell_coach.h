/* tell_coach.h - a coach begins; a record comes in: state and coach hear of it, and a test of what
 * the coach says. */
#ifndef TESTS_TELL_COACH_H
#define TESTS_TELL_COACH_H

#include "coach/coach.h"

/* As the program begins: a state and a coach that have heard nothing yet. */
static inline void begin_coach(struct coach *coach, struct state *state, const struct job *job,
                               const struct procedure *procedure)
{
    static struct magnetic_model magnetic;

    magnetic_builtin(&magnetic);
    state_init(state, job, &magnetic);
    coach_init(coach, job, procedure);
}

static inline void tell_coach(struct coach *coach, struct state *state, const struct record *record,
                              void (*note)(const struct record *made))
{
    struct record made;

    state_apply(state, record);
    coach_update(coach, state, record);
    while (coach_take(coach, &made)) {
        state_apply(state, &made);
        note(&made);
    }
}

#endif
