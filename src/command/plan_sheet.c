#include "command/plan_sheet.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "sky/angle.h"
#include "sky/utc.h"

static double apparent_deg(const struct look_site *site, double sat_lon_deg)
{
    double e = look_at_geostationary(&look_earth_wgs84, site, sat_lon_deg).elevation_deg;

    return e + look_refraction_deg(e, site->height_m);
}

/* How far east or west of the site the arc sinks below the horizon, by halving. */
static double arc_half_deg(const struct look_site *site)
{
    double in = 0.0, out = 180.0;

    if (!(apparent_deg(site, site->lon_deg) >= 0.0)) {
        return NAN;
    }
    for (int i = 0; i < 40; i++) {
        double middle = 0.5 * (in + out);
        if (apparent_deg(site, site->lon_deg + middle) >= 0.0) {
            in = middle;
        } else {
            out = middle;
        }
    }
    return in;
}

static void add_row(const struct job *job, const struct magnetic_model *magnetic, double unix_s,
                    struct plan_sheet *sheet)
{
    const struct plan_row_given given = {.site = job->site.place,
                                         .target_lon_deg = job->target.satellite.lon_deg,
                                         .polarisation = job->target.polarisation,
                                         .skew_offset_deg = job->target.skew_offset_deg};
    double year = utc_decimal_year(unix_s);
    struct magnetic_moment moment;

    magnetic_moment_make(magnetic, year, &moment);
    sheet->magnetic_known = plan_row_magnetic_known(magnetic, year);
    plan_row_make(&given, &moment, sheet->magnetic_known, &sheet->row);
    if (!sheet->row.field.in_date) {
        sheet->row.field.declination_error_deg = NAN; /* its error model is of its own years */
    }
    utc_format(unix_s, -2, sheet->date);
    utc_format(unix_s, -1, sheet->time);
    sheet->model_from = magnetic->valid_from;
    sheet->model_to = magnetic->valid_to;
    text_copy(sheet->model_name, sizeof sheet->model_name, magnetic->name);
}

static void add_parts(struct plan_sheet *sheet)
{
    const struct plan_aim *aim = &sheet->aim;
    double spare_db;

    plan_beam_make(aim, &sheet->beam);
    plan_arc_make(aim, &sheet->arc);
    plan_skyline_make(aim, &sheet->skyline);
    plan_sway_make(aim, &sheet->sway);
    plan_link_make(aim, &sheet->link);
    plan_exposure_make(aim, &sheet->exposure);
    spare_db = sheet->link.clear.best ? sheet->link.clear.spare_db : NAN;
    plan_sun_make(aim, spare_db, &sheet->sun);
    plan_picture_make(aim, &sheet->sun, &sheet->picture);
}

void plan_sheet_make(const struct job *job, const struct magnetic_model *magnetic,
                     const struct plan_files *files, double unix_s, struct plan_sheet *ret)
{
    double angles[AXIS_COUNT];

    memset(ret, 0, sizeof *ret);
    add_row(job, magnetic, unix_s, ret);
    ret->refraction_deg = ret->row.elevation_apparent_deg - ret->row.look.elevation_deg;
    ret->overhead = ret->row.look.elevation_deg >= PLAN_AIM_OVERHEAD_DEG;
    ret->arc_deg = arc_half_deg(&job->site.place);
    angles[AXIS_AZIMUTH] = ret->row.look.azimuth_deg;
    angles[AXIS_ELEVATION] = ret->row.elevation_apparent_deg;
    angles[AXIS_SKEW] = ret->row.skew_deg;
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        ret->scale_deg[axis] = job_scale_from_true(&job->mount.axes[axis], angles[axis]);
    }
    ret->aim = plan_aim_make(job, &ret->row, files, unix_s);
    add_parts(ret);
}
