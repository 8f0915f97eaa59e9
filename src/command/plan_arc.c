#include "command/plan_arc.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/angle.h"

static const double pi = 3.14159265358979323846;
static const double light_m_ns = 0.299792458;

/* A turned panel that hears a neighbour by this much more is worth a word. Our own choice. */
static const double notable_db = 3.0;

enum { NAME_COLUMNS = 22 };

/* --- numbers ------------------------------------------------------------------------------------
 */

/* S.580 where it holds, else S.465; in wavelengths of the disc of equal area. */
static void add_mask(const struct job *job, struct plan_arc_neighbour *n)
{
    double diameter_m = sqrt(4.0 / pi * plan_aim_area_m2(job));
    double diameter_wl = diameter_m * job->antenna.frequency_ghz / light_m_ns;

    n->mask = "ITU-R S.580";
    n->mask_dbi = radiation_mask_dbi(RADIATION_S580, diameter_wl, n->seen.angle_deg);
    if (isnan(n->mask_dbi)) {
        n->mask = "ITU-R S.465";
        n->mask_dbi = radiation_mask_dbi(RADIATION_S465, diameter_wl, n->seen.angle_deg);
    }
}

static void add_pattern(const struct plan_aim *aim, struct plan_arc_neighbour *n)
{
    struct radiation aligned = aim->radiation;
    double right, up;

    n->weaker_db = n->aligned_db = n->antenna_dbi = NAN;
    add_mask(aim->job, n);
    if (!aim->has_beam) {
        return;
    }
    plan_aim_offset(aim, n->seen.look.azimuth_deg, n->seen.look.elevation_deg, &right, &up);
    n->weaker_db = radiation_discrimination_db(&aim->radiation, right, up);
    aligned.turn_deg = -atan2(up, right) / ANGLE_RAD_PER_DEG;
    n->aligned_db = radiation_discrimination_db(&aligned, right, up);
    n->antenna_dbi = aim->job->antenna.gain_dbi - n->weaker_db;
}

void plan_arc_make(const struct plan_aim *aim, struct plan_arc *ret)
{
    const struct job *job = aim->job;
    struct arc_slot slots[JOB_NEIGHBOURS];
    struct arc_neighbour seen[JOB_NEIGHBOURS];
    double half_height = plan_aim_half_height_deg(aim);
    double reach = isfinite(half_height) ? half_height : INFINITY;

    for (size_t i = 0; i < job->neighbour_count; i++) {
        slots[i] = (struct arc_slot){job->neighbours[i].name, job->neighbours[i].lon_deg};
    }
    ret->count = arc_neighbours(&look_earth_wgs84, &job->site.place, job->target.satellite.lon_deg,
                                slots, job->neighbour_count, PLAN_ARC_WITHIN_DEG, seen);
    for (size_t i = 0; i < ret->count; i++) {
        struct plan_arc_neighbour *n = &ret->neighbours[i];
        n->seen = seen[i];
        n->skew_deg = job->target.polarisation == POLARISATION_CIRCULAR ? NAN
                      : job->target.polarisation == POLARISATION_H      ? seen[i].skew_h_deg
                                                                        : seen[i].skew_v_deg;
        add_pattern(aim, n);
    }
    ret->from_left = arc_sweep_order(seen, ret->count, true, reach);
    ret->from_right = arc_sweep_order(seen, ret->count, false, reach);
}

/* --- text ---------------------------------------------------------------------------------------
 */

/* A name in so many columns; a character counts as one. */
static void name_text(char ret[4 * NAME_COLUMNS + 1], const char *name)
{
    size_t columns = 0, n = 0, left = strlen(name);

    while (left > 0 && columns < NAME_COLUMNS) {
        size_t length = text_utf8_length(name, left);
        length = length > 0 ? length : 1;
        memcpy(ret + n, name, length);
        n += length;
        name += length;
        left -= length;
        columns++;
    }
    while (columns++ < NAME_COLUMNS) {
        ret[n++] = ' ';
    }
    ret[n] = '\0';
}

static void cell(const struct plan_page *page, double value, const char *format)
{
    if (isfinite(value)) {
        text_append(page->text, page->size, format[0] == '+' ? "%+9.2f" : "%9.1f",
                    plan_page_round(value, format[0] == '+' ? 2 : 1));
    } else {
        text_append(page->text, page->size, "%9s", "-");
    }
}

static void neighbour_row(const struct plan_aim *aim, const struct plan_arc_neighbour *n,
                          const struct plan_page *page)
{
    char name[4 * NAME_COLUMNS + 1], slot[32];

    name_text(name, n->seen.name);
    plan_page_half(slot, sizeof slot,
                   angle_turn_deg(0.0, aim->job->neighbours[n->seen.slot].lon_deg), "EW");
    text_append(page->text, page->size, "  %s%9s", name, slot);
    cell(page, n->seen.azimuth_deg, "+");
    cell(page, n->seen.elevation_deg, "+");
    cell(page, n->skew_deg, "+");
    cell(page, n->weaker_db, "1");
    text_append(page->text, page->size, "\n");
}

static void sweep_words(const struct plan_page *page, const struct plan_arc *arc,
                        const struct arc_sweep *sweep, bool from_left)
{
    if (sweep->count == 0) {
        plan_page_words(page, "%s",
                        from_left ? _("From the left nothing is met before the target.")
                                  : _("From the right nothing is met before the target."));
    } else if (sweep->first == sweep->before) {
        plan_page_words(page,
                        from_left ? _("From the left %s is met before the target.")
                                  : _("From the right %s is met before the target."),
                        arc->neighbours[sweep->first].seen.name);
    } else {
        plan_page_words(
            page,
            from_left ? _("From the left %s is met first, and %s last before the target.")
                      : _("From the right %s is met first, and %s last before the target."),
            arc->neighbours[sweep->first].seen.name, arc->neighbours[sweep->before].seen.name);
    }
}

