/*
 * technician_inside.h - inside the technician: what its two files share, the hands and the mouth.
 * Pure but for the technician's own luck.
 */
#ifndef SIM_TECHNICIAN_INSIDE_H
#define SIM_TECHNICIAN_INSIDE_H

#include "sim/technician.h"

/* Of a bolt's turn, told by eye. */
extern const double technician_finest_turn;

/* How the mount is built. */
const struct scenario_axis *technician_built(const struct world *world, enum world_axis axis);

/* A word of the operator's. */
struct record technician_say_step(double t, enum record_step_event event);

/* Does what is offered. True: and says so; one who is told that nothing here will help gives up. */
bool technician_answer(struct technician *technician, const struct world *world,
                       struct record *ret);

/* What was turned: by the scale where it shows it, else by the count of turns. An axis without a
 * bolt to count, on which the scale shows the same as before, is as good as it gets. */
struct record technician_tell(struct technician *technician, const struct world *world);

#endif
