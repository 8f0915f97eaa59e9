#include "command/plan_sway.h"

#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/angle.h"
#include "sky/sgp4.h"
#include "sky/utc.h"

/* Every ten minutes of a day and the end of it. */
enum { MOMENTS = 145 };
static const double step_s = 600.0;

/* Elements that say another slot than the job does are old, or another satellite's. */
static const double astray_deg = 1.0;

/* --- numbers ------------------------------------------------------------------------------------
 */

static void add_place(const struct plan_aim *aim, const double km[3], struct plan_sway *ret)
{
    ret->lon_deg = atan2(km[1], km[0]) / ANGLE_RAD_PER_DEG;
    ret->lat_deg = atan2(km[2], hypot(km[0], km[1])) / ANGLE_RAD_PER_DEG;
    ret->look = look_at_position(&look_earth_wgs84, &aim->job->site.place, km);
}

/* False when the theory can't follow the elements that far. */
static bool add_exact(const struct plan_aim *aim, struct plan_sway *ret)
{
    double places[MOMENTS][3];
    struct sgp4 orbit;

    if (sgp4_make(&aim->files->elements, &orbit) < 0) {
        return false;
    }
    for (int i = 0; i < MOMENTS; i++) {
        if (sgp4_earth_fixed(&orbit, aim->unix_s + step_s * i, places[i]) < 0) {
            return false;
        }
    }
    ret->by = N_("SGP4/SDP4 and its elements");
    ret->spread =
        figure_eight_spread_of(&aim->job->site.place, (const double(*)[3])places, MOMENTS);
    add_place(aim, places[0], ret);
    return true;
}

static bool add_mean(const struct plan_aim *aim, struct plan_sway *ret)
{
    const struct figure_eight_box box = {0.0, 0.0};
    struct figure_eight figure;
    double km[3];

    if (elements_figure_eight(&aim->files->elements, &figure) < 0) {
        return false;
    }
    ret->by = N_("the mean longitude of its elements");
    ret->spread = figure_eight_over_a_day(&aim->job->site.place, &figure, &box, aim->unix_s);
    figure_eight_at(&figure, aim->unix_s, km);
    add_place(aim, km, ret);
    return true;
}

static double or_zero(double value)
{
    return isfinite(value) ? value : 0.0;
}

static bool add_given(const struct plan_aim *aim, struct plan_sway *ret)
{
    const struct job *job = aim->job;
    const struct figure_eight_box box = {or_zero(job->target.box_east_west_deg),
                                         or_zero(job->target.box_north_south_deg)};
    const struct figure_eight figure = {.lon_deg = job->target.satellite.lon_deg,
                                        .inclination_deg = or_zero(job->target.inclination_deg),
                                        .node_deg = NAN,
                                        .perigee_deg = NAN};

    if (box.east_west_deg == 0.0 && box.north_south_deg == 0.0 && figure.inclination_deg == 0.0) {
        return false;
    }
    ret->by = N_("inclination and box of the job");
    ret->spread = figure_eight_over_a_day(&job->site.place, &figure, &box, aim->unix_s);
    return true;
}

/* The dearer direction: which way the satellite goes is not looked into. */
static double loss_db(const struct plan_aim *aim, double angle_deg)
{
    return aim->has_beam ? -fmin(radiation_level_db(&aim->radiation, angle_deg, 0.0),
                                 radiation_level_db(&aim->radiation, 0.0, angle_deg))
                         : NAN;
}

/* The narrower way. */
static double beam_deg(const struct plan_aim *aim)
{
    return 2.0 * fmin(plan_aim_half_width_deg(aim), plan_aim_half_height_deg(aim));
}

