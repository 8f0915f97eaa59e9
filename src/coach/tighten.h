/* tighten.h - fasten the bolts and keep the level: working memory of the step. Pure. */
#ifndef COACH_TIGHTEN_H
#define COACH_TIGHTEN_H

#include <stdbool.h>

#include "coach/dwell.h"
#include "peaking/change.h"

enum tighten_phase {
    TIGHTEN_REFERENCE, /* read the level before the first bolt */
    TIGHTEN_WATCH,     /* while bolts are turned */
    TIGHTEN_CHECK,     /* read the level after the last one */
};

struct tighten {
    enum tighten_phase phase;
    double reference;         /* level before */
    double angle[AXIS_COUNT]; /* measured before; NaN = no sensor */
    bool falling;             /* the watch has rung */
    struct change change;
};

#endif