static void panel_words(const struct plan_page *page, const struct plan_arc *arc)
{
    const struct plan_arc_neighbour *worst = NULL;

    for (size_t i = 0; i < arc->count; i++) {
        const struct plan_arc_neighbour *n = &arc->neighbours[i];
        if (n->aligned_db - n->weaker_db >= notable_db &&
            (!worst || n->seen.angle_deg < worst->seen.angle_deg)) {
            worst = n;
        }
    }
    if (worst) {
        plan_page_words(page,
                        _("The panel does not lie along the arc: it hears %s by %.0f dB more than "
                          "it would there."),
                        worst->seen.name, worst->aligned_db - worst->weaker_db);
    }
}

/* The neighbour over which the antenna goes furthest beyond its mask. */
static void mask_words(const struct plan_page *page, const struct plan_arc *arc)
{
    const struct plan_arc_neighbour *worst = NULL;

    for (size_t i = 0; i < arc->count; i++) {
        const struct plan_arc_neighbour *n = &arc->neighbours[i];
        if (isfinite(n->antenna_dbi) && isfinite(n->mask_dbi) &&
            (!worst || n->antenna_dbi - n->mask_dbi > worst->antenna_dbi - worst->mask_dbi)) {
            worst = n;
        }
    }
    if (worst) {
        plan_page_words(page,
                        _("Towards %s, %.1f deg off, the antenna may have up to %.1f dBi; the mask "
                          "of %s allows %.1f dBi."),
                        worst->seen.name, worst->seen.angle_deg, worst->antenna_dbi, worst->mask,
                        worst->mask_dbi);
    }
}

void plan_arc_text(const struct plan_aim *aim, const struct plan_arc *arc,
                   const struct plan_page *page)
{
    /* TRANSLATORS: heads of columns, 8 wide at most; the last: by how much weaker it is heard */
    static const char *const heads[] = {N_("slot"), N_("azimuth"), N_("elev."), N_("skew"),
                                        N_("dB less")};

    if (arc->count == 0) {
        return;
    }
    plan_page_head(page, _("Neighbours within 10 deg, from left to right, against the target"));
    text_append(page->text, page->size, "%*s", 2 + NAME_COLUMNS, "");
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++) {
        plan_page_cell(page, 9, _(heads[i]));
    }
    text_append(page->text, page->size, "\n");
    for (size_t i = 0; i < arc->count; i++) {
        neighbour_row(aim, &arc->neighbours[i], page);
    }
    sweep_words(page, arc, &arc->from_left, true);
    sweep_words(page, arc, &arc->from_right, false);
    if (aim->job->antenna.kind == JOB_PANEL) {
        panel_words(page, arc);
    }
    mask_words(page, arc);
}

/* --- JSON ---------------------------------------------------------------------------------------
 */

static json_t *neighbour_json(const struct plan_aim *aim, const struct plan_arc_neighbour *n)
{
    json_t *object = json_object();

    plan_page_put_text(object, "name", n->seen.name);
    plan_page_put(object, "lon_deg", aim->job->neighbours[n->seen.slot].lon_deg);
    plan_page_put(object, "azimuth_deg", n->seen.look.azimuth_deg);
    plan_page_put(object, "elevation_deg", n->seen.look.elevation_deg);
    plan_page_put_flag(object, "visible", n->seen.visible);
    plan_page_put(object, "lon_from_target_deg", n->seen.lon_deg);
    plan_page_put(object, "azimuth_from_target_deg", n->seen.azimuth_deg);
    plan_page_put(object, "elevation_from_target_deg", n->seen.elevation_deg);
    plan_page_put(object, "skew_from_target_deg", n->skew_deg);
    plan_page_put(object, "angle_deg", n->seen.angle_deg);
    plan_page_put(object, "discrimination_db", n->weaker_db);
    plan_page_put(object, "discrimination_along_arc_db", n->aligned_db);
    plan_page_put(object, "antenna_dbi", n->antenna_dbi);
    plan_page_put(object, "mask_dbi", n->mask_dbi);
    plan_page_put_text(object, "mask", isfinite(n->mask_dbi) ? n->mask : "");
    return object;
}

static json_t *sweep_json(const struct plan_arc *arc, const struct arc_sweep *sweep)
{
    json_t *object = json_object();

    plan_page_put_text(object, "first",
                       sweep->first < 0 ? "" : arc->neighbours[sweep->first].seen.name);
    plan_page_put_text(object, "last_before_target",
                       sweep->before < 0 ? "" : arc->neighbours[sweep->before].seen.name);
    json_object_set_new(object, "count", json_integer(sweep->count));
    return object;
}

json_t *plan_arc_json(const struct plan_aim *aim, const struct plan_arc *arc)
{
    json_t *object, *list;

    if (arc->count == 0) {
        return json_null();
    }
    object = json_object();
    list = json_array();
    for (size_t i = 0; i < arc->count; i++) {
        json_array_append_new(list, neighbour_json(aim, &arc->neighbours[i]));
    }
    json_object_set_new(object, "neighbours", list);
    json_object_set_new(object, "sweep_from_left", sweep_json(arc, &arc->from_left));
    json_object_set_new(object, "sweep_from_right", sweep_json(arc, &arc->from_right));
    return object;
}
