#include "command/plan_skyline.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/angle.h"

const double plan_skyline_distances_m[PLAN_SKYLINE_ROOMS] = {5.0, 10.0, 20.0, 50.0};

static const double sweep_half_deg = 45.0;

/* The antenna's height: that of its aperture as it stands. */
static double aperture_m(const struct job *job)
{
    return isfinite(job->antenna.height_m) ? fmax(job->antenna.height_m, job->antenna.width_m)
                                           : job->antenna.width_m;
}

void plan_skyline_make(const struct plan_aim *aim, struct plan_skyline *ret)
{
    struct skyline skyline = job_skyline(aim->job);
    double elevation = aim->row->elevation_apparent_deg;
    double half_height = plan_aim_half_height_deg(aim);
    double half_width = plan_aim_on_scale(aim, plan_aim_half_width_deg(aim));

    *ret = (struct plan_skyline){.known = skyline.point_count + skyline.object_count > 0};
    for (int i = 0; i < PLAN_SKYLINE_ROOMS; i++) {
        ret->room_m[i] = skyline_room_m(plan_skyline_distances_m[i], elevation, half_height,
                                        aperture_m(aim->job));
    }
    if (ret->known) {
        ret->clearance = skyline_clear(&skyline, aim->row->look.azimuth_deg, elevation,
                                       isfinite(half_width) ? half_width : 0.0,
                                       isfinite(half_height) ? half_height : 0.0);
        ret->span_count =
            skyline_blocked(&skyline, elevation, aim->row->look.azimuth_deg - sweep_half_deg,
                            2.0 * sweep_half_deg, ret->spans, PLAN_SKYLINE_SPANS);
    }
}

static void clearance_rows(const struct plan_aim *aim, const struct skyline_clearance *c,
                           const struct plan_page *page)
{
    if (isnan(c->skyline_deg)) {
        plan_page_words(page, _("The skyline is not known in the satellite's direction."));
        return;
    }
    plan_page_number(page, _("skyline"), c->skyline_deg, 1, _("deg"),
                     aim->has_beam ? _("high at azimuth %.1f; the beam's edge at %.1f")
                                   : _("high at azimuth %.1f; the line of sight at %.1f"),
                     c->azimuth_deg, c->edge_deg);
    plan_page_number(page, _("clearance"), c->clearance_deg, 1, _("deg"), "%s",
                     c->clearance_deg < 0.0
                         ? (c->complete ? _("THE BEAM IS BLOCKED")
                                        : _("THE BEAM IS BLOCKED, as far as the skyline is known"))
                         : (c->complete ? _("above the skyline")
                                        : _("above the skyline, as far as the skyline is known")));
}

static void room_words(const struct plan_skyline *skyline, const struct plan_page *page)
{
    char text[160] = "";

    if (!isfinite(skyline->room_m[0])) {
        return;
    }
    for (int i = 0; i < PLAN_SKYLINE_ROOMS; i++) {
        text_append(text, sizeof text, i > 0 ? _(", %.1f m at %g m") : _("%.1f m at %g m"),
                    plan_page_round(skyline->room_m[i], 1), plan_skyline_distances_m[i]);
    }
    plan_page_words(page, _("Below the beam a tree may reach, above the antenna's middle: %s."),
                    text);
}

static void span_words(const struct plan_skyline *skyline, const struct plan_page *page)
{
    char text[240] = "";

    for (size_t i = 0; i < skyline->span_count && i < PLAN_SKYLINE_SPANS; i++) {
        text_append(text, sizeof text, i > 0 ? _(", %.0f to %.0f") : _("%.0f to %.0f"),
                    skyline->spans[i].from_deg, skyline->spans[i].to_deg);
    }
    if (skyline->span_count > 0) {
        plan_page_words(
            page, _("A sweep at this elevation looks at the skyline at azimuth %s deg."), text);
    }
}

void plan_skyline_text(const struct plan_aim *aim, const struct plan_skyline *skyline,
                       const struct plan_page *page)
{
    if (!skyline->known && !isfinite(skyline->room_m[0])) {
        return;
    }
    plan_page_head(page, _("Skyline"));
    if (skyline->known) {
        clearance_rows(aim, &skyline->clearance, page);
        span_words(skyline, page);
    }
    room_words(skyline, page);
}

static json_t *clearance_json(const struct skyline_clearance *c)
{
    json_t *object = json_object();

    plan_page_put(object, "beam_edge_deg", c->edge_deg);
    plan_page_put(object, "skyline_deg", c->skyline_deg);
    plan_page_put(object, "azimuth_deg", c->azimuth_deg);
    plan_page_put(object, "clearance_deg", c->clearance_deg);
    plan_page_put_flag(object, "complete", c->complete);
    return object;
}

json_t *plan_skyline_json(const struct plan_skyline *skyline)
{
    json_t *object = json_object(), *rooms = json_array(), *spans = json_array();

    json_object_set_new(object, _("clearance"),
                        skyline->known ? clearance_json(&skyline->clearance) : json_null());
    for (int i = 0; i < PLAN_SKYLINE_ROOMS; i++) {
        json_t *room = json_object();
        plan_page_put(room, "distance_m", plan_skyline_distances_m[i]);
        plan_page_put(room, "height_m", skyline->room_m[i]);
        json_array_append_new(rooms, room);
    }
    json_object_set_new(object, "room", rooms);
    for (size_t i = 0; i < skyline->span_count && i < PLAN_SKYLINE_SPANS; i++) {
        json_t *span = json_object();
        plan_page_put(span, "from_deg", skyline->spans[i].from_deg);
        plan_page_put(span, "to_deg", skyline->spans[i].to_deg);
        json_array_append_new(spans, span);
    }
    json_object_set_new(object, "blocked", spans);
    return object;
}