void plan_sway_make(const struct plan_aim *aim, struct plan_sway *ret)
{
    bool elements = aim->files && aim->files->has_elements;

    *ret = (struct plan_sway){.lon_deg = NAN, .lat_deg = NAN};
    ret->known = elements ? add_exact(aim, ret) || add_mean(aim, ret) : add_given(aim, ret);
    ret->known = ret->known && isfinite(ret->spread.angle_deg);
    if (ret->known) {
        ret->azimuth_scale_deg = ret->spread.azimuth_half_deg;
        ret->loss_db = loss_db(aim, ret->spread.angle_deg);
    }
}

/* --- text ---------------------------------------------------------------------------------------
 */

static void elements_words(const struct plan_aim *aim, const struct plan_sway *sway,
                           const struct plan_page *page)
{
    double age_days = (aim->unix_s - aim->files->elements.epoch_s) / UTC_DAY_S;
    double astray = angle_turn_deg(aim->job->target.satellite.lon_deg, sway->lon_deg);
    char slot[32];

    plan_page_half(slot, sizeof slot, sway->lon_deg, "EW");
    plan_page_number(page, _("azimuth at the time"), sway->look.azimuth_deg, 2, _("deg"),
                     _("true; %.2f high with the air; over %s"),
                     sway->look.elevation_deg + look_refraction_deg(sway->look.elevation_deg,
                                                                    aim->job->site.place.height_m),
                     slot);
    plan_page_words(page,
                    age_days < 0.0
                        ? _("Elements of %.1f days ahead; after a manoeuvre they are wrong.")
                        : _("Elements of %.1f days ago; after a manoeuvre they are wrong."),
                    fabs(age_days));
    if (fabs(astray) > astray_deg) {
        plan_page_words(page,
                        _("That is %.1f deg from the job's slot: old elements, or another "
                          "satellite's."),
                        fabs(astray));
    }
}

void plan_sway_text(const struct plan_aim *aim, const struct plan_sway *sway,
                    const struct plan_page *page)
{
    if (!sway->known) {
        return;
    }
    text_append(page->text, page->size, _("\nThe satellite's motion over 24 hours, by %s\n"),
                _(sway->by));
    if (isfinite(sway->lon_deg)) {
        elements_words(aim, sway, page);
    }
    if (!isnan(plan_aim_on_scale(aim, 1.0))) {
        plan_page_number(page, _("in azimuth"), sway->azimuth_scale_deg, 2, _("deg"),
                         _("to both sides, on the scale"));
    }
    plan_page_number(page, _("in elevation"), sway->spread.elevation_half_deg, 2, _("deg"),
                     _("to both sides"));
    if (isfinite(sway->loss_db)) {
        plan_page_number(page, _("costs up to"), sway->loss_db, 1, "dB",
                         _("pointed at the middle; then %.2f beamwidths off"),
                         sway->spread.angle_deg / beam_deg(aim));
    }
}

/* --- JSON ---------------------------------------------------------------------------------------
 */

json_t *plan_sway_json(const struct plan_sway *sway)
{
    bool elements = isfinite(sway->lon_deg);
    json_t *object;

    if (!sway->known) {
        return json_null();
    }
    object = json_object();
    plan_page_put_text(object, "computed_by", sway->by);
    plan_page_put(object, "azimuth_middle_deg", sway->spread.azimuth_deg);
    plan_page_put(object, "elevation_middle_deg", sway->spread.elevation_deg);
    plan_page_put(object, "azimuth_half_deg", sway->azimuth_scale_deg);
    plan_page_put(object, "elevation_half_deg", sway->spread.elevation_half_deg);
    plan_page_put(object, "angle_deg", sway->spread.angle_deg);
    plan_page_put(object, "loss_db", sway->loss_db);
    plan_page_put(object, "lon_now_deg", sway->lon_deg);
    plan_page_put(object, "lat_now_deg", sway->lat_deg);
    plan_page_put(object, "azimuth_now_deg", elements ? sway->look.azimuth_deg : NAN);
    plan_page_put(object, "elevation_now_deg", elements ? sway->look.elevation_deg : NAN);
    return object;
}
