/*
 * panel_lobe.c - the level over the angle of the axis that is being turned: readings of both ways,
 * and what the coach makes of them: the curve, its middle and how sure that is.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/ticks.h"
#include "base/tongue.h"
#include "view/axes.h"
#include "view/figures.h"
#include "view/found.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, CURVE_POINTS = 256, LEAST_ROWS = 5 };

static const double least_span_deg = 0.5;
/* Where the coach goes is said where it is not the centre, as far as two decimals show it. */
static const double least_aside_deg = 0.01;

/* The top as the coach has it. */
struct top {
    bool known;   /* it has one */
    bool curve;   /* from a curve through its readings; else only the place is known */
    double x;     /* where it goes; NaN = not yet known */
    double width; /* of the lobe, for what is drawn; NaN = not known */
    const struct lobe_fit *fit;
};

static struct top top_of(const struct peak *peak)
{
    struct top top = {.x = NAN, .width = NAN};

    if (peak) {
        top.known = found_top(peak);
        top.curve = top.known && peak->fit.used > 0;
        top.x = top.known ? peak->centre_x : NAN;
        top.width = top.curve ? peak->fit.width_deg : peak->width_deg;
        top.fit = &peak->fit;
    }
    return top;
}

/* What the coach does until it knows the top. */
static void describe_work(const struct peak *peak, const char *axis, char text[LINE_SIZE])
{
    if (peak->phase == PEAK_RUNUP) {
        text_append(text, LINE_SIZE, _("%s: on the way to where it is read"), axis);
    } else if (peak->passes) {
        text_append(text, LINE_SIZE, _("%s: over the top and back, %d readings"), axis,
                    peak->count);
    } else {
        text_append(text, LINE_SIZE,
                    tongue_say_count("%s: read at %d place", "%s: read at %d places",
                                     (unsigned long)peak->count),
                    axis, peak->count);
    }
    if (peak->round > 0) {
        text_append(text, LINE_SIZE, "%s", _(", once more"));
    }
}

/* "azimuth: centre 163.27 deg +/- 0.03, top 13.0 dB, -3 dB width 2.4 deg" */
static void describe_top(const struct peak *peak, const struct state *state, const char *axis,
                         char text[LINE_SIZE])
{
    const struct lobe_fit *fit = &peak->fit;
    char level[FIGURES_SIZE];

    if (fit->used == 0) {
        text_append(text, LINE_SIZE,
                    peak->count == 0 ? _("%s: the middle of both cuts is at %.2f°")
                                     : _("%s: no curve fits; the highest level was at %.2f°"),
                    axis, peak->centre_x);
        return;
    }
    if (isfinite(fit->centre_error_deg)) {
        text_append(text, LINE_SIZE, _("%s: centre %.2f° ± %.2f°"), axis, fit->centre_deg,
                    fit->centre_error_deg);
    } else {
        text_append(text, LINE_SIZE, _("%s: centre %.2f°"), axis, fit->centre_deg);
    }
    figures_level(level, fit->peak, state->level.unit);
    text_append(text, LINE_SIZE, _(", top %s"), level);
    if (fabs(peak->centre_x - fit->centre_deg) >= least_aside_deg) {
        text_append(text, LINE_SIZE, _("; on to %.2f°"), peak->centre_x);
    }
    if (!fit->bracket) {
        text_append(text, LINE_SIZE, _(", -3 dB width %.2f°"), fit->width_deg);
    }
}

static void describe(const struct panel_view *view, const struct peak *peak, char text[LINE_SIZE])
{
    const char *axis = axis_word(view->scene->history->lobe.axis);

    text[0] = '\0';
    if (!peak) {
        text_append(text, LINE_SIZE, _("%s: the level where it was turned"), axis);
    } else if (!found_top(peak)) {
        describe_work(peak, axis, text);
    } else {
        describe_top(peak, view->scene->state, axis, text);
    }
}

/*
 * The edges of what is drawn: all readings; once there is a top, its neighbourhood and where the
 * antenna stands.
 */
