#include "command/plan_sheet.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "radio/beam.h"
#include "sky/angle.h"
#include "sky/utc.h"

/*
 * A satellite moves about its slot by a tenth of a degree (common practice, no source): above this
 * elevation that alone turns the azimuth by seven degrees or more.
 */
static const double overhead_deg = 89.0;

/* One model's span out of its years the declination has moved on by a degree: still a help beside a
 * compass. Any further and a number would be a guess. Our own choice. */
static const double stale_years = 5.0;

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
    if (!job_beam(job, sheet->skew_deg, &beam)) {
        return;
    }
    sheet->elevation_width_deg = beam_elevation_width_deg(&beam);
    if (!sheet->overhead) {
        sheet->azimuth_width_deg = beam_azimuth_width_deg(&beam, sheet->elevation_apparent_deg);
    }
}

static void add_magnetic(const struct job *job, const struct magnetic_model *magnetic,
                         double unix_s, struct plan_sheet *sheet)
{
    const struct look_site *site = &job->site.place;
    double year = utc_decimal_year(unix_s);
    time_t day = (time_t)unix_s;
    struct tm tm;

    strftime(sheet->date, sizeof sheet->date, "%Y-%m-%d", gmtime_r(&day, &tm));
    sheet->field = magnetic_at(magnetic, site->lat_deg, site->lon_deg, site->height_m, year);
    sheet->magnetic_known =
        year >= magnetic->valid_from - stale_years && year <= magnetic->valid_to + stale_years;
    sheet->model_from = magnetic->valid_from;
    sheet->model_to = magnetic->valid_to;
    text_copy(sheet->model_name, sizeof sheet->model_name, magnetic->name);
    if (!sheet->magnetic_known) {
        sheet->field.declination_deg = NAN;
    }
    if (!sheet->field.in_date) {
        sheet->field.declination_error_deg = NAN; /* the error model speaks of its own years */
    }
    sheet->azimuth_magnetic_deg =
        angle_wrap_deg(sheet->look.azimuth_deg - sheet->field.declination_deg);
}

void plan_sheet_make(const struct job *job, const struct magnetic_model *magnetic, double unix_s,
                     struct plan_sheet *ret)
{
    const struct look_site *site = &job->site.place;
    double angles[AXIS_COUNT];

    *ret = (struct plan_sheet){.visible = false};
    ret->look = look_at_geostationary(&look_earth_wgs84, site, job->target.satellite.lon_deg);
    ret->refraction_deg = look_refraction_deg(ret->look.elevation_deg, site->height_m);
    ret->elevation_apparent_deg = ret->look.elevation_deg + ret->refraction_deg;
    ret->skew_deg = job_skew_deg(job, &ret->look);
    ret->visible = ret->elevation_apparent_deg >= 0.0;
    ret->overhead = ret->look.elevation_deg >= overhead_deg;
    ret->arc_deg = arc_half_deg(site);
    add_magnetic(job, magnetic, unix_s, ret);
    angles[AXIS_AZIMUTH] = ret->look.azimuth_deg;
    angles[AXIS_ELEVATION] = ret->elevation_apparent_deg;
    angles[AXIS_SKEW] = ret->skew_deg;
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
    double deep = -sheet->elevation_apparent_deg;
    char below[32], west[32], east[32];

    snprintf(below, sizeof below, deep < 0.05 ? "less than 0.1" : "%.1f", deep);
    text_append(page->text, page->size,
                "The satellite stands %s deg below the horizon, at azimuth %.1f deg:\n"
                "it can't be seen from this site.\n",
                below, sheet->look.azimuth_deg);
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
    degrees_row(page, "  magnetic", angle_wrap_deg(hundredths(sheet->azimuth_magnetic_deg)),
                sheet->field.blackout ? "but no compass is of use here"
                : sheet->field.weak   ? "but a compass is not to be trusted here"
                                      : "by a compass, away from steel");
    if (sheet->field.in_date) {
        snprintf(remark, sizeof remark, "%s, sure to %.2f (1 sigma), %s",
                 sheet->field.declination_deg < 0.0 ? "west" : "east",
                 sheet->field.declination_error_deg, sheet->model_name);
    } else {
        snprintf(remark, sizeof remark, "%s, %s is out of date",
                 sheet->field.declination_deg < 0.0 ? "west" : "east", sheet->model_name);
    }
    degrees_row(page, "  declination", sheet->field.declination_deg, remark);
}

