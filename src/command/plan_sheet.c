#include "command/plan_sheet.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "radio/beam.h"
#include "sky/angle.h"
#include "sky/utc.h"

/*
 * A satellite moves about its slot by a tenth of a degree (common practice, no source): above this
 * elevation that alone turns the azimuth by seven degrees or more.
 */
static const double overhead_deg = 89.0;

static bool is_named(const struct job *job)
{
    return strcmp(job->target.satellite.name, JOB_UNNAMED_TARGET) != 0;
}

/* --- numbers -------------------------------------------------------------------------------- */

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

static void add_beam(const struct job *job, struct plan_sheet *sheet)
{
    struct beam beam;

    sheet->azimuth_width_deg = sheet->elevation_width_deg = NAN;
    if (!job_beam(job, sheet->row.skew_deg, &beam)) {
        return;
    }
    sheet->elevation_width_deg = beam_elevation_width_deg(&beam);
    if (!sheet->overhead) {
        sheet->azimuth_width_deg = beam_azimuth_width_deg(&beam, sheet->row.elevation_apparent_deg);
    }
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
    sheet->model_from = magnetic->valid_from;
    sheet->model_to = magnetic->valid_to;
    text_copy(sheet->model_name, sizeof sheet->model_name, magnetic->name);
}

void plan_sheet_make(const struct job *job, const struct magnetic_model *magnetic, double unix_s,
                     struct plan_sheet *ret)
{
    double angles[AXIS_COUNT];

    *ret = (struct plan_sheet){.overhead = false};
    add_row(job, magnetic, unix_s, ret);
    ret->refraction_deg = ret->row.elevation_apparent_deg - ret->row.look.elevation_deg;
    ret->overhead = ret->row.look.elevation_deg >= overhead_deg;
    ret->arc_deg = arc_half_deg(&job->site.place);
    angles[AXIS_AZIMUTH] = ret->row.look.azimuth_deg;
    angles[AXIS_ELEVATION] = ret->row.elevation_apparent_deg;
    angles[AXIS_SKEW] = ret->row.skew_deg;
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        ret->scale_deg[axis] = job_scale_from_true(&job->mount.axes[axis], angles[axis]);
    }
    add_beam(job, ret);
}

/* --- text ----------------------------------------------------------------------------------- */

struct page {
    char *text;
    size_t size;
};

static void row(const struct page *page, const char *what, const char *value, const char *unit,
                const char *remark)
{
    text_append(page->text, page->size, "  %-18s%8s %s%s%s\n", what, value, unit,
                remark[0] ? "  " : "", remark);
}

/* As shown: never -0.00. */
static double hundredths(double deg)
{
    return round(deg * 100.0) / 100.0 + 0.0;
}

static void degrees_row(const struct page *page, const char *what, double deg, const char *remark)
{
    char value[32];

    snprintf(value, sizeof value, "%.2f", hundredths(deg));
    row(page, what, value, "deg", remark);
}

/* "22.40 E" */
static void half_text(char *text, size_t size, double deg, const char *letters)
{
    snprintf(text, size, "%.2f %c", fabs(deg), deg < 0.0 ? letters[1] : letters[0]);
}

/* The scale's value where it differs from the true one. */
static void scale_row(const struct page *page, const struct job *job,
                      const struct plan_sheet *sheet, enum axis axis)
{
    const struct job_axis *mount = &job->mount.axes[axis];

    if (isfinite(sheet->scale_deg[axis]) &&
        (mount->scale_zero_deg != 0.0 || mount->scale_sense != 1)) {
        degrees_row(page, "  on its scale", sheet->scale_deg[axis], "what the mount has to show");
    }
}

static void head_rows(const struct page *page, const struct job *job,
                      const struct plan_sheet *sheet)
{
    const struct look_site *site = &job->site.place;
    char slot[32];

    half_text(slot, sizeof slot, job->target.satellite.lon_deg, "EW");
    text_append(page->text, page->size, "Pointing sheet%s%s\n\n", job->site.name[0] ? ": " : "",
                job->site.name);
    text_append(page->text, page->size, "  site        %.5f %c, %.5f %c\n", fabs(site->lat_deg),
                site->lat_deg < 0.0 ? 'S' : 'N', fabs(site->lon_deg),
                site->lon_deg < 0.0 ? 'W' : 'E');
    text_append(page->text, page->size, "              %.0f m above the ellipsoid\n",
                site->height_m);
    text_append(page->text, page->size, "  satellite   %s, polarisation %s\n", slot,
                polarisation_name(job->target.polarisation));
    if (is_named(job)) {
        text_append(page->text, page->size, "              %s\n", job->target.satellite.name);
    }
    text_append(page->text, page->size, "  date        %s\n\n", sheet->date);
}

