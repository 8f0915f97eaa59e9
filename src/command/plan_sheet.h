/* plan_sheet.h - the pointing sheet of one site as numbers, as text and as JSON. Pure. */
#ifndef COMMAND_PLAN_SHEET_H
#define COMMAND_PLAN_SHEET_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

#include "command/plan_row.h"
#include "job/job.h"
#include "sky/magnetic.h"
#include "sky/utc.h"

enum { PLAN_SHEET_SIZE = 4096 };

struct plan_sheet {
    struct plan_row row;
    double refraction_deg;
    bool overhead;  /* so high that azimuth and skew only count together */
    double arc_deg; /* the arc is in sight this far east and west of the site; NaN = nowhere */

    bool magnetic_known;      /* not so far out of the model's years that its numbers are fiction */
    char date[UTC_TEXT_SIZE]; /* "2026-11-25" */
    char model_name[24];
    double model_from, model_to; /* decimal years */

    double scale_deg[AXIS_COUNT];                  /* what the mount shows; NaN as the angle */
    double azimuth_width_deg, elevation_width_deg; /* half-power, on the scales; NaN = not known */
};

/*
 *   job      site and target are given
 *   unix_s   the day that the declination is for, UTC, within the years 1 to 9999
 */
void plan_sheet_make(const struct job *job, const struct magnetic_model *magnetic, double unix_s,
                     struct plan_sheet *ret);

/* Lines for 80 columns. */
void plan_sheet_text(const struct job *job, const struct plan_sheet *sheet, char *text,
                     size_t size);

/* A new reference. Keys: peakward(1). What is not known is null. */
json_t *plan_sheet_json(const struct job *job, const struct plan_sheet *sheet);

#endif
