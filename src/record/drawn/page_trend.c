/* page_trend.c - the level over the whole job: when steps began, the best, what was expected. */
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/chart.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"

enum { MARK_ROWS = 3 };

static void find_range(const struct handover *h, double *ret_low, double *ret_high)
{
    for (int i = 0; i < h->trend.count; i++) {
        const struct handover_piece *piece = &h->trend.pieces[i];
        *ret_low = fmin(*ret_low, piece->low);
        *ret_high = fmax(*ret_high, piece->high);
    }
    if (*ret_low <= *ret_high) {
        *ret_high = fmax(*ret_high, fmax(h->level.best, h->level.expected));
        *ret_low = fmin(*ret_low, fmin(h->level.best, h->level.expected));
    }
}

/* Where readings were: an upright bar from the lowest to the highest of each piece. */
static void put_band(struct page *page, const struct chart *chart)
{
    const struct handover_trend *trend = &page->handover->trend;

    for (int i = 0; i < trend->count; i++) {
        double low = chart_y(chart, trend->pieces[i].low);
        double high = chart_y(chart, trend->pieces[i].high);
        double left = chart_x(chart, i * trend->piece_s);
        double right = chart_x(chart, (i + 1) * trend->piece_s);
        if (isfinite(low) && isfinite(high)) {
            paper_fill(page->paper, 0.8,
                       (struct paper_box){left, high, right - left, fmax(low - high, 0.5)});
        }
    }
}

static void put_filtered(struct page *page, const struct chart *chart)
{
    const struct handover_trend *trend = &page->handover->trend;
    struct paper_point points[HANDOVER_TREND];

    for (int i = 0; i < trend->count; i++) {
        bool read = isfinite(trend->pieces[i].low);
        points[i].x = chart_x(chart, (i + 0.5) * trend->piece_s);
        points[i].y = read ? chart_y(chart, trend->pieces[i].filtered) : NAN;
    }
    paper_curve(page->paper, PEN_DARK, 0.7, false, chart->box, points, (size_t)trend->count);
}

/* A line at a level; its name and value stand above the graph, behind a piece of the same line. */
static double put_level_line(struct page *page, const struct chart *chart, double level,
                             bool dashed, const char *name, double right)
{
    static const double sample = 14.0;
    double line = paper_line_height(page->paper, STYLE_SMALL), y = chart_y(chart, level), width;
    double edge = chart->box.x + chart->box.width;
    char text[WORDS_SIZE], value[WORDS_SIZE];

    if (!isfinite(level)) {
        return right;
    }
    paper_line(page->paper, PEN_ACCENT, 0.7, dashed, chart->box.x, y, edge, y);
    snprintf(text, sizeof text, "%s %.80s", name,
             words_level(value, level, page->handover->level.unit));
    width = paper_text_width(page->paper, STYLE_SMALL, text) + 2.0;
    y = chart->box.y - line - 3.0;
    paper_text(page->paper, STYLE_SMALL, PEN_ACCENT, ALIGN_LEFT, right - width, y, width + 2.0, 1,
               text);
    right -= width + sample + 2.0;
    paper_line(page->paper, PEN_ACCENT, 0.7, dashed, right, y + 0.55 * line, right + sample,
               y + 0.55 * line);
    return right - 10.0;
}

/* A step's number beside the upright where it began; lower where the row above is taken. */
static void put_marks(struct page *page, const struct chart *chart)
{
    const struct handover_trend *trend = &page->handover->trend;
    double line = paper_line_height(page->paper, STYLE_SMALL), taken[MARK_ROWS];
    double bottom = chart->box.y + chart->box.height;

    for (int row = 0; row < MARK_ROWS; row++) {
        taken[row] = chart->box.x;
    }
    for (int i = 0; i < trend->mark_count; i++) {
        double x = chart_x(chart, trend->marks[i].t), width;
        char text[16];
        int row = 0;
        snprintf(text, sizeof text, "%d", trend->marks[i].step + 1);
        width = paper_text_width(page->paper, STYLE_SMALL, text) + 2.0;
        paper_line(page->paper, PEN_SOFT, 0.35, false, x, chart->box.y, x, bottom);
        x = fmin(x, chart->box.x + chart->box.width - width - 1.0);
        while (row < MARK_ROWS && x < taken[row]) {
            row++;
        }
        if (row < MARK_ROWS) {
            paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, x + 1.0,
                       bottom - (MARK_ROWS - row) * line, width + 4.0, 1, text);
            taken[row] = x + width;
        }
    }
}

static void set_time(const struct handover *h, struct chart *chart)
{
    bool hours = h->duration_s > 3.0 * 3600.0, minutes = h->duration_s > 180.0;

    chart_set_unit(chart,
                   hours     ? 3600.0
                   : minutes ? 60.0
                             : 1.0,
                   hours     ? _(" h")
                   : minutes ? _(" min")
                             : _(" s"));
}

static void put_heading(struct page *page, struct paper_box box, double *ret_height)
{
    const struct handover *h = page->handover;
    char text[WORDS_SIZE], when[WORDS_SIZE];

    text_copy(text, sizeof text, _("The whole job, with the numbers of its steps"));
    if (isfinite(h->begun_utc_s)) {
        text_append(text, sizeof text, _("; it began at %s UTC"), words_time(when, h, 0.0));
    }
    *ret_height = table_heading(page->paper, box.x, box.y, box.width, text);
}

bool page_has_trend(const struct handover *handover)
{
    double low = INFINITY, high = -INFINITY;

    find_range(handover, &low, &high);
    return low <= high && handover->trend.count > 0 && handover->trend.piece_s > 0.0;
}

void page_trend(struct page *page, struct paper_box box)
{
    const struct handover *h = page->handover;
    double low = INFINITY, high = -INFINITY, end = h->trend.count * h->trend.piece_s, heading,
           right;
    struct chart chart;

    put_heading(page, box, &heading);
    box.y += heading;
    box.height -= heading;
    if (!page_has_trend(h)) {
        chart_put_none(page->paper, box, _("Not measured: the log has no levels."));
        return;
    }
    find_range(h, &low, &high);
    chart_set(&chart, page->paper, box, 0.0, end, low, high, 2.0);
    set_time(h, &chart);
    chart.up_title = level_unit_symbol(h->level.unit, true);
    put_band(page, &chart);
    chart_put_frame(&chart, page->paper);
    put_marks(page, &chart);
    put_filtered(page, &chart);
    right =
        put_level_line(page, &chart, h->level.best, true, _("best"), chart.box.x + chart.box.width);
    put_level_line(page, &chart, h->level.expected, false, _("expected"), right);
}
