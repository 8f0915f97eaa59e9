/* The object's keys about the antenna: where it stands, where it points, what it receives. */
#include "record/handover_json.h"

#include <math.h>

#include "session/json_line.h"

static const char *origin_word(enum handover_origin origin)
{
    static const char *const words[HANDOVER_ORIGINS] = {
        [HANDOVER_MEASURED] = "measured", [HANDOVER_READ] = "read",
        [HANDOVER_COUNTED] = "counted",   [HANDOVER_IMPLIED] = "implied",
        [HANDOVER_COMPUTED] = "computed", [HANDOVER_GIVEN] = "given",
        [HANDOVER_UNKNOWN] = "unknown",
    };

    return words[origin];
}

/* --- what it is ------------------------------------------------------------------------------ */

static json_t *site_of(const struct handover *h)
{
    json_t *object = json_object(), *fix = json_null();

    handover_json_text(object, "name", h->job->site.name);
    handover_json_text(object, "origin", origin_word(h->site.origin));
    handover_json_number(object, "latitude_deg", h->site.lat_deg, 8);
    handover_json_number(object, "longitude_deg", h->site.lon_deg, 8);
    handover_json_number(object, "height_m", h->site.height_m, 2);
    if (isfinite(h->site.fix_t)) {
        fix = json_object();
        handover_json_count(fix, "mode", (unsigned long)h->site.fix.mode);
        handover_json_number(fix, "latitude_deg", h->site.fix.lat_deg, 8);
        handover_json_number(fix, "longitude_deg", h->site.fix.lon_deg, 8);
        handover_json_number(fix, "height_m", h->site.fix.height_m, 2);
        handover_json_number(fix, "error_m", h->site.fix.error_m, 2);
        json_object_set_new(fix, "satellites",
                            h->site.fix.satellites < 0 ? json_null()
                                                       : json_integer(h->site.fix.satellites));
        handover_json_number(fix, "t", h->site.fix_t, 3);
        handover_json_count(fix, "count", h->site.fixes);
    }
    json_object_set_new(object, "fix", fix);
    return object;
}

static json_t *target_of(const struct job *job)
{
    json_t *object = json_object();

    handover_json_text(object, "name", job->target.satellite.name);
    handover_json_number(object, "longitude_deg", job->target.satellite.lon_deg, 4);
    handover_json_text(object, "polarisation", polarisation_name(job->target.polarisation));
    handover_json_text(object, "id", job->target.satellite.id);
    return object;
}

static json_t *antenna_of(const struct job *job)
{
    json_t *object = json_object();

    handover_json_text(object, "kind", job->antenna.kind == JOB_PANEL ? "panel" : "dish");
    handover_json_number(object, "width_m", job->antenna.width_m, 4);
    handover_json_number(object, "height_m", job->antenna.height_m, 4);
    handover_json_number(object, "frequency_ghz", job->antenna.frequency_ghz, 6);
    handover_json_number(object, "beam_width_deg", job_beam_width_deg(job), 4);
    handover_json_number(object, "beam_height_deg", job_beam_height_deg(job), 4);
    handover_json_number(object, "cross_polar_db", job->antenna.cross_polar_db, 2);
    return object;
}

static json_t *mount_of(const struct job *job)
{
    static const char *const words[] = {
        [JOB_FROM_SENSOR] = "sensor", [JOB_FROM_SCALE] = "scale", [JOB_FROM_NUDGES] = "nudges"};
    json_t *object = json_object();

    for (int i = 0; i < AXIS_COUNT; i++) {
        const struct job_axis *axis = &job->mount.axes[i];
        json_t *one = json_object();
        handover_json_text(one, "angle_from", words[axis->from]);
        handover_json_number(one, "turn_deg", axis->turn_deg, 4);
        handover_json_number(one, "sensor_error_deg", axis->sensor_error_deg, 4);
        json_object_set_new(object, axis_name((enum axis)i), one);
    }
    return object;
}

