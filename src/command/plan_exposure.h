/* plan_exposure.h - the sheet's caution about the field in front of a transmitting antenna. Pure.
 */
#ifndef COMMAND_PLAN_EXPOSURE_H
#define COMMAND_PLAN_EXPOSURE_H

#include "command/plan_aim.h"
#include "command/plan_page.h"

struct plan_exposure {
    bool known; /* power, frequency and the antenna's size are */
    double surface_w_m2;
    double public_m, worker_m; /* from here on the limit is met; NaN = none looked up */
    double near_end_m, far_begin_m;
};

void plan_exposure_make(const struct plan_aim *aim, struct plan_exposure *ret);
void plan_exposure_text(const struct plan_aim *aim, const struct plan_exposure *exposure,
                        const struct plan_page *page);

/* A new reference; null when not known. */
json_t *plan_exposure_json(const struct plan_exposure *exposure);

#endif
