/*
 * sim.h - a simulated mount as a source, made of a world at hand: `sim:` addresses name one to be
 * read from a file instead.
 */
#ifndef SOURCE_SIM_H
#define SOURCE_SIM_H

#include "sim/technician.h"
#include "sim/world.h"
#include "source/source.h"

/*
 *   world    owned from then on; closing the source destroys it
 *   hand     whose hands are on the bolts; NULL = the operator's words turn them
 *   returns  0 and what the functions of source_sim take; -ENOMEM, the world is still the caller's
 */
int sim_attach(struct world *world, const struct source_setup *setup,
               const enum technician_model *hand, uint64_t seed, void **ret_self);

/* The world of an open source_sim, to tell how the mount really stands. Borrowed. */
const struct world *sim_world(const void *self);

#endif
