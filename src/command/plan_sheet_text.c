/* The pointing sheet as lines for 80 columns. */
#include "command/plan_sheet.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/angle.h"

/* The scale's value where it differs from the true one, and what its bolt does. */
static void scale_row(const struct plan_page *page, const struct job *job,
                      const struct plan_sheet *sheet, enum axis axis)
{
    const struct job_axis *mount = &job->mount.axes[axis];

    if (isfinite(sheet->scale_deg[axis]) &&
        (mount->scale_zero_deg != 0.0 || mount->scale_sense != 1)) {
        plan_page_number(page, _("  on its scale"), sheet->scale_deg[axis], 2, _("deg"),
                         _("what the mount has to show"));
    }
    if (isfinite(mount->turn_deg)) {
        plan_page_number(page, _("  its bolt"), 1.0 / mount->turn_deg, 2, _("turns"),
                         _("for a degree"));
    }
}

static void head_rows(const struct plan_page *page, const struct job *job,
                      const struct plan_sheet *sheet)
{
    const struct look_site *site = &job->site.place;
    char slot[32];

    plan_page_half(slot, sizeof slot, job->target.satellite.lon_deg, "EW");
    if (job->site.name[0]) {
        text_append(page->text, page->size, _("Pointing sheet: %s\n\n"), job->site.name);
    } else {
        text_append(page->text, page->size, "%s", _("Pointing sheet\n\n"));
    }
    plan_page_label(page, _("site"));
    text_append(page->text, page->size, "%.5f %c, %.5f %c\n", fabs(site->lat_deg),
                site->lat_deg < 0.0 ? 'S' : 'N', fabs(site->lon_deg),
                site->lon_deg < 0.0 ? 'W' : 'E');
    plan_page_label(page, "");
    text_append(page->text, page->size, _("%.0f m above the ellipsoid\n"), site->height_m);
    plan_page_label(page, _("satellite"));
    text_append(page->text, page->size, _("%s, polarisation %s\n"), slot,
                polarisation_name(job->target.polarisation));
    if (job_target_is_named(job)) {
        plan_page_label(page, "");
        text_append(page->text, page->size, "%s\n", job->target.satellite.name);
    }
    plan_page_label(page, tongue_say_in("label", "time"));
    text_append(page->text, page->size, "%s\n\n", sheet->time);
}

static void below_text(const struct plan_page *page, const struct job *job,
                       const struct plan_sheet *sheet)
{
    double deep = -sheet->row.elevation_apparent_deg;
    char below[32], west[32], east[32];

    if (deep < 0.05) {
        text_copy(below, sizeof below, _("less than 0.1"));
    } else {
        snprintf(below, sizeof below, "%.1f", deep);
    }
    text_append(page->text, page->size,
                _("The satellite stands %s deg below the horizon, at azimuth %.1f deg:\n"
                  "it can't be seen from this site.\n"),
                below, sheet->row.look.azimuth_deg);
    if (isnan(sheet->arc_deg)) {
        text_append(page->text, page->size, "%s",
                    _("No satellite of the geostationary arc can: the site is too near a pole.\n"));
        return;
    }
    plan_page_half(west, sizeof west, angle_turn_deg(0.0, job->site.place.lon_deg - sheet->arc_deg),
                   "EW");
    plan_page_half(east, sizeof east, angle_turn_deg(0.0, job->site.place.lon_deg + sheet->arc_deg),
                   "EW");
    text_append(page->text, page->size,
                _("Over a flat horizon the arc is in sight from %s eastward to %s.\n"), west, east);
}

static void magnetic_rows(const struct plan_page *page, const struct plan_sheet *sheet)
{
    bool west = sheet->row.field.declination_deg < 0.0;

    if (!sheet->magnetic_known) {
        plan_page_row(page, _("  magnetic"), "-", "", _("not known for this date"));
        return;
    }
    plan_page_number(page, _("  magnetic"),
                     angle_wrap_deg(plan_page_round(sheet->row.azimuth_magnetic_deg, 2)), 2,
                     _("deg"), "%s",
                     sheet->row.field.blackout ? _("but no compass is of use here")
                     : sheet->row.field.weak   ? _("but a compass is not to be trusted here")
                                               : _("by a compass, away from steel"));
    if (sheet->row.field.in_date) {
        plan_page_number(page, _("  declination"), sheet->row.field.declination_deg, 2, _("deg"),
                         west ? _("west, sure to %.2f (1 sigma), %s")
                              : _("east, sure to %.2f (1 sigma), %s"),
                         sheet->row.field.declination_error_deg, sheet->model_name);
    } else {
        plan_page_number(page, _("  declination"), sheet->row.field.declination_deg, 2, _("deg"),
                         west ? _("west, %s is out of date") : _("east, %s is out of date"),
                         sheet->model_name);
    }
}

