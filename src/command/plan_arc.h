/* plan_arc.h - the sheet's part about the neighbours along the arc. Pure. */
#ifndef COMMAND_PLAN_ARC_H
#define COMMAND_PLAN_ARC_H

#include "command/plan_aim.h"
#include "command/plan_page.h"
#include "sky/arc.h"

/* Neighbours further away in longitude than this are left out. */
#define PLAN_ARC_WITHIN_DEG 10.0

struct plan_arc_neighbour {
    struct arc_neighbour seen;
    double skew_deg;   /* of the wanted polarisation against the target's */
    double weaker_db;  /* received at least this much weaker, for its place; NaN = not known */
    double aligned_db; /* the same, were the antenna's width turned to lie along the arc */
    double antenna_dbi, mask_dbi; /* the antenna's gain there, and what the mask allows; NaN */
    const char *mask;             /* "ITU-R S.580" where it holds, else "ITU-R S.465" */
};

struct plan_arc {
    size_t count;
    struct plan_arc_neighbour neighbours[JOB_NEIGHBOURS]; /* from left to right */
    struct arc_sweep from_left, from_right;
};

void plan_arc_make(const struct plan_aim *aim, struct plan_arc *ret);
void plan_arc_text(const struct plan_aim *aim, const struct plan_arc *arc,
                   const struct plan_page *page);

/* A new reference; null without neighbours. */
json_t *plan_arc_json(const struct plan_aim *aim, const struct plan_arc *arc);

#endif
