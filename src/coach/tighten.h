/*
 * tighten.h - fasten the bolts and keep the level: working memory of the step. Pure.
 *
 * A mount gives when its bolts are fastened, and gives again, about as much, when they are eased
 * and fastened anew. So what was lost is not peaked away but allowed for: the axis is set off the
 * top by as much as it will come back.
 */
#ifndef COACH_TIGHTEN_H
#define COACH_TIGHTEN_H

#include <stdbool.h>

#include "coach/dwell.h"
#include "peaking/change.h"

enum { TIGHTEN_AXES = 2, TIGHTEN_LEGS = 2 * TIGHTEN_AXES, TIGHTEN_ROUNDS = 4 };

enum tighten_phase {
    TIGHTEN_REFERENCE, /* read the level before the first bolt */
    TIGHTEN_WATCH,     /* while bolts are turned */
    TIGHTEN_CHECK,     /* read the level after the last one */
    TIGHTEN_EASE,      /* eased again: set off by what was lost */
};

/* Where the sensors had an axis while the level was read. */
struct tighten_angle {
    double first, sum, squares; /* sums of what the others are beyond the first */
    int count;
};

struct tighten {
    enum tighten_phase phase;
    double reference, reference_error; /* level before the first bolt */
    double per_db;                     /* of the meter's unit near the top */
    struct change_reference readings;
    struct tighten_angle before[TIGHTEN_AXES], after[TIGHTEN_AXES];
    bool falling; /* the watch has rung */
    struct {      /* what was said of the fall: said anew only when it is quite another */
        double deg[TIGHTEN_AXES], off_deg, loss_db;
    } said;
    struct change change;
    double delay_s;                             /* of the watch */
    int round;                                  /* times fastened */
    double judged_from, loss_db, loss_error_db; /* last verdict: the level held against, and lost */

    /* what is to be turned before the next round */
    struct {
        enum axis axis;
        double target_x;
    } legs[TIGHTEN_LEGS];
    int leg, leg_count;
    double lead_deg[TIGHTEN_AXES]; /* off the reference by so much, so far */

    /* without sensors: what trying has told so far */
    struct {
        int tries;
        enum axis axis, other;  /* tried first, and the one left; AXIS_NONE = none */
        double loss_db, widths; /* at first, and how far it was tried off */
    } blind;
};

#endif
