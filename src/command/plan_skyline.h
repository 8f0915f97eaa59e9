/* plan_skyline.h - the sheet's part about what stands in the way. Pure. */
#ifndef COMMAND_PLAN_SKYLINE_H
#define COMMAND_PLAN_SKYLINE_H

#include "command/plan_aim.h"
#include "command/plan_page.h"
#include "sky/skyline.h"

enum { PLAN_SKYLINE_ROOMS = 4, PLAN_SKYLINE_SPANS = 8 };

/* The distances that the room is named for, in metres. */
extern const double plan_skyline_distances_m[PLAN_SKYLINE_ROOMS];

struct plan_skyline {
    bool known; /* there is a skyline */
    struct skyline_clearance clearance;
    /* how high above the antenna something may stand there, below the beam; NaN = not known */
    double room_m[PLAN_SKYLINE_ROOMS];
    size_t span_count; /* of a sweep at the target's elevation, 45 degrees to both sides */
    struct skyline_span spans[PLAN_SKYLINE_SPANS];
};

void plan_skyline_make(const struct plan_aim *aim, struct plan_skyline *ret);
void plan_skyline_text(const struct plan_aim *aim, const struct plan_skyline *skyline,
                       const struct plan_page *page);

/* A new reference. */
json_t *plan_skyline_json(const struct plan_skyline *skyline);

#endif
