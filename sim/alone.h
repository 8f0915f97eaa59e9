/*
 * alone.h - a technician without a coach, to compare with: sets the angles of the pointing sheet,
 * sweeps until the meter rises and the lamp is lit, and brings each axis back to the highest number
 * seen. The same world, hands, bolts, eyes and meter as the coached one has; simulated time only.
 *
 *   1. elevation, skew and azimuth are set from the sheet by what the kit has to read them by;
 *   2. azimuth is turned slowly either way, then again with the elevation one step higher, lower,
 * ... until the level rises; there the receiver gets time to lock. Where it names a carrier that is
 *      not the target's the sweep goes on; else that is taken for the target;
 *   3. azimuth and elevation by turns, twice: past the top on both sides, remembering the highest
 *      reading, then back until the meter shows it again but for its last digits;
 *   4. the bolts one after the other; where the level has fallen that axis is brought back once
 * more.
 *
 * Common practice, no source.
 */
#ifndef SIM_ALONE_H
#define SIM_ALONE_H

#include "sim/technician.h"

struct alone_sheet {
    double
        scale_zero_deg[WORLD_AXES]; /* what is believed of the scales; see struct scenario_axis */
    double span_deg;                /* of azimuth, searched each way */
};

struct alone_result {
    bool finished; /* all bolts are tight; else nothing was found */
    double took_s;
};

/*
 * Do all of it in a world that has just been made.
 *
 *   seed     as technician_init() takes it
 *   limit_s  the day is over
 */
void alone_install(struct world *world, enum technician_model model, uint64_t seed,
                   const struct alone_sheet *sheet, double limit_s, struct alone_result *ret);

#endif
