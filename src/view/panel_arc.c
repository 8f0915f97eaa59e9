/*
 * panel_arc.c - the satellites along azimuth: where they should be, where the level rose, which
 * tops the coach has met and what it takes them for; and by how much the azimuth is off.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/ticks.h"
#include "base/tongue.h"
#include "sky/angle.h"
#include "view/axes.h"
#include "view/found.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, LEAST_ROWS = 6, FIXED_ROWS = 4, NAME_COLS = 12, LEAST_NAME_COLS = 4 };

static const double margin_deg = 3.0;

/* What satellite i is: 0 the target, then the neighbours. */
static const struct job_satellite *satellite(const struct job *job, size_t i)
{
    return i == 0 ? &job->target.satellite : &job->neighbours[i - 1];
}

/* Its azimuth, as turns from the target's, so that north is no edge; NaN below the horizon. */
static double predicted(const struct state *state, size_t i)
{
    struct look look;

    if (i == 0) {
        return state->target.deg[AXIS_AZIMUTH];
    }
    look =
        look_at_geostationary(&look_earth_wgs84, &state->site, satellite(state->job, i)->lon_deg);
    return look.elevation_deg > 0.0
               ? state->target.deg[AXIS_AZIMUTH] +
                     angle_turn_deg(state->target.deg[AXIS_AZIMUTH], look.azimuth_deg)
               : NAN;
}

static double near_target(const struct state *state, double azimuth)
{
    double target = state->target.deg[AXIS_AZIMUTH];

    return target + angle_turn_deg(target, azimuth);
}

/* An azimuth coordinate of the coach's as an azimuth to be read. */
static double azimuth_of(const struct panel_view *view, const struct arc *arc, double x)
{
    double target = view->scene->state->target.deg[AXIS_AZIMUTH];

    return arc ? target + x - arc->origin_x : x;
}

/* Over so many rows; how many it took. */
static int put_title(const struct pane *pane, const struct panel_view *view, const struct arc *arc,
                     int rows)
{
    struct pane words = pane_part(pane, 0, 1, rows, pane->cols - 1);
    double error, bias = found_bias_deg(view->scene, &error);
    char text[LINE_SIZE] = "";

    if (isfinite(bias) && isfinite(error)) {
        text_append(text, LINE_SIZE,
                    bias < 0.0 ? _("the azimuth reads %.1f° ± %.1f° too low")
                               : _("the azimuth reads %.1f° ± %.1f° too high"),
                    fabs(bias), error);
    } else if (isfinite(bias)) {
        text_append(text, LINE_SIZE,
                    bias < 0.0 ? _("the azimuth reads %.1f° too low")
                               : _("the azimuth reads %.1f° too high"),
                    fabs(bias));
    } else {
        text_append(text, LINE_SIZE, "%s", _("satellites along azimuth"));
    }
    if (arc) {
        text_append(
            text, LINE_SIZE,
            tongue_say_count("; %d top met", "; %d tops met", (unsigned long)arc->top_count),
            arc->top_count);
    }
    if (arc && arc->top_count > 0 && !arc->matched) {
        text_append(text, LINE_SIZE, "%s", _(", they fit nothing"));
    }
    return pane_wrap(&words, 0, rows, INK_STRONG, text);
}

/* Names over their places; one that would touch another is left out, but never the target. */
static void put_predicted(const struct pane *pane, const struct panel_view *view,
                          const struct graph *graph)
{
    const struct state *state = view->scene->state;
    bool taken[SHEET_MOST_COLS] = {false};

    for (size_t i = 0; i <= state->job->neighbour_count; i++) {
        const char *name = i == 0 ? job_target_name(state->job) : satellite(state->job, i)->name;
        int col = graph_col(graph, predicted(state, i)), cols, first;
        bool free = true;
        if (col < 0 || col >= graph->cols) {
            continue;
        }
        cols = pane_columns(pane, name);
        cols = cols > NAME_COLS ? NAME_COLS : cols;
        first = AXES_LABEL_COLS + col - cols / 2;
        first = first < 0 ? 0 : first + cols > pane->cols ? pane->cols - cols : first;
        pane_cell(pane, 2, AXES_LABEL_COLS + col, i == 0 ? INK_STRONG : INK_PLAIN,
                  i == 0 ? 'V' : 'v');
        for (int k = first - 1; k <= first + cols && k >= 0 && k < SHEET_MOST_COLS; k++) {
            free = free && !taken[k];
        }
        if (free) {
            struct pane place = pane_part(pane, 1, first, 1, cols);
            pane_put(&place, 0, 0, i == 0 ? INK_STRONG : INK_PLAIN, name);
            for (int k = first; k < first + cols && k < SHEET_MOST_COLS; k++) {
                taken[k >= 0 ? k : 0] = true;
            }
        }
    }
}

