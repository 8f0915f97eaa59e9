/*
 * travel.h - from here to there on one axis, whatever tells the angle: a sensor, the mount's scale
 * or the count of nudges. Pure.
 */
#ifndef COACH_TRAVEL_H
#define COACH_TRAVEL_H

#include <stdbool.h>

#include "session/state.h"

enum { TRAVEL_RECENT = 32 };

/* What a hand made of the last turn that was asked of it. */
enum travel_slip { TRAVEL_FINE, TRAVEL_WRONG_WAY, TRAVEL_TOO_FAR };

/* The axis that is to stay where it is: a hand may be on its bolt, as its sensor shows or as is
 * told.
 */
struct travel_other {
    enum axis axis; /* AXIS_NONE = not watched */
    bool sensed;    /* by a sensor; else by what the operator says was turned */
    double x;       /* where it stands: mean of the readings so far */
    int count;      /* of these */
    double squares; /* mean square off that: wind sways it */
    int off;        /* newest readings in a row that are far from it */
    bool astray;    /* it has been moved, and is not back yet */
};

struct travel {
    enum axis axis;
    double target_x;  /* axis coordinate to reach, see travel_position() */
    double tolerance; /* degrees that are near enough */
    bool counted;     /* by the bolt's turns, though there is a scale: they are finer */
    bool held;        /* sensor: told to hold, until it is seen to stand elsewhere */
    bool arrived;
    double begun_x; /* where it began */
    enum travel_slip slip;
    double turn_x; /* where the turn at hand began; on the wrong way: how far that has come */
    double recent_t[TRAVEL_RECENT], recent_x[TRAVEL_RECENT]; /* sensor: newest readings, a ring */
    int recent_count;
};

/*
 * Where an axis stands, as one continuous coordinate in degrees: the true angle where a sensor or
 * the scale gives one (plus nudges keyed since), else the sum of nudges. Azimuth is unwrapped
 * around the target so that it runs through north without a jump. NaN = a sensor's axis without a
 * reading.
 */
double travel_position(const struct state *state, enum axis axis);

/* The same coordinate for a true angle; NaN on an axis that only counts nudges. */
double travel_from_angle(const struct state *state, enum axis axis, double deg);

/* Begin to move an axis to a coordinate. tolerance is raised to what the axis can show. */
void travel_start(struct travel *travel, const struct state *state, enum axis axis, double target_x,
                  double tolerance);

/* Just begun: where a sensor shows it near already, no hand is to turn it by a hair before it is
 * seen to stand. */
void travel_hold_if_near(struct travel *travel, const struct state *state);

/* From here on by the count of the bolt's turns where the axis has a scale and its bolt is known.
 */
void travel_count_turns(struct travel *travel, const struct state *state, double tolerance);

/* A record came: true once the axis has arrived (and, by a sensor, stands still there). */
bool travel_update(struct travel *travel, const struct state *state, const struct record *record);

/* Begin to watch the other pointing axis while `axis` is worked on. */
void travel_other_start(struct travel_other *other, const struct state *state, enum axis axis);

/* A record came. True while the other axis is away from where it was. */
bool travel_other_update(struct travel_other *other, const struct state *state,
                         const struct record *record);

/* The advice that brings it back. */
void travel_other_advise(const struct travel_other *other, const struct state *state,
                         struct advice *advice);

/* The hand is too fast for the meter to follow: true, and the advice says so. */
bool travel_say_slower(const struct travel *travel, const struct state *state, double rate_deg_s,
                       struct advice *advice);

/* The advice that brings it there. `tail` goes before the sentence's full stop. */
void travel_advise(const struct travel *travel, const struct state *state, const char *tail,
                   struct advice *advice);

#endif
