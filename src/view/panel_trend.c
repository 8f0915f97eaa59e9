/* panel_trend.c - the filtered level over time, with the line of the best so far. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/ticks.h"
#include "base/tongue.h"
#include "view/axes.h"
#include "view/figures.h"
#include "view/panel.h"

enum { TICK_ROWS = 3 };

/* Readings further apart are not joined. */
static const double gap_s = 5.0;

/* The points of the window, oldest first, with one before it so that the line enters from the left.
 */
static size_t gather(const struct state *state, double left, struct graph_point *points,
                     double *ret_low, double *ret_high)
{
    size_t n = 0, i = state->trend_count;

    *ret_low = INFINITY;
    *ret_high = -INFINITY;
    while (i > 0 && state_trend_at(state, i - 1)->t >= left) {
        i--;
    }
    for (i = i > 0 ? i - 1 : 0; i < state->trend_count; i++) {
        const struct state_trend *at = state_trend_at(state, i);
        points[n++] = (struct graph_point){.x = at->t, .y = at->filtered};
        if (isfinite(at->filtered) && at->t >= left) {
            *ret_low = fmin(*ret_low, at->filtered);
            *ret_high = fmax(*ret_high, at->filtered);
        }
    }
    return n;
}

/* Under the graph: how long ago, at round times. */
static void put_times(const struct pane *pane, int row, const struct graph *graph, double now)
{
    double span = graph->right - graph->left;
    bool minutes = span > 200.0;
    double unit = minutes ? 60.0 : 1.0;
    double step = unit * ticks_round_step(span / unit, graph->cols / AXES_TICK_COLS);

    for (double ago = 0.0; ago < span && step > 0.0; ago += step) {
        int col = graph_col(graph, now - ago);
        char text[FIGURES_SIZE];
        if (ago > 0.0) {
            snprintf(text, sizeof text, minutes ? "-%g min" : "-%g s", ago / unit);
        } else {
            snprintf(text, sizeof text, "%s", _("now"));
        }
        col = AXES_LABEL_COLS + (col >= graph->cols ? graph->cols - 1 : col);
        col -= pane_columns(pane, text) - 1;
        if (col >= AXES_LABEL_COLS) {
            pane_put(pane, row, col, INK_FAINT, text);
        }
    }
}

/* Dashes where nothing else is. */
static void put_best_line(const struct pane *pane, const struct graph *graph, int row)
{
    uint32_t dash = graph->glyphs == GLYPHS_FULL ? 0x2504 : '-';

    for (int col = 0; col < graph->cols; col++) {
        pane_cell(pane, row, AXES_LABEL_COLS + col, INK_BEST, dash);
    }
}

static void put_best_label(const struct pane *pane, int row, const struct state *state)
{
    char number[FIGURES_SIZE], text[FIGURES_SIZE + 8];

    figures_level_number(number, state->level.best, state->level.unit);
    snprintf(text, sizeof text, _(" best %s "), number);
    pane_put(pane, row, AXES_LABEL_COLS + 2, INK_BEST, text);
}

/* Where steps began: a line and the step's number, where there is room for it. */
static void put_steps(const struct pane *pane, const struct graph *graph,
                      const struct history *history)
{
    static const uint32_t lines[] = {
        [GLYPHS_ASCII] = '|', [GLYPHS_BLOCKS] = 0x2502, [GLYPHS_FULL] = 0x250a};
    int free_col = 0;

    for (size_t i = 0; i < history->step_count; i++) {
        int col = graph_col(graph, history->steps[i].t);
        char text[FIGURES_SIZE];
        snprintf(text, sizeof text, "%d", history->steps[i].number);
        if (col < free_col || col + (int)strlen(text) >= graph->cols) {
            continue;
        }
        for (int row = 0; row < graph->rows; row++) {
            pane_cell(pane, row, AXES_LABEL_COLS + col, INK_FAINT, lines[graph->glyphs]);
        }
        pane_put(pane, 0, AXES_LABEL_COLS + col + 1, INK_FAINT, text);
        free_col = col + (int)strlen(text) + 2;
    }
}

