/*
 * page_lobes.c - each axis as it was peaked: the readings of both ways, the curve through them,
 * its middle, its width, and where the axis was left.
 */
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/chart.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"
#include "sky/angle.h"

enum { CURVE_POINTS = 160, CAPTION_LINES = 3 };

static const double between = 14.0, least_span_deg = 0.4;

/* The smallest span of levels: less would make mountains of noise. */
static double least_span(enum level_unit unit, double top)
{
    switch (unit) {
    case LEVEL_PERCENT:
        return 5.0;
    case LEVEL_VOLT:
        return 0.1;
    case LEVEL_RAW:
        return fmax(0.02 * fabs(top), 0.1);
    default:
        return 2.0;
    }
}

/* A parabola is only drawn where one was fitted: in decibels, around a top. */
static bool has_curve(const struct handover_lobe *lobe)
{
    return lobe->fitted && !lobe->bracket && lobe->by != HANDOVER_LOBE_NULL &&
           isfinite(lobe->width_deg) && lobe->width_deg > 0.0;
}

static double curve_at(const struct handover_lobe *lobe, double x_deg)
{
    double off = (x_deg - lobe->centre_deg) / lobe->width_deg;

    return lobe->top_level - 12.0 * off * off; /* see lobe.h */
}

static void set_chart(const struct page *page, const struct handover_lobe *lobe,
                      struct paper_box box, struct chart *chart)
{
    enum level_unit unit = page->handover->level.unit;
    double left = INFINITY, right = -INFINITY, low = INFINITY, high = -INFINITY, margin;

    for (int i = 0; i < lobe->count; i++) {
        left = fmin(left, lobe->readings[i].x_deg);
        right = fmax(right, lobe->readings[i].x_deg);
        low = fmin(low, lobe->readings[i].level);
        high = fmax(high, lobe->readings[i].level);
    }
    if (has_curve(lobe)) {
        left = fmin(left, lobe->centre_deg - 0.5 * lobe->width_deg);
        right = fmax(right, lobe->centre_deg + 0.5 * lobe->width_deg);
        low = fmin(low, lobe->top_level - 3.0);
        high = fmax(high, lobe->top_level);
    }
    margin = fmax(0.04 * (right - left), 0.5 * (least_span_deg - (right - left)));
    chart_set(chart, page->paper, box, left - margin, right + margin, low, high,
              least_span(unit, high));
    chart_set_unit(chart, 1.0, "°");
    chart->up_title = level_unit_symbol(unit, true);
}

/* Whole where it was read, dashed where it only goes on. */
static void put_curve(struct page *page, const struct chart *chart,
                      const struct handover_lobe *lobe)
{
    struct paper_point read[CURVE_POINTS], beyond[CURVE_POINTS];
    double from = INFINITY, to = -INFINITY;

    for (int i = 0; i < lobe->count; i++) {
        from = fmin(from, lobe->readings[i].x_deg);
        to = fmax(to, lobe->readings[i].x_deg);
    }
    for (int i = 0; i < CURVE_POINTS; i++) {
        double x = lobe->centre_deg + 1.5 * lobe->width_deg * (i / (CURVE_POINTS - 1.0) - 0.5);
        bool inside = x >= from && x <= to;
        struct paper_point at = {chart_x(chart, x), chart_y(chart, curve_at(lobe, x))};
        read[i] = beyond[i] = at;
        (inside ? &beyond[i] : &read[i])->y = NAN;
    }
    paper_curve(page->paper, PEN_ACCENT, 1.1, false, chart->box, read, CURVE_POINTS);
    paper_curve(page->paper, PEN_ACCENT, 0.8, true, chart->box, beyond, CURVE_POINTS);
}