static void below_text(const struct page *page, const struct job *job,
                       const struct plan_sheet *sheet)
{
    double deep = -sheet->row.elevation_apparent_deg;
    char below[32], west[32], east[32];

    snprintf(below, sizeof below, deep < 0.05 ? "less than 0.1" : "%.1f", deep);
    text_append(page->text, page->size,
                "The satellite stands %s deg below the horizon, at azimuth %.1f deg:\n"
                "it can't be seen from this site.\n",
                below, sheet->row.look.azimuth_deg);
    if (isnan(sheet->arc_deg)) {
        text_append(page->text, page->size,
                    "No satellite of the geostationary arc can: the site is too near a pole.\n");
        return;
    }
    half_text(west, sizeof west, angle_turn_deg(0.0, job->site.place.lon_deg - sheet->arc_deg),
              "EW");
    half_text(east, sizeof east, angle_turn_deg(0.0, job->site.place.lon_deg + sheet->arc_deg),
              "EW");
    text_append(page->text, page->size,
                "Over a flat horizon the arc is in sight from %s eastward to %s.\n", west, east);
}

static void magnetic_rows(const struct page *page, const struct plan_sheet *sheet)
{
    char remark[80];

    if (!sheet->magnetic_known) {
        row(page, "  magnetic", "-", "", "not known for this date");
        return;
    }
    degrees_row(page, "  magnetic", angle_wrap_deg(hundredths(sheet->row.azimuth_magnetic_deg)),
                sheet->row.field.blackout ? "but no compass is of use here"
                : sheet->row.field.weak   ? "but a compass is not to be trusted here"
                                          : "by a compass, away from steel");
    if (sheet->row.field.in_date) {
        snprintf(remark, sizeof remark, "%s, sure to %.2f (1 sigma), %s",
                 sheet->row.field.declination_deg < 0.0 ? "west" : "east",
                 sheet->row.field.declination_error_deg, sheet->model_name);
    } else {
        snprintf(remark, sizeof remark, "%s, %s is out of date",
                 sheet->row.field.declination_deg < 0.0 ? "west" : "east", sheet->model_name);
    }
    degrees_row(page, "  declination", sheet->row.field.declination_deg, remark);
}

static void skew_rows(const struct page *page, const struct job *job,
                      const struct plan_sheet *sheet)
{
    bool v = job->target.polarisation == POLARISATION_V;
    const char *from = v ? "vertical" : "horizontal";
    char remark[80];

    if (isnan(sheet->row.skew_deg)) {
        row(page, "skew", "none", "   ", "circular polarisation");
        return;
    }
    if (fabs(sheet->row.skew_deg) < 0.005) {
        snprintf(remark, sizeof remark, "along the %s", from);
    } else {
        snprintf(remark, sizeof remark, "%s off the %s, from behind",
                 sheet->row.skew_deg < 0.0 ? "anticlockwise" : "clockwise", from);
    }
    degrees_row(page, "skew", sheet->row.skew_deg, remark);
    scale_row(page, job, sheet, AXIS_SKEW);
}

static void overhead_text(const struct page *page, const struct job *job)
{
    text_append(page->text, page->size,
                "\nThe satellite stands nearly straight up: azimuth and skew only count together,\n"
                "and its own daily motion turns both.");
    if (job->target.polarisation != POLARISATION_CIRCULAR && job->target.skew_offset_deg == 0.0) {
        text_append(page->text, page->size, " %s lies %s here.",
                    polarisation_name(job->target.polarisation),
                    job->target.polarisation == POLARISATION_V ? "north-south" : "east-west");
    }
    text_append(page->text, page->size, "\n");
}

