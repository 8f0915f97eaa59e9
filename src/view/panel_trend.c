/*
 * panel_trend.c - the filtered level over time, with the line of the best so far; in a replay what
 * is ahead, too, dimmed behind a line.
 */
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
/* What is ahead gets so much of the width. */
static const double ahead_share = 0.3;

static void widen(double y, double *low, double *high)
{
    if (isfinite(y)) {
        *low = fmin(*low, y);
        *high = fmax(*high, y);
    }
}

/* Whether the state's trend goes back so far, or to the beginning. */
static bool reaches(const struct state *state, double left)
{
    return state->trend_count < STATE_TREND || state_trend_at(state, 0)->t <= left;
}

/*
 * The points of the window, oldest first, with one before it so that the line enters from the left:
 * every reading, or the newest of each second where there were more than are kept.
 */
static size_t gather(const struct panel_view *view, double left, struct graph_point *points,
                     double *ret_low, double *ret_high)
{
    const struct state *state = view->scene->state;
    const struct history *history = view->scene->history;
    bool whole = reaches(state, left);
    size_t count = whole ? state->trend_count : history->level_count, n = 0;

    *ret_low = INFINITY;
    *ret_high = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        struct graph_point at = whole ? (struct graph_point){state_trend_at(state, i)->t,
                                                             state_trend_at(state, i)->filtered}
                                      : (struct graph_point){history_level(history, i)->t,
                                                             history_level(history, i)->filtered};
        if (at.x < left) {
            points[0] = at;
            n = 1;
            continue;
        }
        points[n++] = at;
        widen(at.y, ret_low, ret_high);
    }
    return n;
}

/* Under the graph: how long ago or ahead, at round times. */
static void put_times(const struct pane *pane, int row, const struct graph *graph, double now)
{
    double span = graph->right - graph->left;
    bool minutes = span > 200.0;
    double unit = minutes ? 60.0 : 1.0;
    double step = unit * ticks_round_step(span / unit, graph->cols / AXES_TICK_COLS);

    for (double off = -step * floor((graph->right - now) / step); off < span; off += step) {
        int col = graph_col(graph, now - off);
        char text[FIGURES_SIZE];
        if (off == 0.0) {
            snprintf(text, sizeof text, "%s", _("now"));
        } else {
            snprintf(text, sizeof text, minutes ? "%+g min" : "%+g s", -off / unit);
        }
        col = AXES_LABEL_COLS + (col >= graph->cols ? graph->cols - 1 : col);
        col -= pane_columns(pane, text) - 1;
        if (col >= AXES_LABEL_COLS) {
            pane_put(pane, row, col, INK_FAINT, text);
        }
    }
}

/* What is ahead as points, as far as the window goes. */
static size_t gather_ahead(const struct timeline *timeline, double now, double right,
                           struct graph_point *points, size_t room, double *ret_low,
                           double *ret_high)
{
    size_t n = 0, first = 0, last = timeline->level_count;

    while (first < last) {
        size_t middle = first + (last - first) / 2;
        if (timeline->levels[middle].t <= now) {
            first = middle + 1;
        } else {
            last = middle;
        }
    }
    for (size_t i = first; i < timeline->level_count && timeline->levels[i].t <= right && n < room;
         i++) {
        double y = (double)timeline->levels[i].filtered;
        points[n++] = (struct graph_point){.x = timeline->levels[i].t, .y = y};
        widen(y, ret_low, ret_high);
    }
    return n;
}

