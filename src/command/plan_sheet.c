#include "command/plan_sheet.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "radio/beam.h"
#include "sky/angle.h"

static double wanted_skew(const struct job *job, const struct look *look)
{
    if (job->target.polarisation == POLARISATION_CIRCULAR) {
        return NAN;
    }
    return angle_wrap_axial_deg(
        (job->target.polarisation == POLARISATION_H ? look->skew_h_deg : look->skew_v_deg) +
        job->target.skew_offset_deg);
}

static void add_beam(const struct job *job, struct plan_sheet *sheet)
{
    double width = job_beam_width_deg(job), height = job_beam_height_deg(job);
    double turn = job->mount.skew_by == JOB_SKEW_PANEL && isfinite(sheet->skew_deg) ? sheet->skew_deg
                                                                                  : 0.0;
    struct beam beam;

    sheet->azimuth_width_deg = sheet->elevation_width_deg = NAN;
    if (isfinite(width) && isfinite(height)) {
        beam = beam_make(width, height, turn);
        sheet->azimuth_width_deg = beam_azimuth_width_deg(&beam, sheet->elevation_apparent_deg);
        sheet->elevation_width_deg = beam_elevation_width_deg(&beam);
    }
}

void plan_sheet_make(const struct job *job, const struct magnetic_model *magnetic, double year,
                     struct plan_sheet *ret)
{
    const struct look_site *site = &job->site.place;

    *ret = (struct plan_sheet){.year = year};
    ret->look = look_at_geostationary(&look_earth_wgs84, site, job->target.satellite.lon_deg);
    ret->refraction_deg = look_refraction_deg(ret->look.elevation_deg, site->height_m);
    ret->elevation_apparent_deg = ret->look.elevation_deg + ret->refraction_deg;
    ret->skew_deg = wanted_skew(job, &ret->look);
    ret->field = magnetic_at(magnetic, site->lat_deg, site->lon_deg, site->height_m, year);
    ret->azimuth_magnetic_deg =
        angle_wrap_deg(ret->look.azimuth_deg - ret->field.declination_deg);
    ret->visible = ret->elevation_apparent_deg >= 0.0;
    ret->model_from = magnetic->valid_from;
    ret->model_to = magnetic->valid_to;
    text_copy(ret->model_name, sizeof ret->model_name, magnetic->name);
    add_beam(job, ret);
}

/* --- text ----------------------------------------------------------------------------------- */

static void line(char *text, size_t size, const char *what, double value, const char *unit,
                 const char *remark)
{
    text_append(text, size, "  %-18s %10.2f %-4s%s%s\n", what, value, unit, remark[0] ? "  " : "",
                remark);
}

static void scale_line(const struct job *job, enum axis axis, double true_deg, char *text,
                       size_t size)
{
    const struct job_axis *mount = &job->mount.axes[axis];
    double scale = job_scale_from_true(mount, true_deg);

    if (isfinite(true_deg) && (mount->scale_zero_deg != 0.0 || mount->scale_sense != 1)) {
        char what[40];
        snprintf(what, sizeof what, "%s scale", axis_name(axis));
        line(text, size, what, scale, "deg", "what the mount must show");
    }
}

static void below_text(const struct job *job, const struct plan_sheet *sheet, char *text,
                       size_t size)
{
    text_append(text, size,
                "\n%s stands %.1f deg below the horizon: it can't be seen from this site.\n"
                "It would lie at azimuth %.1f deg.\n",
                job->target.satellite.name, -sheet->elevation_apparent_deg,
                sheet->look.azimuth_deg);
}

