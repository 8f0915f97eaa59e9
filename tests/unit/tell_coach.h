/* tell_coach.h - a record comes in: state and coach hear of it, and a test of what the coach says.
 */
#ifndef TESTS_TELL_COACH_H
#define TESTS_TELL_COACH_H

#include "coach/coach.h"

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
