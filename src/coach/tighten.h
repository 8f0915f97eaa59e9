/*
 * tighten.h - fasten the bolts and keep the level: working memory of the step. Pure.
 *
 * A mount gives when its bolts are fastened, and gives again, about as much, when they are eased
 * and fastened anew. So what was lost is not peaked away but allowed for: the axis is set off the
 * top by as much as it will come back. Which way it stands off is told by its sensor; without one
 * by pushing and pulling it.
 */
#ifndef COACH_TIGHTEN_H
#define COACH_TIGHTEN_H

#include <stdbool.h>

#include "coach/dwell.h"
#include "peaking/change.h"
#include "peaking/rock.h"

enum { TIGHTEN_AXES = 2, TIGHTEN_LEGS = 2 * TIGHTEN_AXES, TIGHTEN_ROUNDS = 4, ROCK_READINGS = 7 };

enum tighten_phase {
    TIGHTEN_REFERENCE, /* read the level before the first bolt */
    TIGHTEN_WATCH,     /* while bolts are turned */
    TIGHTEN_CHECK,     /* read the level after the last one */
    TIGHTEN_ROCK,      /* pushed and pulled: where it stands without a sensor */
    TIGHTEN_EASE,      /* eased again: set off by what was lost */
};

/* Where the sensors had an axis while the level was read. */
struct tighten_angle {
    double first, sum, squares; /* sums of what the others are beyond the first */
    int count;
};

/* Pushing and pulling, see tighten_rock.h. */
struct tighten_rock {
    bool wanted[TIGHTEN_AXES];         /* in this round, and not yet done */
    bool known[TIGHTEN_AXES];          /* was done, in this round or before */
    struct rock_fit fit[TIGHTEN_AXES]; /* where it stands */
    int found_round[TIGHTEN_AXES];     /* in which it last was; 0 = never */
    double found_deg[TIGHTEN_AXES];    /* and where it stood then, from the top */
    double found_error_deg[TIGHTEN_AXES];
    double moved_widths[TIGHTEN_AXES]; /* turned by so much since, of which no reading tells */
    enum axis axis;                    /* at hand; AXIS_NONE = none */
    bool there;                        /* the operator stands at its edge */
    int way;                           /* of the push at hand */
    bool harder;                       /* than firmly, which showed too little */
    struct rock_reading readings[ROCK_READINGS];
    size_t count;
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

    struct tighten_rock rock; /* axes without a sensor */
    double rested;            /* level after the round before; NaN = this is the first */
};

#endif