void plan_sheet_text(const struct job *job, const struct plan_sheet *sheet, char *text, size_t size)
{
    const struct look_site *site = &job->site.place;
    char remark[96];

    text[0] = '\0';
    text_append(text, size, "Pointing sheet%s%s\n", job->site.name[0] ? ": " : "", job->site.name);
    text_append(text, size, "  site   %.5f, %.5f, %.0f m above the ellipsoid\n", site->lat_deg,
                site->lon_deg, site->height_m);
    text_append(text, size, "  target %s at %.2f deg %s, polarisation %s\n",
                job->target.satellite.name, fabs(job->target.satellite.lon_deg),
                job->target.satellite.lon_deg < 0.0 ? "west" : "east",
                polarisation_name(job->target.polarisation));
    if (!sheet->visible) {
        below_text(job, sheet, text, size);
        return;
    }
    text_append(text, size, "\n");
    line(text, size, "azimuth true", sheet->look.azimuth_deg, "deg", "clockwise from true north");
    snprintf(remark, sizeof remark, "by a compass; declination %+.2f deg, sure to %.1f",
             sheet->field.declination_deg, sheet->field.declination_error_deg);
    line(text, size, "azimuth magnetic", sheet->azimuth_magnetic_deg, "deg", remark);
    scale_line(job, AXIS_AZIMUTH, sheet->look.azimuth_deg, text, size);
    snprintf(remark, sizeof remark, "with %.2f deg of bending by the air", sheet->refraction_deg);
    line(text, size, "elevation", sheet->elevation_apparent_deg, "deg", remark);
    line(text, size, "  geometric", sheet->look.elevation_deg, "deg", "");
    scale_line(job, AXIS_ELEVATION, sheet->elevation_apparent_deg, text, size);
    if (isfinite(sheet->skew_deg)) {
        line(text, size, "skew", sheet->skew_deg, "deg",
             "clockwise from behind, looking to the satellite");
        scale_line(job, AXIS_SKEW, sheet->skew_deg, text, size);
    } else {
        text_append(text, size, "  %-18s %10s\n", "skew", "none: circular polarisation");
    }
    line(text, size, "slant range", sheet->look.range_km, "km", "");
    if (isfinite(sheet->azimuth_width_deg)) {
        line(text, size, "beam on azimuth", sheet->azimuth_width_deg, "deg",
             "half-power width on the scale");
        line(text, size, "beam on elevation", sheet->elevation_width_deg, "deg", "");
    }
}

/* --- JSON ----------------------------------------------------------------------------------- */

static void put(json_t *object, const char *key, double value)
{
    json_object_set_new(object, key, isfinite(value) ? json_real(value) : json_null());
}

json_t *plan_sheet_json(const struct job *job, const struct plan_sheet *sheet)
{
    json_t *object = json_object();

    json_object_set_new(object, "site", json_string(job->site.name));
    put(object, "lat", job->site.place.lat_deg);
    put(object, "lon", job->site.place.lon_deg);
    put(object, "height_m", job->site.place.height_m);
    json_object_set_new(object, "target", json_string(job->target.satellite.name));
    put(object, "target_lon", job->target.satellite.lon_deg);
    json_object_set_new(object, "polarisation",
                        json_string(polarisation_name(job->target.polarisation)));
    json_object_set_new(object, "visible", json_boolean(sheet->visible));
    put(object, "azimuth_deg", sheet->look.azimuth_deg);
    put(object, "azimuth_magnetic_deg", sheet->azimuth_magnetic_deg);
    put(object, "declination_deg", sheet->field.declination_deg);
    put(object, "declination_error_deg", sheet->field.declination_error_deg);
    put(object, "elevation_deg", sheet->look.elevation_deg);
    put(object, "elevation_apparent_deg", sheet->elevation_apparent_deg);
    put(object, "skew_deg", sheet->skew_deg);
    put(object, "range_km", sheet->look.range_km);
    put(object, "azimuth_width_deg", sheet->azimuth_width_deg);
    put(object, "elevation_width_deg", sheet->elevation_width_deg);
    put(object, "year", sheet->year);
    json_object_set_new(object, "magnetic_model", json_string(sheet->model_name));
    json_object_set_new(object, "magnetic_model_in_date", json_boolean(sheet->field.in_date));
    return object;
}