/* One reading is this likely off the filtered level: a band where a row is less than that. */
static void put_noise(const struct pane *pane, const struct graph *graph,
                      const struct graph_point *points, size_t n, double noise)
{
    uint32_t dot = graph->glyphs == GLYPHS_ASCII ? '~' : 0x00b7;

    for (size_t i = 0; i < n && isfinite(noise); i++) {
        int col = graph_col(graph, points[i].x);
        int top = graph_row(graph, points[i].y + noise);
        int bottom = graph_row(graph, points[i].y - noise);
        if (col < 0 || col >= graph->cols || isnan(points[i].y) || bottom - top < 2) {
            continue;
        }
        for (int row = top < 0 ? 0 : top; row <= bottom && row < graph->rows; row++) {
            pane_cell(pane, row, AXES_LABEL_COLS + col, INK_FAINT, dot);
        }
    }
}

/* What is missing is said to be: a gap between two times, where there is room to say so. */
static void put_gap(const struct pane *pane, const struct graph *graph, double from, double to)
{
    const char *text = _("no level");
    int first = graph_col(graph, fmax(from, graph->left)) + 1;
    int last = graph_col(graph, fmin(to, graph->right)) - 1;
    int room = last - first + 1 - pane_columns(pane, text);

    if (to - from > gap_s && room >= 2) {
        pane_put(pane, graph->rows / 2, AXES_LABEL_COLS + first + room / 2, INK_WARN, text);
    }
}

static void put_gaps(const struct pane *pane, const struct graph *graph,
                     const struct graph_point *points, size_t n)
{
    double last = NAN;

    for (size_t i = 0; i < n; i++) {
        if (isfinite(points[i].y)) {
            if (isfinite(last)) {
                put_gap(pane, graph, last, points[i].x);
            }
            last = points[i].x;
        }
    }
    if (isfinite(last)) {
        put_gap(pane, graph, last, graph->right);
    }
}

/* Where the operator set marks, on the line of times. */
static void put_marks(const struct pane *pane, int row, const struct graph *graph,
                      const struct state *state)
{
    for (size_t i = 0; i < state->note_count; i++) {
        int col = graph_col(graph, state->notes[i].t);
        if (state->notes[i].mark && col >= 0 && col < graph->cols) {
            pane_cell(pane, row, AXES_LABEL_COLS + col, INK_KEY, '^');
        }
    }
}

void panel_trend(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    double window = keyboard_windows_s[view->keyboard->zoom], low, high, step;
    struct graph graph = {.rows = pane->rows >= TICK_ROWS ? pane->rows - 1 : pane->rows,
                          .cols = pane->cols - AXES_LABEL_COLS - 1,
                          .gap = gap_s,
                          .glyphs = pane->sheet->glyphs};
    double cell_s;
    int best_row;
    size_t n;

    if (graph.cols < AXES_TICK_COLS || graph.rows < 1) {
        return;
    }
    if (state->trend_count == 0) {
        pane_put(pane, 0, 1, INK_FAINT, _("The level over time shows here once a meter speaks."));
        return;
    }
    /* moves on by whole cells: a screen far away need not be drawn anew for less */
    cell_s = window / graph.cols;
    graph.right = ceil(view->t / cell_s) * cell_s;
    graph.left = graph.right - window;
    n = gather(state, graph.left, view->points, &low, &high);
    if (isfinite(state->level.best)) {
        high = fmax(high, state->level.best);
        low = fmin(low, state->level.best);
    }
    ticks_round_edges(low, high, axes_least_span(state), axes_level_ticks(graph.rows), &graph.low,
                      &graph.high, &step);
    axes_put_levels(pane, &graph, step);
    best_row = isfinite(state->level.best) ? graph_row(&graph, state->level.best) : -1;
    if (best_row >= 0) {
        put_best_line(pane, &graph, best_row);
    }
    put_steps(pane, &graph, view->history);
    put_noise(pane, &graph, view->points, n, level_filter_noise(&state->level.filter));
    graph_trace(&graph, view->points, n, view->codes);
    axes_put_codes(pane, &graph, INK_TRACE, view->codes);
    put_gaps(pane, &graph, view->points, n);
    if (best_row >= 0) {
        put_best_label(pane, best_row, state);
    }
    if (graph.rows < pane->rows) {
        pane_print(pane, graph.rows, 0, INK_FAINT, "%*s", AXES_LABEL_COLS - 1,
                   level_unit_symbol(state->level.unit, true));
        put_times(pane, graph.rows, &graph, graph.right);
        put_marks(pane, graph.rows, &graph, state);
    }
}