static json_t *meter_of(const struct handover *h)
{
    const struct job_meter *meter = job_find_meter(h->job, "");
    json_t *object;

    if (!meter) {
        return json_null();
    }
    object = json_object();
    handover_json_text(object, "name", meter->name);
    handover_json_text(object, "quantity", meter->quantity);
    return object;
}

/* --- where it points ------------------------------------------------------------------------- */

static json_t *readings_of(const struct handover_lobe *lobe)
{
    json_t *list = json_array();

    for (int i = 0; i < lobe->count; i++) {
        json_t *one = json_array();
        json_array_append_new(one, json_line_number(lobe->readings[i].x_deg));
        json_array_append_new(one, json_line_number(lobe->readings[i].level));
        json_array_append_new(one, json_integer(lobe->readings[i].way));
        json_array_append_new(list, one);
    }
    return list;
}

static json_t *fit_of(const struct handover_lobe *lobe)
{
    json_t *object;

    if (!lobe->fitted) {
        return json_null();
    }
    object = json_object();
    handover_json_number(object, "centre_deg", lobe->centre_deg, 4);
    handover_json_number(object, "centre_error_deg", lobe->centre_error_deg, 4);
    handover_json_number(object, "top_level", lobe->top_level, 4);
    handover_json_number(object, "width_deg", lobe->bracket ? NAN : lobe->width_deg, 4);
    handover_json_number(object, "expected_width_deg", lobe->expected_width_deg, 4);
    handover_json_flag(object, "from_equal_levels", lobe->bracket);
    return object;
}

static json_t *lobe_of(const struct handover_lobe *lobe)
{
    static const char *const words[] = {[HANDOVER_LOBE_PASSES] = "passes",
                                        [HANDOVER_LOBE_STATIONS] = "stations",
                                        [HANDOVER_LOBE_DROP] = "equal drop",
                                        [HANDOVER_LOBE_NULL] = "null"};
    json_t *object;

    if (!lobe->known) {
        return json_null();
    }
    object = json_object();
    handover_json_number(object, "t", lobe->t, 3);
    handover_json_text(object, "by", words[lobe->by]);
    handover_json_flag(object, "true_angles", lobe->true_angles);
    handover_json_count(object, "read", (unsigned long)lobe->read);
    json_object_set_new(object, "readings", readings_of(lobe));
    json_object_set_new(object, "fit", fit_of(lobe));
    handover_json_number(object, "stands_deg", lobe->stands_deg, 4);
    handover_json_number(object, "level", lobe->level, 4);
    handover_json_number(object, "level_error", lobe->level_error, 4);
    handover_json_number(object, "below_top", lobe->below_top, 4);
    handover_json_flag(object, "by_operator_word", lobe->by_operator_word);
    return object;
}

static json_t *axes_of(const struct handover *h)
{
    json_t *object = json_object();

    for (int i = 0; i < AXIS_COUNT; i++) {
        const struct handover_axis *axis = &h->axes[i];
        json_t *one = json_object();
        handover_json_number(one, "computed_deg", axis->computed_deg, 4);
        handover_json_number(one, "found_deg", axis->found_deg, 4);
        handover_json_text(one, "found_origin", origin_word(axis->found_by));
        handover_json_number(one, "found_t", axis->found_t, 3);
        handover_json_number(one, "found_scale_deg", axis->found_scale_deg, 4);
        json_object_set_new(one, "lobe", lobe_of(&axis->lobe));
        handover_json_text(one, "lobe_missing", axis->lobe.known ? "" : axis->lobe.why_not);
        json_object_set_new(object, axis_name((enum axis)i), one);
    }
    return object;
}

static json_t *carriers_of(const struct handover *h)
{
    json_t *list = json_array();

    for (int i = 0; i < h->met_count; i++) {
        json_t *one = json_object();
        handover_json_number(one, "azimuth_deg", h->met[i].azimuth_deg, 4);
        handover_json_number(one, "level", h->met[i].level, 4);
        handover_json_text(one, "name", h->met[i].name);
        handover_json_flag(one, "chosen", h->met[i].chosen);
        handover_json_flag(one, "refused", h->met[i].refused);
        json_array_append_new(list, one);
    }
    return list;
}