/* The level as it was met at each azimuth. */
static void put_levels(const struct pane *pane, const struct panel_view *view, struct graph *graph)
{
    const struct state *state = view->scene->state;
    double low = INFINITY, high = -INFINITY, step;
    size_t n = 0;

    for (size_t i = 0; i < state->trend_count; i++) {
        const struct state_trend *at = state_trend_at(state, i);
        double x = near_target(state, (double)at->deg[AXIS_AZIMUTH]);
        if (isfinite(at->filtered) && x >= graph->left && x <= graph->right) {
            view->points[n++] = (struct graph_point){.x = x, .y = at->filtered};
            low = fmin(low, at->filtered);
            high = fmax(high, at->filtered);
        }
    }
    if (n == 0) {
        pane_put(pane, graph->rows / 2, AXES_LABEL_COLS + 1, INK_FAINT,
                 _("no level at a known azimuth yet"));
        return;
    }
    ticks_round_edges(low, high, axes_least_span(state), axes_level_ticks(graph->rows), &graph->low,
                      &graph->high, &step);
    graph_trace(graph, view->points, n, view->codes);
    axes_put_levels(pane, graph, step);
    axes_put_codes(pane, graph, INK_TRACE, view->codes);
}

/* What a top is called: as the receiver named it, or what the arc says that it is. */
static const char *name_of(const struct panel_view *view, const struct arc *arc, int top)
{
    return arc->tops[top].id[0] ? arc->tops[top].id : arc_name(arc, view->scene->state->job, top);
}

/* Columns to the right of one that are free of signs. */
static int room_right_of(const struct pane *pane, int row, int col)
{
    int room = 0;

    while (col + 1 + room < pane->cols &&
           pane->sheet->cells[(pane->row + row) * pane->sheet->cols + pane->col + col + 1 + room]
                   .code == ' ') {
        room++;
    }
    return room;
}

static void put_sign(const struct pane *pane, int row, const struct graph *graph, double azimuth,
                     enum ink ink, uint32_t sign)
{
    int col = graph_col(graph, azimuth);

    if (isfinite(azimuth) && col >= 0 && col < graph->cols) {
        pane_cell(pane, row, AXES_LABEL_COLS + col, ink, sign);
    }
}

/* The tops that were met, x where one was refused; where the antenna looks now; then names where
 * there is room. */
static void put_found(const struct pane *pane, int row, const struct panel_view *view,
                      const struct graph *graph, const struct arc *arc)
{
    double now = azimuth_of(view, arc, travel_position(view->scene->state, AXIS_AZIMUTH));

    for (int i = 0; arc && i < arc->top_count; i++) {
        bool refused = arc->tops[i].refused;
        put_sign(pane, row, graph, azimuth_of(view, arc, arc->tops[i].x),
                 refused ? INK_FAINT : INK_GOOD, refused ? 'x' : '^');
    }
    put_sign(pane, row, graph, now, INK_STRONG, '@');
    for (int i = 0; arc && i < arc->top_count; i++) {
        int col = AXES_LABEL_COLS + graph_col(graph, azimuth_of(view, arc, arc->tops[i].x));
        const char *name = name_of(view, arc, i);
        struct pane beside;
        if (col < AXES_LABEL_COLS || col >= AXES_LABEL_COLS + graph->cols) {
            continue;
        }
        beside = pane_part(pane, row, col + 1, 1, room_right_of(pane, row, col));
        if (beside.cols >= LEAST_NAME_COLS || pane_columns(pane, name) <= beside.cols) {
            pane_put(&beside, 0, 0, arc->tops[i].refused ? INK_FAINT : INK_GOOD, name);
        }
    }
}

void panel_arc(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    const struct arc *arc = found_arc(view->scene);
    struct graph graph = {.rows = pane->rows - FIXED_ROWS - 1,
                          .cols = pane->cols - AXES_LABEL_COLS - 1,
                          .low = 0.0,
                          .high = 1.0,
                          .gap = -1.0,
                          .glyphs = pane->sheet->glyphs};
    struct pane middle = pane_part(pane, 3, 0, graph.rows, pane->cols);
    bool fits;
    int used;

    if (!state->target.known) {
        pane_put(pane, 0, 1, INK_FAINT, _("The arc shows here once the position is known."));
        return;
    }
    fits = pane->rows >= LEAST_ROWS && graph.cols >= AXES_TICK_COLS;
    used = put_title(pane, view, arc, fits ? 1 : pane->rows);
    if (!fits) {
        pane_put(pane, used, 1, INK_FAINT, _("The window is too small for this graph."));
        return;
    }
    graph.left = graph.right = state->target.deg[AXIS_AZIMUTH];
    for (size_t i = 0; i <= state->job->neighbour_count; i++) {
        double x = predicted(state, i);
        graph.left = fmin(graph.left, isfinite(x) ? x : graph.left);
        graph.right = fmax(graph.right, isfinite(x) ? x : graph.right);
    }
    graph.left -= margin_deg + state->job->coach.compass_error_deg;
    graph.right += margin_deg + state->job->coach.compass_error_deg;
    put_predicted(pane, view, &graph);
    put_levels(&middle, view, &graph);
    put_found(pane, pane->rows - 2, view, &graph, arc);
    axes_put_angles(pane, pane->rows - 1, &graph);
    if (state->level.known) {
        axes_put_unit(pane, pane->rows - 1, state);
    }
}