/* The half-power width as a bar 3 dB under the top. */
static void put_width(struct page *page, const struct chart *chart,
                      const struct handover_lobe *lobe)
{
    double y = chart_y(chart, lobe->top_level - 3.0), end = 2.5;
    double left = chart_x(chart, lobe->centre_deg - 0.5 * lobe->width_deg);
    double right = chart_x(chart, lobe->centre_deg + 0.5 * lobe->width_deg);

    paper_line(page->paper, PEN_SOFT, 0.6, false, left, y, right, y);
    paper_line(page->paper, PEN_SOFT, 0.6, false, left, y - end, left, y + end);
    paper_line(page->paper, PEN_SOFT, 0.6, false, right, y - end, right, y + end);
    paper_text(page->paper, STYLE_SMALL, PEN_SOFT, ALIGN_LEFT, left + 3.0, y + 0.5, 40.0, 1,
               "-3 dB");
}

static void put_graph(struct page *page, enum axis axis, struct paper_box box)
{
    const struct handover_lobe *lobe = &page->handover->axes[axis].lobe;
    struct chart chart;

    set_chart(page, lobe, box, &chart);
    chart.compass = axis == AXIS_AZIMUTH && lobe->true_angles;
    chart_put_frame(&chart, page->paper);
    if (lobe->fitted) {
        double x = chart_x(&chart, lobe->centre_deg);
        if (has_curve(lobe)) {
            put_width(page, &chart, lobe);
            put_curve(page, &chart, lobe);
        }
        paper_line(page->paper, PEN_ACCENT, 0.8, true, x, chart.box.y, x,
                   chart.box.y + chart.box.height);
    }
    /* readings last: nothing may hide them */
    for (int i = 0; i < lobe->count; i++) {
        paper_reading(page->paper, PEN_DARK, chart_x(&chart, lobe->readings[i].x_deg),
                      chart_y(&chart, lobe->readings[i].level), lobe->readings[i].way);
    }
    if (isfinite(lobe->stands_deg) && lobe->stands_deg >= chart.left &&
        lobe->stands_deg <= chart.right) {
        paper_pointer(page->paper, PEN_DARK, chart_x(&chart, lobe->stands_deg), chart.box.y);
    }
}

/* The angle as it is said: azimuth round the compass, turns of a bolt from where it began. */
static double said_deg(enum axis axis, const struct handover_lobe *lobe, double deg)
{
    return axis == AXIS_AZIMUTH && lobe->true_angles ? angle_wrap_deg(deg) : deg;
}

static void put_caption(struct page *page, enum axis axis, char text[WORDS_SIZE])
{
    const struct handover_lobe *lobe = &page->handover->axes[axis].lobe;
    enum level_unit unit = page->handover->level.unit;
    char degrees[WORDS_SIZE];

    text[0] = '\0';
    if (lobe->fitted) {
        text_append(text, WORDS_SIZE, _("Centre %s"),
                    words_degrees(degrees, said_deg(axis, lobe, lobe->centre_deg), false));
        if (isfinite(lobe->centre_error_deg)) {
            text_append(text, WORDS_SIZE, " ± %s",
                        words_degrees(degrees, lobe->centre_error_deg, false));
        }
        if (has_curve(lobe)) {
            text_append(text, WORDS_SIZE, _(", -3 dB width %s"),
                        words_degrees(degrees, lobe->width_deg, false));
            if (isfinite(lobe->expected_width_deg)) {
                text_append(text, WORDS_SIZE, _(" (by size %s)"),
                            words_degrees(degrees, lobe->expected_width_deg, false));
            }
        }
        text_append(text, WORDS_SIZE, ". ");
    } else {
        text_append(text, WORDS_SIZE, _("No top was fitted. "));
    }
    if (isfinite(lobe->stands_deg)) {
        text_append(text, WORDS_SIZE, _("Left at %s"),
                    words_degrees(degrees, said_deg(axis, lobe, lobe->stands_deg), false));
        if (isfinite(lobe->below_top)) {
            bool above = lobe->below_top < 0.0;
            words_level(degrees, fabs(lobe->below_top), unit);
            text_append(text, WORDS_SIZE,
                        above && has_curve(lobe) ? _(", where %s above the fitted top was read")
                        : above                  ? _(", where %s above the top was read")
                        : has_curve(lobe)        ? _(", where %s below the fitted top was read")
                                                 : _(", where %s below the top was read"),
                        degrees);
        }
        text_append(text, WORDS_SIZE, ".");
    }
    if (lobe->by_operator_word) {
        text_append(text, WORDS_SIZE, _(" Ended by the operator's word."));
    }
    if (!lobe->true_angles) {
        text_append(text, WORDS_SIZE, _(" Degrees of bolt turned, counted."));
    }
}

