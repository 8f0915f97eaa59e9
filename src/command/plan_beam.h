/* plan_beam.h - the sheet's part about the beam: widths, side lobes, what an error costs. Pure. */
#ifndef COMMAND_PLAN_BEAM_H
#define COMMAND_PLAN_BEAM_H

#include "command/plan_aim.h"
#include "command/plan_page.h"

enum { PLAN_BEAM_LOSSES = 4 };

/* The losses whose errors are named, in dB. */
extern const double plan_beam_losses_db[PLAN_BEAM_LOSSES];

/* One axis; degrees on its scale. NaN = not known. */
struct plan_beam_axis {
    double width_deg;
    double error_deg[PLAN_BEAM_LOSSES];
    double lobe_deg, lobe_db; /* the first side lobe's place and level */
    double width_turns;       /* half-power width in turns of the axis's bolt */
};

struct plan_beam {
    bool known;
    struct plan_beam_axis azimuth, elevation;
};

void plan_beam_make(const struct plan_aim *aim, struct plan_beam *ret);
void plan_beam_text(const struct plan_aim *aim, const struct plan_beam *beam,
                    const struct plan_page *page);

/* A new reference; null when the beam is not known. */
json_t *plan_beam_json(const struct plan_beam *beam);

#endif
