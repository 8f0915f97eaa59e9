/* plan_aim.h - what the pointing sheet's parts share: where to look, with what antenna, when. Pure.
 */
#ifndef COMMAND_PLAN_AIM_H
#define COMMAND_PLAN_AIM_H

#include <stdbool.h>

#include "command/plan_row.h"
#include "job/job.h"
#include "radio/radiation.h"
#include "sky/elements.h"

/*
 * A satellite moves about its slot by a tenth of a degree (common practice, no source): above this
 * elevation that alone turns the azimuth by seven degrees or more, and azimuth says little.
 */
#define PLAN_AIM_OVERHEAD_DEG 89.0

/* What the job's files say. */
struct plan_files {
    bool has_width_cut, has_height_cut, has_elements;
    struct radiation_cut width_cut, height_cut;
    struct elements elements;
};

struct plan_aim {
    const struct job *job;          /* borrowed */
    const struct plan_row *row;     /* borrowed */
    const struct plan_files *files; /* borrowed; NULL = none */
    double unix_s;
    bool has_beam;
    struct radiation radiation; /* when there is a beam */
    double turn_deg;            /* of the antenna about its boresight; 0 = upright */
};

/* The antenna as it will stand. The row and the files have to live as long. */
struct plan_aim plan_aim_make(const struct job *job, const struct plan_row *row,
                              const struct plan_files *files, double unix_s);

/* Degrees on the azimuth scale for an angle across the line of sight; NaN straight up. */
double plan_aim_on_scale(const struct plan_aim *aim, double cross_elevation_deg);

/* Half the beam's half-power width across and along the vertical; NaN = not known. */
double plan_aim_half_width_deg(const struct plan_aim *aim);
double plan_aim_half_height_deg(const struct plan_aim *aim);

/* Where a direction lies off the boresight: cross-elevation and elevation. Geometric angles. */
void plan_aim_offset(const struct plan_aim *aim, double azimuth_deg, double elevation_deg,
                     double *ret_right_deg, double *ret_up_deg);

/* Area of the aperture in m2; NaN = not known. */
double plan_aim_area_m2(const struct job *job);

/* Figures of the station, from what is given; NaN = not known. */
double plan_aim_gt_dbk(const struct job *job);
double plan_aim_noise_k(const struct job *job);

#endif
