/* The pointing sheet as lines for 80 columns. */
#include "command/plan_sheet.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "sky/angle.h"

/* The scale's value where it differs from the true one, and what its bolt does. */
static void scale_row(const struct plan_page *page, const struct job *job,
                      const struct plan_sheet *sheet, enum axis axis)
{
    const struct job_axis *mount = &job->mount.axes[axis];

    if (isfinite(sheet->scale_deg[axis]) &&
        (mount->scale_zero_deg != 0.0 || mount->scale_sense != 1)) {
        plan_page_number(page, "  on its scale", sheet->scale_deg[axis], 2, "deg",
                         "what the mount has to show");
    }
    if (isfinite(mount->turn_deg)) {
        plan_page_number(page, "  its bolt", 1.0 / mount->turn_deg, 2, "turns", "for a degree");
    }
}

static void head_rows(const struct plan_page *page, const struct job *job,
                      const struct plan_sheet *sheet)
{
    const struct look_site *site = &job->site.place;
    char slot[32];

    plan_page_half(slot, sizeof slot, job->target.satellite.lon_deg, "EW");
    text_append(page->text, page->size, "Pointing sheet%s%s\n\n", job->site.name[0] ? ": " : "",
                job->site.name);
    text_append(page->text, page->size, "  site        %.5f %c, %.5f %c\n", fabs(site->lat_deg),
                site->lat_deg < 0.0 ? 'S' : 'N', fabs(site->lon_deg),
                site->lon_deg < 0.0 ? 'W' : 'E');
    text_append(page->text, page->size, "              %.0f m above the ellipsoid\n",
                site->height_m);
    text_append(page->text, page->size, "  satellite   %s, polarisation %s\n", slot,
                polarisation_name(job->target.polarisation));
    if (plan_sheet_is_named(job)) {
        text_append(page->text, page->size, "              %s\n", job->target.satellite.name);
    }
    text_append(page->text, page->size, "  time        %s\n\n", sheet->time);
}

static void below_text(const struct plan_page *page, const struct job *job,
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
    plan_page_half(west, sizeof west, angle_turn_deg(0.0, job->site.place.lon_deg - sheet->arc_deg),
                   "EW");
    plan_page_half(east, sizeof east, angle_turn_deg(0.0, job->site.place.lon_deg + sheet->arc_deg),
                   "EW");
    text_append(page->text, page->size,
                "Over a flat horizon the arc is in sight from %s eastward to %s.\n", west, east);
}

static void magnetic_rows(const struct plan_page *page, const struct plan_sheet *sheet)
{
    const char *way = sheet->row.field.declination_deg < 0.0 ? "west" : "east";

    if (!sheet->magnetic_known) {
        plan_page_row(page, "  magnetic", "-", "", "not known for this date");
        return;
    }
    plan_page_number(page, "  magnetic",
                     angle_wrap_deg(plan_page_round(sheet->row.azimuth_magnetic_deg, 2)), 2, "deg",
                     "%s",
                     sheet->row.field.blackout ? "but no compass is of use here"
                     : sheet->row.field.weak   ? "but a compass is not to be trusted here"
                                               : "by a compass, away from steel");
    if (sheet->row.field.in_date) {
        plan_page_number(page, "  declination", sheet->row.field.declination_deg, 2, "deg",
                         "%s, sure to %.2f (1 sigma), %s", way,
                         sheet->row.field.declination_error_deg, sheet->model_name);
    } else {
        plan_page_number(page, "  declination", sheet->row.field.declination_deg, 2, "deg",
                         "%s, %s is out of date", way, sheet->model_name);
    }
}

static void skew_rows(const struct plan_page *page, const struct job *job,
                      const struct plan_sheet *sheet)
{
    bool v = job->target.polarisation == POLARISATION_V;
    const char *from = v ? "vertical" : "horizontal";

    if (isnan(sheet->row.skew_deg)) {
        plan_page_row(page, "skew", "none", "   ", "circular polarisation");
        return;
    }
    if (fabs(sheet->row.skew_deg) < 0.005) {
        plan_page_number(page, "skew", sheet->row.skew_deg, 2, "deg", "along the %s", from);
    } else {
        plan_page_number(page, "skew", sheet->row.skew_deg, 2, "deg", "%s off the %s, from behind",
                         sheet->row.skew_deg < 0.0 ? "anticlockwise" : "clockwise", from);
    }
    scale_row(page, job, sheet, AXIS_SKEW);
}

static void overhead_text(const struct plan_page *page, const struct job *job)
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

static void angle_rows(const struct plan_page *page, const struct job *job,
                       const struct plan_sheet *sheet)
{
    char range[32];

    plan_page_number(page, "azimuth, true",
                     angle_wrap_deg(plan_page_round(sheet->row.look.azimuth_deg, 2)), 2, "deg",
                     "%s", "");
    magnetic_rows(page, sheet);
    scale_row(page, job, sheet, AXIS_AZIMUTH);
    plan_page_number(page, "elevation", sheet->row.elevation_apparent_deg, 2, "deg",
                     "to set; %.2f of it is bending by the air", sheet->refraction_deg);
    plan_page_number(page, "  geometric", sheet->row.look.elevation_deg, 2, "deg", "%s", "");
    scale_row(page, job, sheet, AXIS_ELEVATION);
    skew_rows(page, job, sheet);
    if (isfinite(sheet->row.skew_deg) && job->mount.skew_by == JOB_SKEW_PANEL) {
        plan_page_row(page, "", "", "   ", "the whole antenna turns, its beam with it");
    }
    snprintf(range, sizeof range, "%.0f", sheet->row.look.range_km);
    plan_page_row(page, "slant range", range, "km", "%s", "");
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
