#include "command/fold.h"

#include <math.h>

static void take(struct state *state, struct record *record, fold_hear *hear, void *to)
{
    record_round(record);
    state_apply(state, record);
    if (hear) {
        hear(to, record);
    }
}

void fold_record(struct state *state, struct coach *coach, const struct record *record,
                 fold_hear *hear, void *to)
{
    struct record input = *record, made;

    input.t = fmax(input.t, state->t);
    take(state, &input, hear, to);
    coach_update(coach, state, &input);
    while (coach_take(coach, &made)) {
        take(state, &made, hear, to);
    }
}
