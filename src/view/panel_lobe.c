/*
 * panel_lobe.c - the level over the angle of the axis that is being turned: readings of both ways,
 * the curve through them, its middle and how sure that is.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/ticks.h"
#include "base/tongue.h"
#include "view/axes.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, CURVE_POINTS = 256, LEAST_ROWS = 5 };

static const double least_span_deg = 0.5;

/* "azimuth: centre 163.27 deg +/- 0.03, -3 dB width 2.4 deg" */
static void describe(const struct history *history, char text[LINE_SIZE])
{
    const struct lobe_fit *fit = &history->lobe.fit;
    const char *axis = axis_word(history->lobe.axis);

    text[0] = '\0';
    if (!history->lobe.fitted) {
        text_append(text, LINE_SIZE, _("%s: no top to be seen yet"), axis);
        return;
    }
    if (history->lobe.rough) {
        text_append(text, LINE_SIZE, _("%s: top near %.1f°, in motion"), axis, fit->centre_deg);
        return;
    }
    if (isfinite(fit->centre_error_deg)) {
        text_append(text, LINE_SIZE, _("%s: centre %.2f° ± %.2f°"), axis, fit->centre_deg,
                    fit->centre_error_deg);
    } else {
        text_append(text, LINE_SIZE, _("%s: centre %.2f°"), axis, fit->centre_deg);
    }
    if (!fit->bracket) {
        text_append(text, LINE_SIZE, _(", -3 dB width %.2f°"), fit->width_deg);
    }
    if (!fit->left_reached || !fit->right_reached) {
        text_append(text, LINE_SIZE, "; %s",
                    fit->left_reached    ? _("not yet past it to growing angle")
                    : fit->right_reached ? _("not yet past it to falling angle")
                                         : _("hardly turned yet"));
    }
}

/*
 * The edges of what is drawn: all readings; once there is a top, its neighbourhood and where the
 * antenna stands.
 */
static double set_edges(const struct panel_view *view, struct graph *graph)
{
    const struct history *history = view->history;
    double left = INFINITY, right = -INFINITY, low = INFINITY, high = -INFINITY, middle, step;
    int way;

    for (size_t i = 0; i < history->lobe.count; i++) {
        struct lobe_reading reading = history_reading(history, i, &way);
        if (history->lobe.fitted && i + 1 < history->lobe.count &&
            fabs(reading.x_deg - history->lobe.fit.centre_deg) > history->lobe.fit.width_deg) {
            continue;
        }
        left = fmin(left, reading.x_deg);
        right = fmax(right, reading.x_deg);
        low = fmin(low, reading.level);
        high = fmax(high, reading.level);
    }
    if (history->lobe.fitted) {
        const struct lobe_fit *fit = &history->lobe.fit;
        left = fmin(left, fit->centre_deg - 0.5 * fit->width_deg);
        right = fmax(right, fit->centre_deg + 0.5 * fit->width_deg);
        high = fmax(high, fit->peak);
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

static void put_centre(const struct pane *pane, const struct graph *graph,
                       const struct lobe_fit *fit)
{
    static const uint32_t lines[] = {
        [GLYPHS_ASCII] = '|', [GLYPHS_BLOCKS] = 0x2502, [GLYPHS_FULL] = 0x250a};
    int col = graph_col(graph, fit->centre_deg);

    for (int row = 0; row < graph->rows && col >= 0 && col < graph->cols; row++) {
        pane_cell(pane, row, AXES_LABEL_COLS + col, INK_BEST, lines[graph->glyphs]);
    }
}

static void put_curve(const struct pane *pane, const struct panel_view *view,
                      const struct graph *graph)
{
    const struct lobe_fit *fit = &view->history->lobe.fit;
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

/* A reading is a sign that points where the hand went; both ways in one place are an x. */
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

void panel_lobe(const struct pane *pane, const struct panel_view *view)
{
    const struct history *history = view->history;
    struct graph graph = {.rows = pane->rows - 2,
                          .cols = pane->cols - AXES_LABEL_COLS - 1,
                          .gap = INFINITY,
                          .glyphs = pane->sheet->glyphs};
    struct pane below = pane_part(pane, 1, 0, pane->rows - 1, pane->cols);
    char text[LINE_SIZE];

    if (pane->rows < LEAST_ROWS || graph.cols < AXES_TICK_COLS) {
        pane_put(pane, 0, 1, INK_FAINT, _("The window is too small for this graph."));
        return;
    }
    if (history->lobe.count == 0) {
        pane_put(pane, 0, 1, INK_FAINT,
                 _("The level over the angle shows here once both are known."));
        return;
    }
    describe(history, text);
    pane_put(pane, 0, 1, INK_STRONG, text);
    axes_put_levels(&below, &graph, set_edges(view, &graph));
    if (history->lobe.fitted) {
        put_centre(&below, &graph, &history->lobe.fit);
        put_curve(&below, view, &graph);
    }
    put_readings(&below, history, &graph);
    pane_print(&below, graph.rows, 0, INK_FAINT, "%*s", AXES_LABEL_COLS - 1,
               level_unit_symbol(view->scene->state->level.unit, true));
    axes_put_angles(&below, graph.rows, &graph);
}
