/* history.h - what a face remembers of the records that went by, for the graph. Pure. */
#ifndef VIEW_HISTORY_H
#define VIEW_HISTORY_H

#include <stddef.h>

#include "session/record.h"

enum { HISTORY_STEPS = 64 };

struct history {
    struct {
        double t; /* when it was entered */
        int number;
    } steps[HISTORY_STEPS]; /* the newest last; the oldest fall off */
    size_t step_count;
};

/* A record went by. One from before the newest means that a replay went back: the rest is dropped.
 */
void history_add(struct history *history, const struct record *record);

#endif
