/* plan_sway.h - the sheet's part about the satellite's own motion over the day. Pure. */
#ifndef COMMAND_PLAN_SWAY_H
#define COMMAND_PLAN_SWAY_H

#include "command/plan_aim.h"
#include "command/plan_page.h"
#include "sky/figure_eight.h"

struct plan_sway {
    bool known;                        /* inclination, box or elements are given */
    const char *by;                    /* what it was computed with, in words */
    struct figure_eight_spread spread; /* over the 24 hours from the time asked for */
    double azimuth_scale_deg;          /* half the way in azimuth, as the scale shows it */
    double loss_db; /* when the antenna stands on the middle and the satellite furthest away; NaN */
    double lon_deg; /* by the elements, at the time asked for: where it stands; NaN = no elements */
    double lat_deg;
    struct look look; /* of that place, when there are elements */
};

void plan_sway_make(const struct plan_aim *aim, struct plan_sway *ret);
void plan_sway_text(const struct plan_aim *aim, const struct plan_sway *sway,
                    const struct plan_page *page);

/* A new reference; null when not known. */
json_t *plan_sway_json(const struct plan_sway *sway);

#endif
