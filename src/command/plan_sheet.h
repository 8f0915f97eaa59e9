/* plan_sheet.h - the pointing sheet of one site as numbers, as text and as JSON. Pure. */
#ifndef COMMAND_PLAN_SHEET_H
#define COMMAND_PLAN_SHEET_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

#include "command/plan_aim.h"
#include "command/plan_arc.h"
#include "command/plan_beam.h"
#include "command/plan_exposure.h"
#include "command/plan_link.h"
#include "command/plan_picture.h"
#include "command/plan_row.h"
#include "command/plan_skyline.h"
#include "command/plan_sun.h"
#include "command/plan_sway.h"
#include "job/job.h"
#include "sky/magnetic.h"
#include "sky/utc.h"

enum { PLAN_SHEET_SIZE = 16384 };

struct plan_sheet {
    struct plan_row row;
    double refraction_deg;
    bool overhead;  /* so high that azimuth and skew only count together */
    double arc_deg; /* the arc is in sight this far east and west of the site; NaN = nowhere */

    bool magnetic_known;      /* not so far out of the model's years that its numbers are fiction */
    char time[UTC_TEXT_SIZE]; /* "2026-11-25T09:30Z" */
    char date[UTC_TEXT_SIZE]; /* "2026-11-25" */
    char model_name[24];
    double model_from, model_to; /* decimal years */

    double scale_deg[AXIS_COUNT]; /* what the mount shows; NaN as the angle */

    struct plan_aim aim; /* of this sheet: its row is meant, so a sheet is not copied */
    struct plan_beam beam;
    struct plan_arc arc;
    struct plan_skyline skyline;
    struct plan_sun sun;
    struct plan_sway sway;
    struct plan_link link;
    struct plan_exposure exposure;
    struct plan_picture picture;
};

/*
 *   job      site and target are given; borrowed, like the files, for as long as the sheet is used
 *   files    what the files that the job names say; NULL = there are none
 *   unix_s   the time that the sheet is for, UTC, within the years 1 to 9998
 */
void plan_sheet_make(const struct job *job, const struct magnetic_model *magnetic,
                     const struct plan_files *files, double unix_s, struct plan_sheet *ret);

/* Lines for 80 columns. */
void plan_sheet_text(const struct job *job, const struct plan_sheet *sheet, char *text,
                     size_t size);

/* A new reference. Keys: peakward(1). What is not known is null. */
json_t *plan_sheet_json(const struct job *job, const struct plan_sheet *sheet);

#endif