void plan_sheet_text(const struct job *job, const struct plan_sheet *sheet, char *text, size_t size)
{
    const struct page page = {text, size};
    char remark[80];

    text[0] = '\0';
    head_rows(&page, job, sheet);
    if (!sheet->row.visible) {
        below_text(&page, job, sheet);
        return;
    }
    degrees_row(&page, "azimuth, true", angle_wrap_deg(hundredths(sheet->row.look.azimuth_deg)),
                "");
    magnetic_rows(&page, sheet);
    scale_row(&page, job, sheet, AXIS_AZIMUTH);
    snprintf(remark, sizeof remark, "to set; %.2f of it is bending by the air",
             sheet->refraction_deg);
    degrees_row(&page, "elevation", sheet->row.elevation_apparent_deg, remark);
    degrees_row(&page, "  geometric", sheet->row.look.elevation_deg, "");
    scale_row(&page, job, sheet, AXIS_ELEVATION);
    skew_rows(&page, job, sheet);
    snprintf(remark, sizeof remark, "%.0f", sheet->row.look.range_km);
    row(&page, "slant range", remark, "km", "");
    if (isfinite(sheet->azimuth_width_deg)) {
        degrees_row(&page, "beam in azimuth", sheet->azimuth_width_deg,
                    "half-power width, as the scale shows it");
    }
    if (isfinite(sheet->elevation_width_deg)) {
        degrees_row(&page, "beam in elevation", sheet->elevation_width_deg, "");
    }
    if (sheet->overhead) {
        overhead_text(&page, job);
    }
}

/* --- JSON ----------------------------------------------------------------------------------- */

static void put(json_t *object, const char *key, double value)
{
    json_object_set_new(object, key, isfinite(value) ? json_real(value) : json_null());
}

static void put_text(json_t *object, const char *key, const char *value)
{
    json_object_set_new(object, key, value[0] ? json_string(value) : json_null());
}

static void put_flag(json_t *object, const char *key, bool value)
{
    json_object_set_new(object, key, json_boolean(value));
}

static json_t *site_json(const struct job *job)
{
    json_t *object = json_object();

    put_text(object, "name", job->site.name);
    put(object, "lat_deg", job->site.place.lat_deg);
    put(object, "lon_deg", job->site.place.lon_deg);
    put(object, "height_m", job->site.place.height_m);
    return object;
}

static json_t *target_json(const struct job *job)
{
    json_t *object = json_object();

    put_text(object, "name", is_named(job) ? job->target.satellite.name : "");
    put(object, "lon_deg", job->target.satellite.lon_deg);
    put(object, "skew_offset_deg", job->target.skew_offset_deg);
    return object;
}

static json_t *scale_json(const struct plan_sheet *sheet)
{
    json_t *object = json_object();

    put(object, "azimuth_deg", sheet->scale_deg[AXIS_AZIMUTH]);
    put(object, "elevation_deg", sheet->scale_deg[AXIS_ELEVATION]);
    put(object, "skew_deg", sheet->scale_deg[AXIS_SKEW]);
    return object;
}

static void put_magnetic(json_t *object, const struct plan_sheet *sheet)
{
    const struct magnetic_field *field = &sheet->row.field;

    put(object, "declination_deg", field->declination_deg);
    put(object, "declination_error_deg", field->declination_error_deg);
    put_text(object, "magnetic_model", sheet->model_name);
    put_flag(object, "magnetic_in_date", field->in_date);
    put_text(object, "magnetic_zone", plan_row_zone(field));
}

json_t *plan_sheet_json(const struct job *job, const struct plan_sheet *sheet)
{
    json_t *object = json_object();
    double lon = job->site.place.lon_deg;

    json_object_set_new(object, "site", site_json(job));
    json_object_set_new(object, "target", target_json(job));
    put_text(object, "polarisation", polarisation_name(job->target.polarisation));
    put_text(object, "date", sheet->date);
    put_flag(object, "visible", sheet->row.visible);
    put_flag(object, "overhead", sheet->overhead);
    put(object, "azimuth_deg", sheet->row.look.azimuth_deg);
    put(object, "azimuth_magnetic_deg", sheet->row.azimuth_magnetic_deg);
    put_magnetic(object, sheet);
    put(object, "elevation_deg", sheet->row.look.elevation_deg);
    put(object, "elevation_apparent_deg", sheet->row.elevation_apparent_deg);
    put(object, "skew_deg", sheet->row.skew_deg);
    put(object, "range_km", sheet->row.look.range_km);
    json_object_set_new(object, "scale", scale_json(sheet));
    put(object, "beam_azimuth_deg", sheet->azimuth_width_deg);
    put(object, "beam_elevation_deg", sheet->elevation_width_deg);
    put(object, "arc_west_deg", angle_turn_deg(0.0, lon - sheet->arc_deg));
    put(object, "arc_east_deg", angle_turn_deg(0.0, lon + sheet->arc_deg));
    return object;
}
