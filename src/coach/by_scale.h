/*
 * by_scale.h - an axis whose angle only a printed scale tells: it is set to a number. Pure.
 *
 * What a scale shows is read to the nearest line or half of one, but set between the lines finer
 * than that. So the number asked for says better where the axis stands than the number that comes
 * back, which is there to notice a slip.
 */
#ifndef COACH_BY_SCALE_H
#define COACH_BY_SCALE_H

#include <stdbool.h>

#include "session/state.h"

struct by_scale {
    enum axis axis;
    double deg; /* true angle to set */
    int looks;  /* numbers said so far */
    bool is_set;
    double stands; /* true angle where it is set; NaN = not yet */
};

/* A scale, and no bolt whose turns could be counted instead. */
bool by_scale_applies(const struct state *state, enum axis axis);

/* Begin. deg is a true angle. */
void by_scale_start(struct by_scale *set, enum axis axis, double deg);

/* A record came (state has it): true once it is set. `done` is the operator's word for it. */
bool by_scale_update(struct by_scale *set, const struct state *state, const struct record *record);

/* travel_position(), but where the scale says no more than that it stands where it was set: there.
 */
double by_scale_position(const struct by_scale *set, const struct state *state, enum axis axis);

/* "Set the skew closely to -12.1 deg on the scale, ...". */
void by_scale_advise(const struct by_scale *set, const struct state *state, struct advice *advice);

#endif