/* The line between what was and what is to come. */
static void put_now(const struct pane *pane, const struct graph *graph, double now)
{
    static const uint32_t lines[] = {
        [GLYPHS_ASCII] = '|', [GLYPHS_BLOCKS] = 0x2502, [GLYPHS_FULL] = 0x2502};
    int col = graph_col(graph, now) + 1;

    for (int row = 0; row < graph->rows && col < graph->cols; row++) {
        pane_cell(pane, row, AXES_LABEL_COLS + col, INK_STRONG, lines[graph->glyphs]);
    }
    if (graph->cols - col > 8 && graph->rows > 2) {
        pane_put(pane, 0, AXES_LABEL_COLS + col + 2, INK_FAINT, _("ahead"));
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
                     const struct graph_point *points, size_t n, double now)
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
        put_gap(pane, graph, last, now);
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

/* True when a replay shows what is to come, and something is. */
static bool looks_ahead(const struct panel_view *view)
{
    const struct face_scene *scene = view->scene;

    return scene->timeline && scene->covered == view->keyboard->turn_ahead &&
           scene->timeline->end_t > view->t;
}

/* Levels and times for the window; the points of what was. */
static size_t set_window(const struct panel_view *view, struct graph *graph, double *ret_step)
{
    const struct state *state = view->scene->state;
    double window = keyboard_windows_s[view->keyboard->zoom], cell_s = window / graph->cols;
    double low, high, ahead = looks_ahead(view) ? ahead_share * window : 0.0;
    size_t n;

    /* moves on by whole cells: a screen far away need not be drawn anew for less */
    graph->right = ceil((view->t + ahead) / cell_s) * cell_s;
    graph->left = graph->right - window;
    n = gather(view, graph->left, view->points, &low, &high);
    if (ahead > 0.0) {
        gather_ahead(view->scene->timeline, view->t, graph->right, view->points + n,
                     STATE_TREND - n, &low, &high);
    }
    if (isfinite(state->level.best)) {
        high = fmax(high, state->level.best);
        low = fmin(low, state->level.best);
    }
    ticks_round_edges(low, high, axes_least_span(state), axes_level_ticks(graph->rows), &graph->low,
                      &graph->high, ret_step);
    return n;
}

/* Drawn first: what was goes over it. */
static void put_ahead(const struct pane *pane, const struct panel_view *view,
                      const struct graph *graph, size_t used)
{
    double low = INFINITY, high = -INFINITY;
    size_t n = gather_ahead(view->scene->timeline, view->t, graph->right, view->points + used,
                            STATE_TREND - used, &low, &high);

    graph_trace(graph, view->points + used, n, view->codes);
    axes_put_codes(pane, graph, INK_FAINT, view->codes);
    put_now(pane, graph, view->t);
}

void panel_trend(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    struct graph graph = {.rows = pane->rows >= TICK_ROWS ? pane->rows - 1 : pane->rows,
                          .cols = pane->cols - AXES_LABEL_COLS - 1,
                          .gap = gap_s,
                          .glyphs = pane->sheet->glyphs};
    double step;
    int best_row;
    size_t n;

    if (graph.cols < AXES_TICK_COLS || graph.rows < 1) {
        return;
    }
    if (state->trend_count == 0) {
        pane_put(pane, 0, 1, INK_FAINT, _("The level over time shows here once a meter speaks."));
        return;
    }
    n = set_window(view, &graph, &step);
    axes_put_levels(pane, &graph, step);
    best_row = isfinite(state->level.best) ? graph_row(&graph, state->level.best) : -1;
    if (best_row >= 0) {
        put_best_line(pane, &graph, best_row);
    }
    put_steps(pane, &graph, view->scene->history);
    put_noise(pane, &graph, view->points, n, level_filter_noise(&state->level.filter));
    if (looks_ahead(view)) {
        put_ahead(pane, view, &graph, n);
    }
    graph_trace(&graph, view->points, n, view->codes);
    axes_put_codes(pane, &graph, INK_TRACE, view->codes);
    put_gaps(pane, &graph, view->points, n, view->t);
    if (best_row >= 0) {
        put_best_label(pane, best_row, state);
    }
    if (graph.rows < pane->rows) {
        axes_put_unit(pane, graph.rows, state);
        put_times(pane, graph.rows, &graph, looks_ahead(view) ? view->t : graph.right);
        put_marks(pane, graph.rows, &graph, state);
    }
}