static void skew_rows(const struct page *page, const struct job *job,
                      const struct plan_sheet *sheet)
{
    bool v = job->target.polarisation == POLARISATION_V;
    const char *from = v ? "vertical" : "horizontal";
    char remark[80];

    if (isnan(sheet->skew_deg)) {
        row(page, "skew", "none", "   ", "circular polarisation");
        return;
    }
    if (fabs(sheet->skew_deg) < 0.005) {
        snprintf(remark, sizeof remark, "along the %s", from);
    } else {
        snprintf(remark, sizeof remark, "%s off the %s, from behind",
                 sheet->skew_deg < 0.0 ? "anticlockwise" : "clockwise", from);
    }
    degrees_row(page, "skew", sheet->skew_deg, remark);
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
    if (!sheet->visible) {
        below_text(&page, job, sheet);
        return;
    }
    degrees_row(&page, "azimuth, true", angle_wrap_deg(hundredths(sheet->look.azimuth_deg)), "");
    magnetic_rows(&page, sheet);
    scale_row(&page, job, sheet, AXIS_AZIMUTH);
    snprintf(remark, sizeof remark, "to set; %.2f of it is bending by the air",
             sheet->refraction_deg);
    degrees_row(&page, "elevation", sheet->elevation_apparent_deg, remark);
    degrees_row(&page, "  geometric", sheet->look.elevation_deg, "");
    scale_row(&page, job, sheet, AXIS_ELEVATION);
    skew_rows(&page, job, sheet);
    snprintf(remark, sizeof remark, "%.0f", sheet->look.range_km);
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
    const struct magnetic_field *field = &sheet->field;

    put(object, "declination_deg", field->declination_deg);
    put(object, "declination_error_deg", field->declination_error_deg);
    put_text(object, "magnetic_model", sheet->model_name);
    put_flag(object, "magnetic_in_date", field->in_date);
    put_text(object, "magnetic_zone",
             field->blackout ? "blackout"
             : field->weak   ? "caution"
                             : "normal");
}

json_t *plan_sheet_json(const struct job *job, const struct plan_sheet *sheet)
{
    json_t *object = json_object();
    double lon = job->site.place.lon_deg;

    json_object_set_new(object, "site", site_json(job));
    json_object_set_new(object, "target", target_json(job));
    put_text(object, "polarisation", polarisation_name(job->target.polarisation));
    put_text(object, "date", sheet->date);
    put_flag(object, "visible", sheet->visible);
    put_flag(object, "overhead", sheet->overhead);
    put(object, "azimuth_deg", sheet->look.azimuth_deg);
    put(object, "azimuth_magnetic_deg", sheet->azimuth_magnetic_deg);
    put_magnetic(object, sheet);
    put(object, "elevation_deg", sheet->look.elevation_deg);
    put(object, "elevation_apparent_deg", sheet->elevation_apparent_deg);
    put(object, "skew_deg", sheet->skew_deg);
    put(object, "range_km", sheet->look.range_km);
    json_object_set_new(object, "scale", scale_json(sheet));
    put(object, "beam_azimuth_deg", sheet->azimuth_width_deg);
    put(object, "beam_elevation_deg", sheet->elevation_width_deg);
    put(object, "arc_west_deg", angle_turn_deg(0.0, lon - sheet->arc_deg));
    put(object, "arc_east_deg", angle_turn_deg(0.0, lon + sheet->arc_deg));
    return object;
}