/* --- what it receives ------------------------------------------------------------------------ */

static json_t *level_of(const struct handover_level *level)
{
    json_t *object = json_object();

    handover_json_text(object, "unit", level_unit_name(level->unit));
    handover_json_flag(object, "measured", level->measured);
    handover_json_number(object, "final", level->final, 4);
    handover_json_number(object, "final_error", level->final_error, 4);
    handover_json_number(object, "final_t", level->final_t, 3);
    handover_json_count(object, "final_readings", (unsigned long)level->final_readings);
    handover_json_number(object, "best", level->best, 4);
    handover_json_number(object, "best_t", level->best_t, 3);
    handover_json_number(object, "below_best", level->below_best, 4);
    handover_json_number(object, "expected", level->expected, 4);
    handover_json_number(object, "below_expected", level->below_expected, 4);
    handover_json_number(object, "last", level->last, 4);
    return object;
}

static json_t *identity_of(const struct handover *h)
{
    json_t *object = json_object();

    handover_json_flag(object, "sure", h->identity.sure);
    handover_json_text(object, "grounds", h->identity.grounds);
    handover_json_text(object, "receiver_names", h->identity.lock_id);
    return object;
}

static json_t *isolation_of(const struct handover *h)
{
    json_t *object = json_object();

    handover_json_text(object, "origin", origin_word(h->isolation.origin));
    handover_json_number(object, "db", h->isolation.db, 2);
    handover_json_number(object, "skew_error_deg", h->isolation.skew_error_deg, 3);
    handover_json_number(object, "wanted_db", h->isolation.wanted_db, 2);
    handover_json_text(object, "how", h->isolation.how);
    return object;
}

static json_t *link_of(const struct handover *h)
{
    const struct modcods_choice *choice = &h->link.choice;
    json_t *object = json_object();

    handover_json_text(object, "origin", origin_word(h->link.origin));
    handover_json_number(object, "esn0_db", h->link.esn0_db, 4);
    handover_json_text(object, "modulation", choice->best ? choice->best->name : "");
    handover_json_number(object, "spare_db", choice->best ? choice->spare_db : NAN, 4);
    handover_json_number(object, "margin_kept_db", h->job->link.margin_db, 2);
    handover_json_number(object, "symbol_rate_mbd", h->job->link.symbol_rate_mbd, 6);
    handover_json_number(object, "expected_mbps", h->link.expected_mbps, 3);
    handover_json_text(object, "missing", h->link.why_not);
    return object;
}

static json_t *speed_of(const struct handover *h)
{
    json_t *object = json_object();

    handover_json_text(object, "origin", origin_word(h->speed.origin));
    handover_json_number(object, "down_mbps", h->speed.down_mbps, 3);
    handover_json_number(object, "up_mbps", h->speed.up_mbps, 3);
    handover_json_text(object, "how", h->speed.how);
    return object;
}

void handover_json_antenna(const struct handover *handover, json_t *object)
{
    json_object_set_new(object, "site", site_of(handover));
    json_object_set_new(object, "target", target_of(handover->job));
    json_object_set_new(object, "antenna", antenna_of(handover->job));
    json_object_set_new(object, "mount", mount_of(handover->job));
    json_object_set_new(object, "meter", meter_of(handover));
    handover_json_number(object, "declination_deg", handover->declination_deg, 4);
    handover_json_number(object, "azimuth_bias_deg", handover->bias_deg, 4);
    json_object_set_new(object, "axes", axes_of(handover));
    json_object_set_new(object, "carriers_met", carriers_of(handover));
    json_object_set_new(object, "identity", identity_of(handover));
    json_object_set_new(object, "level", level_of(&handover->level));
    json_object_set_new(object, "isolation", isolation_of(handover));
    json_object_set_new(object, "link", link_of(handover));
    json_object_set_new(object, "speed_test", speed_of(handover));
}