static void put_none(struct page *page, enum axis axis, struct paper_box box)
{
    const struct handover_lobe *lobe = &page->handover->axes[axis].lobe;
    char text[WORDS_SIZE];

    text_copy(text, sizeof text, _("Not measured"));
    if (lobe->why_not[0]) {
        text_append(text, sizeof text, ": %s", lobe->why_not);
    }
    chart_put_none(page->paper, box, text);
}

static void put_title(struct page *page, enum axis axis, double x, double y, double width)
{
    static const char *const by[] = {
        [HANDOVER_LOBE_PASSES] = N_("swept there and back"),
        [HANDOVER_LOBE_STATIONS] = N_("read at stations"),
        [HANDOVER_LOBE_DROP] = N_("by equal drops"),
        [HANDOVER_LOBE_NULL] = N_("by the null of the other polarisation"),
    };
    const struct handover_lobe *lobe = &page->handover->axes[axis].lobe;
    char text[WORDS_SIZE] = "";

    text_append(text, sizeof text, "%s", axis_word(axis));
    text_capitalise(text);
    if (lobe->known) {
        text_append(text, sizeof text, ", %s", _(by[lobe->by]));
        if (lobe->read > lobe->count) {
            text_append(text, sizeof text, _("; %d of %d readings drawn"), lobe->count, lobe->read);
        }
    }
    paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, x, y, width, 1, text);
}

static void put_legend(struct page *page, double x, double y, double width)
{
    double middle = y + 0.5 * paper_line_height(page->paper, STYLE_SMALL);

    paper_reading(page->paper, PEN_DARK, x + 3.0, middle, 1);
    paper_reading(page->paper, PEN_DARK, x + 10.0, middle, -1);
    paper_reading(page->paper, PEN_DARK, x + 17.0, middle, 0);
    paper_text(page->paper, STYLE_SMALL, PEN_SOFT, ALIGN_LEFT, x + 22.0, y, width - 22.0, 1,
               _("read while turned to growing, to falling angle, standing still.  Curve: the fit, "
                 "dashed where nothing was read.  Upright: centre.  Wedge: left there."));
}

bool page_has_lobes(const struct handover *handover)
{
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        if (handover->axes[axis].lobe.known && handover->axes[axis].lobe.count > 0) {
            return true;
        }
    }
    return false;
}

void page_lobes(struct page *page, struct paper_box box)
{
    double line = paper_line_height(page->paper, STYLE_SMALL);
    double width = (box.width - (AXIS_COUNT - 1) * between) / AXIS_COUNT;
    double heading = table_heading(page->paper, box.x, box.y, box.width, _("Lobes"));
    bool any = page_has_lobes(page->handover);
    struct paper_box graph = {box.x, box.y + heading + line, width,
                              box.height - heading -
                                  (any ? (2 + CAPTION_LINES) * line + 2.0 : line)};

    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        const struct handover_lobe *lobe = &page->handover->axes[axis].lobe;
        char caption[WORDS_SIZE];
        put_title(page, (enum axis)axis, graph.x, box.y + heading, width);
        if (lobe->known && lobe->count > 0) {
            put_graph(page, (enum axis)axis, graph);
            put_caption(page, (enum axis)axis, caption);
            paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, graph.x,
                       graph.y + graph.height, width, CAPTION_LINES, caption);
        } else {
            put_none(page, (enum axis)axis, graph);
        }
        graph.x += width + between;
    }
    if (any) {
        put_legend(page, box.x, box.y + box.height - line, box.width);
    }
}