static double set_edges(const struct panel_view *view, const struct top *top, struct graph *graph)
{
    const struct history *history = view->scene->history;
    double left = INFINITY, right = -INFINITY, low = INFINITY, high = -INFINITY, middle, step;
    int way;

    for (size_t i = 0; i < history->lobe.count; i++) {
        struct lobe_reading reading = history_reading(history, i, &way);
        if (i + 1 < history->lobe.count && fabs(reading.x_deg - top->x) > top->width) {
            continue;
        }
        left = fmin(left, reading.x_deg);
        right = fmax(right, reading.x_deg);
        low = fmin(low, reading.level);
        high = fmax(high, reading.level);
    }
    if (top->known) {
        left = fmin(left, top->x - 0.5 * top->width);
        right = fmax(right, top->x + 0.5 * top->width);
        high = top->curve ? fmax(high, top->fit->peak) : high;
    }
    middle = 0.5 * (left + right);
    graph->left = fmin(left, middle - 0.5 * least_span_deg);
    graph->right = fmax(right, middle + 0.5 * least_span_deg);
    graph->left -= 0.02 * (graph->right - graph->left);
    graph->right += 0.02 * (graph->right - graph->left);
    ticks_round_edges(low, high, axes_least_span(view->scene->state), axes_level_ticks(graph->rows),
                      &graph->low, &graph->high, &step);
    return step;
}

static void put_centre(const struct pane *pane, const struct graph *graph, double x)
{
    static const uint32_t lines[] = {
        [GLYPHS_ASCII] = '|', [GLYPHS_BLOCKS] = 0x2502, [GLYPHS_FULL] = 0x250a};
    int col = graph_col(graph, x);

    for (int row = 0; row < graph->rows && col >= 0 && col < graph->cols; row++) {
        pane_cell(pane, row, AXES_LABEL_COLS + col, INK_BEST, lines[graph->glyphs]);
    }
}

static void put_curve(const struct pane *pane, const struct panel_view *view,
                      const struct graph *graph, const struct lobe_fit *fit)
{
    struct graph_point *points = view->points;

    if (fit->bracket) {
        return; /* only the middle is known, no curve */
    }
    for (int i = 0; i < CURVE_POINTS; i++) {
        double x = graph->left + (graph->right - graph->left) * i / (CURVE_POINTS - 1);
        double off = (x - fit->centre_deg) / fit->width_deg;
        points[i] = (struct graph_point){.x = x, .y = fit->peak - 12.0 * off * off};
        if (fabs(off) > 0.75) {
            points[i].y = NAN; /* the parabola is the top's alone */
        }
    }
    graph_trace(graph, points, CURVE_POINTS, view->codes);
    axes_put_codes(pane, graph, INK_BEST, view->codes);
}

/* A reading is a sign that points where the hand went; the newest goes over the others. */
static void put_readings(const struct pane *pane, const struct history *history,
                         const struct graph *graph)
{
    static const char signs[] = {'<', 'o', '>'};

    for (size_t i = 0; i < history->lobe.count; i++) {
        int way;
        struct lobe_reading reading = history_reading(history, i, &way);
        int row = graph_row(graph, reading.level), col = graph_col(graph, reading.x_deg);
        if (row >= 0 && row < graph->rows && col >= 0 && col < graph->cols) {
            bool newest = i + 1 == history->lobe.count;
            pane_cell(pane, row, AXES_LABEL_COLS + col, newest ? INK_STRONG : INK_PLAIN,
                      newest ? '@' : (uint32_t)signs[way + 1]);
        }
    }
}

static void put_graph(const struct pane *pane, const struct panel_view *view, struct graph *graph)
{
    struct top top = top_of(found_peak(view->scene));

    axes_put_levels(pane, graph, set_edges(view, &top, graph));
    if (top.known) {
        put_centre(pane, graph, top.x);
    }
    if (top.curve) {
        put_curve(pane, view, graph, top.fit);
    }
    put_readings(pane, view->scene->history, graph);
    axes_put_unit(pane, graph->rows, view->scene->state);
    axes_put_angles(pane, graph->rows, graph);
}

void panel_lobe(const struct pane *pane, const struct panel_view *view)
{
    struct pane words = pane_part(pane, 0, 1, pane->rows, pane->cols - 1), below;
    struct graph graph = {
        .cols = pane->cols - AXES_LABEL_COLS - 1, .gap = INFINITY, .glyphs = pane->sheet->glyphs};
    bool fits = pane->rows >= LEAST_ROWS && graph.cols >= AXES_TICK_COLS;
    char text[LINE_SIZE];
    int used;

    if (view->scene->history->lobe.count == 0) {
        pane_put(pane, 0, 1, INK_FAINT,
                 _("The level over the angle shows here once both are known."));
        return;
    }
    describe(view, found_peak(view->scene), text);
    /* the graph gives way to no more than two rows of words */
    used = pane_wrap(&words, 0,
                     !fits                     ? pane->rows
                     : pane->rows > LEAST_ROWS ? 2
                                               : 1,
                     INK_STRONG, text);
    if (!fits) {
        pane_put(pane, used, 1, INK_FAINT, _("The window is too small for this graph."));
        return;
    }
    below = pane_part(pane, used, 0, pane->rows - used, pane->cols);
    graph.rows = below.rows - 1;
    put_graph(&below, view, &graph);
}
