#include "command/plan_aim.h"

#include <math.h>

#include "sky/angle.h"
#include "sky/sun_outage.h"

static const double pi = 3.14159265358979323846;

/* Its height along the width's rule: a dish measured once, or without a height, is round. */
static double other_width(double width, double height)
{
    return isfinite(height) ? height : width;
}

struct plan_aim plan_aim_make(const struct job *job, const struct plan_row *row,
                              const struct plan_files *files, double unix_s)
{
    struct plan_aim aim = {.job = job, .row = row, .files = files, .unix_s = unix_s};
    const struct radiation_cut *across = files && files->has_width_cut ? &files->width_cut : NULL;
    const struct radiation_cut *along = files && files->has_height_cut ? &files->height_cut : NULL;
    bool panel = job->antenna.kind == JOB_PANEL;
    double width = across ? radiation_cut_width_deg(across) : job_beam_width_deg(job);
    double height = along ? radiation_cut_width_deg(along) : job_beam_height_deg(job);

    if (!panel && across && !along) {
        height = isfinite(job->antenna.height_m) ? other_width(width, height) : width;
    }
    if (job->mount.skew_by == JOB_SKEW_PANEL && isfinite(row->skew_deg)) {
        aim.turn_deg = row->skew_deg;
    }
    aim.has_beam = isfinite(width) && isfinite(height);
    if (aim.has_beam) {
        aim.radiation = radiation_make(panel ? RADIATION_PANEL : RADIATION_DISH, width, height,
                                       aim.turn_deg, job->antenna.rim_db, across, along);
    }
    return aim;
}

double plan_aim_on_scale(const struct plan_aim *aim, double cross_elevation_deg)
{
    double elevation = aim->row->elevation_apparent_deg;

    return elevation < PLAN_AIM_OVERHEAD_DEG
               ? cross_elevation_deg / cos(elevation * ANGLE_RAD_PER_DEG)
               : NAN;
}

double plan_aim_half_width_deg(const struct plan_aim *aim)
{
    return aim->has_beam ? 0.5 * radiation_width_deg(&aim->radiation, 90.0) : NAN;
}

double plan_aim_half_height_deg(const struct plan_aim *aim)
{
    return aim->has_beam ? 0.5 * radiation_width_deg(&aim->radiation, 0.0) : NAN;
}

/* The angle between the two lines of sight, laid off in the direction of the other one. */
void plan_aim_offset(const struct plan_aim *aim, double azimuth_deg, double elevation_deg,
                     double *ret_right_deg, double *ret_up_deg)
{
    double turn = (azimuth_deg - aim->row->look.azimuth_deg) * ANGLE_RAD_PER_DEG;
    double from = aim->row->look.elevation_deg * ANGLE_RAD_PER_DEG;
    double to = elevation_deg * ANGLE_RAD_PER_DEG;
    double right = cos(to) * sin(turn);
    double up = sin(to) * cos(from) - cos(to) * cos(turn) * sin(from);
    double ahead = sin(to) * sin(from) + cos(to) * cos(turn) * cos(from);
    double across = hypot(right, up), angle = atan2(across, ahead) / ANGLE_RAD_PER_DEG;

    *ret_right_deg = across > 0.0 ? angle * right / across : 0.0;
    *ret_up_deg = across > 0.0 ? angle * up / across : 0.0;
}

double plan_aim_area_m2(const struct job *job)
{
    double width = job->antenna.width_m, height = job->antenna.height_m;

    return job->antenna.kind == JOB_PANEL ? width * height
                                          : pi / 4.0 * width * other_width(width, height);
}

double plan_aim_gt_dbk(const struct job *job)
{
    return isfinite(job->link.gt_dbk) ? job->link.gt_dbk
                                      : job->antenna.gain_dbi - 10.0 * log10(job->link.noise_k);
}

double plan_aim_noise_k(const struct job *job)
{
    return isfinite(job->link.noise_k) ? job->link.noise_k
                                       : sun_noise_k(job->antenna.gain_dbi, job->link.gt_dbk);
}
