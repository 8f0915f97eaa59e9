#include "command/plan_beam.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"

const double plan_beam_losses_db[PLAN_BEAM_LOSSES] = {0.1, 0.5, 1.0, 3.0};

static const double up = 0.0, right = 90.0;

/* The nearer side of a pattern that is not even is the one that counts. */
static double error_deg(const struct radiation *radiation, double direction, double loss_db)
{
    return fmin(radiation_error_deg(radiation, direction, loss_db),
                radiation_error_deg(radiation, direction + 180.0, loss_db));
}

static struct plan_beam_axis look_along(const struct plan_aim *aim, double direction, double turn)
{
    const struct radiation *radiation = &aim->radiation;
    double scale = direction == right ? plan_aim_on_scale(aim, 1.0) : 1.0;
    struct plan_beam_axis axis = {.lobe_deg = NAN, .lobe_db = NAN};

    axis.width_deg = scale * radiation_width_deg(radiation, direction);
    axis.width_turns = axis.width_deg / turn;
    for (int i = 0; i < PLAN_BEAM_LOSSES; i++) {
        axis.error_deg[i] = scale * error_deg(radiation, direction, plan_beam_losses_db[i]);
    }
    if (radiation_side_lobe(radiation, direction, &axis.lobe_deg, &axis.lobe_db)) {
        axis.lobe_deg *= scale;
    }
    return axis;
}

void plan_beam_make(const struct plan_aim *aim, struct plan_beam *ret)
{
    const struct job_axis *axes = aim->job->mount.axes;

    *ret = (struct plan_beam){.known = aim->has_beam};
    if (aim->has_beam) {
        ret->azimuth = look_along(aim, right, axes[AXIS_AZIMUTH].turn_deg);
        ret->elevation = look_along(aim, up, axes[AXIS_ELEVATION].turn_deg);
    }
}

static void axis_row(const struct plan_page *page, const char *what,
                     const struct plan_beam_axis *axis)
{
    if (isfinite(axis->width_turns) && isfinite(axis->width_deg)) {
        plan_page_number(page, what, axis->width_deg, 2, _("deg"),
                         _("half-power width, %.1f turns of the bolt"), axis->width_turns);
    } else if (isfinite(axis->width_deg)) {
        plan_page_number(page, what, axis->width_deg, 2, _("deg"), _("half-power width"));
    }
}

static void error_row(const struct plan_page *page, const char *what,
                      const struct plan_beam_axis *axis)
{
    if (!isfinite(axis->error_deg[0])) {
        return;
    }
    plan_page_wide_label(page, what);
    for (int i = 0; i < PLAN_BEAM_LOSSES; i++) {
        if (isfinite(axis->error_deg[i])) {
            text_append(page->text, page->size, "%8.2f", axis->error_deg[i]);
        } else {
            text_append(page->text, page->size, "%8s", "-");
        }
    }
    text_append(page->text, page->size, " %s\n", _("deg"));
}

static void lobe_row(const struct plan_page *page, const char *what,
                     const struct plan_beam_axis *axis)
{
    if (isfinite(axis->lobe_deg)) {
        plan_page_number(page, what, axis->lobe_db, 1, "dB", _("%.1f deg off the peak"),
                         axis->lobe_deg);
    }
}

void plan_beam_text(const struct plan_aim *aim, const struct plan_beam *beam,
                    const struct plan_page *page)
{
    if (!beam->known) {
        return;
    }
    plan_page_head(page, _("Beam, on the mount's scales"));
    axis_row(page, _("beam in azimuth"), &beam->azimuth);
    axis_row(page, _("beam in elevation"), &beam->elevation);
    plan_page_wide_label(page, _("an error costs, dB"));
    for (int i = 0; i < PLAN_BEAM_LOSSES; i++) {
        text_append(page->text, page->size, "%8g", plan_beam_losses_db[i]);
    }
    text_append(page->text, page->size, "\n");
    error_row(page, _("  in azimuth"), &beam->azimuth);
    error_row(page, _("  in elevation"), &beam->elevation);
    lobe_row(page, _("lobe in azimuth"), &beam->azimuth);
    lobe_row(page, _("lobe in elevation"), &beam->elevation);
    if (aim->turn_deg != 0.0 && aim->radiation.width_deg != aim->radiation.height_deg) {
        plan_page_words(page,
                        _("Turned to its skew the beam lies aslant: azimuth and elevation pull "
                          "at each other, so peak both twice."));
    }
}

static json_t *axis_json(const struct plan_beam_axis *axis)
{
    json_t *object = json_object(), *errors = json_array();

    plan_page_put(object, "width_deg", axis->width_deg);
    plan_page_put(object, "width_turns", axis->width_turns);
    for (int i = 0; i < PLAN_BEAM_LOSSES; i++) {
        json_t *error = json_object();
        plan_page_put(error, "loss_db", plan_beam_losses_db[i]);
        plan_page_put(error, "error_deg", axis->error_deg[i]);
        json_array_append_new(errors, error);
    }
    json_object_set_new(object, "errors", errors);
    plan_page_put(object, "side_lobe_deg", axis->lobe_deg);
    plan_page_put(object, "side_lobe_db", axis->lobe_db);
    return object;
}

json_t *plan_beam_json(const struct plan_beam *beam)
{
    json_t *object;

    if (!beam->known) {
        return json_null();
    }
    object = json_object();
    json_object_set_new(object, "azimuth", axis_json(&beam->azimuth));
    json_object_set_new(object, "elevation", axis_json(&beam->elevation));
    return object;
}
