/* The pointing sheet as JSON; the keys are explained in docs/plan.md. */
#include "command/plan_sheet.h"

#include <math.h>

#include "sky/angle.h"

static json_t *site_json(const struct job *job)
{
    json_t *object = json_object();

    plan_page_put_text(object, "name", job->site.name);
    plan_page_put(object, "lat_deg", job->site.place.lat_deg);
    plan_page_put(object, "lon_deg", job->site.place.lon_deg);
    plan_page_put(object, "height_m", job->site.place.height_m);
    return object;
}

static json_t *target_json(const struct job *job)
{
    json_t *object = json_object();

    plan_page_put_text(object, "name", job_target_is_named(job) ? job->target.satellite.name : "");
    plan_page_put(object, "lon_deg", job->target.satellite.lon_deg);
    plan_page_put(object, "skew_offset_deg", job->target.skew_offset_deg);
    return object;
}

static json_t *scale_json(const struct plan_sheet *sheet)
{
    json_t *object = json_object();

    plan_page_put(object, "azimuth_deg", sheet->scale_deg[AXIS_AZIMUTH]);
    plan_page_put(object, "elevation_deg", sheet->scale_deg[AXIS_ELEVATION]);
    plan_page_put(object, "skew_deg", sheet->scale_deg[AXIS_SKEW]);
    return object;
}

static void put_magnetic(json_t *object, const struct plan_sheet *sheet)
{
    const struct magnetic_field *field = &sheet->row.field;

    plan_page_put(object, "declination_deg", field->declination_deg);
    plan_page_put(object, "declination_error_deg", field->declination_error_deg);
    plan_page_put_text(object, "magnetic_model", sheet->model_name);
    plan_page_put_flag(object, "magnetic_in_date", field->in_date);
    plan_page_put_text(object, "magnetic_zone", plan_row_zone(field));
}

static void put_parts(json_t *object, const struct plan_sheet *sheet)
{
    const struct plan_aim *aim = &sheet->aim;

    json_object_set_new(object, "beam", plan_beam_json(&sheet->beam));
    json_object_set_new(object, "arc", plan_arc_json(aim, &sheet->arc));
    json_object_set_new(object, "skyline", plan_skyline_json(&sheet->skyline));
    json_object_set_new(object, "sun", plan_sun_json(&sheet->sun));
    json_object_set_new(object, "motion", plan_sway_json(&sheet->sway));
    json_object_set_new(object, "link", plan_link_json(aim, &sheet->link));
    json_object_set_new(object, "isolation", plan_link_isolation_json(aim, &sheet->link));
    json_object_set_new(object, "exposure", plan_exposure_json(&sheet->exposure));
}

json_t *plan_sheet_json(const struct job *job, const struct plan_sheet *sheet)
{
    json_t *object = json_object();
    double lon = job->site.place.lon_deg;
    bool beam = sheet->beam.known;

    json_object_set_new(object, "site", site_json(job));
    json_object_set_new(object, "target", target_json(job));
    plan_page_put_text(object, "polarisation", polarisation_name(job->target.polarisation));
    plan_page_put_text(object, "date", sheet->date);
    plan_page_put_text(object, "time", sheet->time);
    plan_page_put_flag(object, "visible", sheet->row.visible);
    plan_page_put_flag(object, "overhead", sheet->overhead);
    plan_page_put(object, "azimuth_deg", sheet->row.look.azimuth_deg);
    plan_page_put(object, "azimuth_magnetic_deg", sheet->row.azimuth_magnetic_deg);
    put_magnetic(object, sheet);
    plan_page_put(object, "elevation_deg", sheet->row.look.elevation_deg);
    plan_page_put(object, "elevation_apparent_deg", sheet->row.elevation_apparent_deg);
    plan_page_put(object, "skew_deg", sheet->row.skew_deg);
    plan_page_put(object, "range_km", sheet->row.look.range_km);
    json_object_set_new(object, "scale", scale_json(sheet));
    plan_page_put(object, "beam_azimuth_deg", beam ? sheet->beam.azimuth.width_deg : NAN);
    plan_page_put(object, "beam_elevation_deg", beam ? sheet->beam.elevation.width_deg : NAN);
    plan_page_put(object, "arc_west_deg", angle_turn_deg(0.0, lon - sheet->arc_deg));
    plan_page_put(object, "arc_east_deg", angle_turn_deg(0.0, lon + sheet->arc_deg));
    put_parts(object, sheet);
    return object;
}
