/* page_angles.c - each axis: where it should be and where it was left. */
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"
#include "record/handover_page.h"
#include "sky/angle.h"

enum { COLUMNS = 6 };

static const struct table_column columns[COLUMNS] = {
    {38.0, ALIGN_LEFT},  {38.0, ALIGN_RIGHT}, {38.0, ALIGN_RIGHT},
    {37.0, ALIGN_RIGHT}, {68.0, ALIGN_LEFT},  {36.0, ALIGN_RIGHT},
};

static double put_axis(struct page *page, enum axis axis, double x, double y)
{
    const struct handover_axis *a = &page->handover->axes[axis];
    bool circular = axis == AXIS_SKEW && page->handover->job->target.polarisation_given &&
                    page->handover->job->target.polarisation == POLARISATION_CIRCULAR;
    bool counted = a->found_by == HANDOVER_COUNTED;
    /* of what is printed, so that the page adds up */
    double should = handover_page_round(a->computed_deg, 2);
    double is = handover_page_round(a->found_deg, 2);
    double apart =
        axis == AXIS_SKEW ? angle_turn_axial_deg(should, is) : angle_turn_deg(should, is);
    char computed[WORDS_SIZE], found[WORDS_SIZE], difference[WORDS_SIZE], scale[WORDS_SIZE];
    const char *cells[COLUMNS] = {
        axis_word(axis),
        words_degrees(computed, a->computed_deg, false),
        words_degrees(found, a->found_deg, false),
        words_degrees(difference, apart, true),
        isfinite(a->found_deg) ? words_found_by(a->found_by)
        : circular             ? _("circular: none")
                               : _("not measured"),
        isfinite(a->found_scale_deg) ? words_degrees(scale, a->found_scale_deg, false) : NULL};

    return table_put_row(page->paper, STYLE_BODY,
                         isfinite(a->found_deg) && !counted ? PEN_DARK : PEN_SOFT, x, y, columns,
                         COLUMNS, cells, 1);
}

static void put_bias(const struct handover *h, char text[WORDS_SIZE])
{
    char bias[WORDS_SIZE], declination[WORDS_SIZE], magnetic[WORDS_SIZE];
    double north = angle_wrap_deg(h->axes[AXIS_AZIMUTH].computed_deg - h->declination_deg);

    text[0] = '\0';
    if (isfinite(h->bias_deg)) {
        text_append(text, WORDS_SIZE, _("The mount's azimuth shows %s against the true one."),
                    words_degrees(bias, h->bias_deg, true));
    } else {
        text_append(text, WORDS_SIZE, _("Error of the mount's azimuth: not measured."));
    }
    if (isfinite(h->declination_deg)) {
        text_append(text, WORDS_SIZE, _(" Declination %s: computed magnetic azimuth %s."),
                    words_degrees(declination, h->declination_deg, true),
                    words_degrees(magnetic, north, false));
    }
}

/* The carriers that the search met, in their order. */
static void put_met(const struct handover *h, char text[TABLE_CELL_SIZE])
{
    char level[WORDS_SIZE], azimuth[WORDS_SIZE];

    text[0] = '\0';
    for (int i = 0; i < h->met_count; i++) {
        const struct handover_met *met = &h->met[i];
        text_append(text, TABLE_CELL_SIZE, _("%s%s at %s %s%s"), i > 0 ? "; " : _("Carriers met: "),
                    words_level(level, met->level, h->level.unit),
                    words_degrees(azimuth, angle_wrap_deg(met->azimuth_deg), false),
                    met->name[0] ? met->name : _("not told apart"),
                    met->chosen    ? _(" (gone to)")
                    : met->refused ? _(" (refused)")
                                   : "");
    }
}

double page_angles(struct page *page, double x, double y, double width)
{
    const struct handover_axis *axes = page->handover->axes;
    bool scales = isfinite(axes[AXIS_AZIMUTH].found_scale_deg) ||
                  isfinite(axes[AXIS_ELEVATION].found_scale_deg) ||
                  isfinite(axes[AXIS_SKEW].found_scale_deg);
    const char *heads[COLUMNS] = {
        "", _("computed"), _("found"), _("difference"), _("how"), scales ? _("its scale") : NULL};
    char text[WORDS_SIZE], met[TABLE_CELL_SIZE];
    double top = y;

    y += table_heading(page->paper, x, y, width, _("Angles"));
    y += table_put_row(page->paper, STYLE_SMALL, PEN_SOFT, x, y, columns, COLUMNS, heads, 1) + 0.5;
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        y += put_axis(page, (enum axis)axis, x, y) + 0.8;
    }
    put_bias(page->handover, text);
    y += 1.0;
    y += paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, x, y, width, 3, text);
    put_met(page->handover, met);
    y += paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, x, y, width, 4, met);
    y += paper_text(page->paper, STYLE_SMALL, PEN_SOFT, ALIGN_LEFT, x, y, width, 2,
                    _("Azimuth from true north; elevation with the air's bending; skew clockwise "
                      "as seen from behind."));
    return y - top;
}