static void skew_rows(const struct plan_page *page, const struct job *job,
                      const struct plan_sheet *sheet)
{
    bool v = job->target.polarisation == POLARISATION_V;
    bool left = sheet->row.skew_deg < 0.0;

    if (isnan(sheet->row.skew_deg)) {
        plan_page_row(page, _("skew"), _("none"), "   ", _("circular polarisation"));
        return;
    }
    if (fabs(sheet->row.skew_deg) < 0.005) {
        plan_page_number(page, _("skew"), sheet->row.skew_deg, 2, _("deg"), "%s",
                         v ? _("along the vertical") : _("along the horizontal"));
    } else {
        plan_page_number(page, _("skew"), sheet->row.skew_deg, 2, _("deg"), "%s",
                         v && left ? _("anticlockwise off the vertical, from behind")
                         : v       ? _("clockwise off the vertical, from behind")
                         : left    ? _("anticlockwise off the horizontal, from behind")
                                   : _("clockwise off the horizontal, from behind"));
    }
    scale_row(page, job, sheet, AXIS_SKEW);
}

static void overhead_text(const struct plan_page *page, const struct job *job)
{
    text_append(
        page->text, page->size, "%s",
        _("\nThe satellite stands nearly straight up: azimuth and skew only count together,\n"
          "and its own daily motion turns both."));
    if (job->target.polarisation != POLARISATION_CIRCULAR && job->target.skew_offset_deg == 0.0) {
        text_append(page->text, page->size, "%s",
                    job->target.polarisation == POLARISATION_V ? _(" V lies north-south here.")
                                                               : _(" H lies east-west here."));
    }
    text_append(page->text, page->size, "\n");
}

static void angle_rows(const struct plan_page *page, const struct job *job,
                       const struct plan_sheet *sheet)
{
    char range[32];

    plan_page_number(page, _("azimuth, true"),
                     angle_wrap_deg(plan_page_round(sheet->row.look.azimuth_deg, 2)), 2, _("deg"),
                     "%s", "");
    magnetic_rows(page, sheet);
    scale_row(page, job, sheet, AXIS_AZIMUTH);
    plan_page_number(page, _("elevation"), sheet->row.elevation_apparent_deg, 2, _("deg"),
                     _("to set; %.2f of it is bending by the air"), sheet->refraction_deg);
    plan_page_number(page, _("  geometric"), sheet->row.look.elevation_deg, 2, _("deg"), "%s", "");
    scale_row(page, job, sheet, AXIS_ELEVATION);
    skew_rows(page, job, sheet);
    if (isfinite(sheet->row.skew_deg) && job->mount.skew_by == JOB_SKEW_PANEL) {
        plan_page_row(page, "", "", "   ", _("the whole antenna turns, its beam with it"));
    }
    snprintf(range, sizeof range, "%.0f", sheet->row.look.range_km);
    plan_page_row(page, _("slant range"), range, "km", "%s", "");
}

void plan_sheet_text(const struct job *job, const struct plan_sheet *sheet, char *text, size_t size)
{
    const struct plan_page page = {text, size};
    const struct plan_aim *aim = &sheet->aim;

    text[0] = '\0';
    head_rows(&page, job, sheet);
    if (!sheet->row.visible) {
        below_text(&page, job, sheet);
        return;
    }
    angle_rows(&page, job, sheet);
    if (sheet->overhead) {
        overhead_text(&page, job);
    }
    plan_beam_text(aim, &sheet->beam, &page);
    plan_arc_text(aim, &sheet->arc, &page);
    plan_skyline_text(aim, &sheet->skyline, &page);
    plan_sun_text(aim, &sheet->sun, &page);
    plan_sway_text(aim, &sheet->sway, &page);
    plan_link_text(aim, &sheet->link, &page);
    plan_exposure_text(aim, &sheet->exposure, &page);
    plan_picture_text(&sheet->picture, &page);
}
