/*
 * panel_arc.c - the satellites along azimuth: where they should be, where the level rose, what the
 * receiver named there; and by how much the compass is off.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/ticks.h"
#include "base/tongue.h"
#include "sky/angle.h"
#include "view/axes.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, LEAST_ROWS = 7, FIXED_ROWS = 4, NAME_COLS = 12 };

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

/* Measured minus predicted azimuth of what the receiver named: the strongest first; NaN = none. */
static double find_bias(const struct panel_view *view, const char **ret_name)
{
    const struct state *state = view->scene->state;
    double bias = NAN, best = -INFINITY;

    for (size_t k = 0; k < view->history->named_count; k++) {
        for (size_t i = 0; i <= state->job->neighbour_count; i++) {
            const struct job_satellite *it = satellite(state->job, i);
            if (it->id[0] && strcasecmp(it->id, view->history->named[k].id) == 0 &&
                view->history->named[k].level > best && isfinite(predicted(state, i))) {
                best = view->history->named[k].level;
                bias = angle_turn_deg(predicted(state, i), view->history->named[k].azimuth_deg);
                *ret_name = it->name;
            }
        }
    }
    return bias;
}

static void put_title(const struct pane *pane, const struct panel_view *view)
{
    const char *name = "";
    double bias = find_bias(view, &name);
    char text[LINE_SIZE] = "";

    if (isfinite(bias)) {
        text_append(text, LINE_SIZE,
                    bias < 0.0 ? _("by %s the azimuth reads %.1f° too low")
                               : _("by %s the azimuth reads %.1f° too high"),
                    name, fabs(bias));
    } else {
        text_append(text, LINE_SIZE, "%s", _("satellites along azimuth; none is named yet"));
    }
    pane_put(pane, 0, 1, INK_STRONG, text);
}

/* Names over their places; one that would touch another is left out, but never the target. */
static void put_predicted(const struct pane *pane, const struct panel_view *view,
                          const struct graph *graph)
{
    const struct state *state = view->scene->state;
    bool taken[SHEET_MOST_COLS] = {false};

    for (size_t i = 0; i <= state->job->neighbour_count; i++) {
        const struct job_satellite *it = satellite(state->job, i);
        int col = graph_col(graph, predicted(state, i)), cols, first;
        bool free = true;
        if (col < 0 || col >= graph->cols) {
            continue;
        }
        cols = pane_columns(pane, it->name);
        cols = cols > NAME_COLS ? NAME_COLS : cols;
        first = AXES_LABEL_COLS + col - cols / 2;
        first = first < 0 ? 0 : first + cols > pane->cols ? pane->cols - cols : first;
        pane_cell(pane, 2, AXES_LABEL_COLS + col, i == 0 ? INK_STRONG : INK_PLAIN,
                  i == 0 ? 'V' : 'v');
        for (int k = first - 1; k <= first + cols && k >= 0 && k < SHEET_MOST_COLS; k++) {
            free = free && !taken[k];
        }
        if (free) {
            struct pane name = pane_part(pane, 1, first, 1, cols);
            pane_put(&name, 0, 0, i == 0 ? INK_STRONG : INK_PLAIN, it->name);
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

/* What the receiver named, under the place where it was strongest; where it looks now. */
static void put_found(const struct pane *pane, int row, const struct panel_view *view,
                      const struct graph *graph)
{
    const struct state *state = view->scene->state;
    double now = state->measured.deg[AXIS_AZIMUTH] + state->measured.nudged_deg[AXIS_AZIMUTH];
    int col = graph_col(graph, near_target(state, now));

    if (isfinite(now) && col >= 0 && col < graph->cols) {
        pane_cell(pane, row, AXES_LABEL_COLS + col, INK_STRONG, '@');
    }
    for (size_t k = 0; k < view->history->named_count; k++) {
        int at = graph_col(graph, near_target(state, view->history->named[k].azimuth_deg));
        if (at >= 0 && at < graph->cols) {
            pane_print(pane, row, AXES_LABEL_COLS + at, INK_GOOD, "^%s",
                       view->history->named[k].id);
        }
    }
}

void panel_arc(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    struct graph graph = {.rows = pane->rows - FIXED_ROWS - 1,
                          .cols = pane->cols - AXES_LABEL_COLS - 1,
                          .low = 0.0,
                          .high = 1.0,
                          .gap = -1.0,
                          .glyphs = pane->sheet->glyphs};
    struct pane middle = pane_part(pane, 3, 0, graph.rows, pane->cols);

    if (pane->rows < LEAST_ROWS || graph.cols < AXES_TICK_COLS) {
        pane_put(pane, 0, 1, INK_FAINT, _("The window is too small for this graph."));
        return;
    }
    if (!state->target.known) {
        pane_put(pane, 0, 1, INK_FAINT, _("The arc shows here once the position is known."));
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
    put_title(pane, view);
    put_predicted(pane, view, &graph);
    put_levels(&middle, view, &graph);
    put_found(pane, pane->rows - 2, view, &graph);
    axes_put_angles(pane, pane->rows - 1, &graph);
}
