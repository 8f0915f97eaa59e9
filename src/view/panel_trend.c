/* The trend: the filtered level over time, with the best so far as a line. */
#include <math.h>
#include <stdio.h>

#include "view/graph.h"
#include "view/panel.h"
#include "view/readout.h"

static const int axis_cols = 8;

/* Lowest and highest filtered level in sight; best counts, so that its line is. */
static void find_range(const struct state *state, double from_t, double *ret_low, double *ret_high)
{
    *ret_low = *ret_high = state->level.best;
    for (size_t i = 0; i < state->trend_count; i++) {
        const struct state_trend *point = state_trend_at(state, i);
        if (point->t >= from_t && isfinite(point->filtered)) {
            *ret_low = fmin(*ret_low, point->filtered);
            *ret_high = fmax(*ret_high, point->filtered);
        }
    }
}

static void fill(struct graph *graph, const struct state *state)
{
    for (size_t i = 0; i < state->trend_count; i++) {
        const struct state_trend *point = state_trend_at(state, i);
        if (point->t >= graph->from_t) {
            graph_point(graph, point->t, point->filtered);
        }
    }
    graph_mark(graph, state->level.best);
}

static void draw_axis(const struct canvas *canvas, const struct graph *graph)
{
    for (double value = graph->low; value <= graph->high + 0.5 * graph->tick; value += graph->tick) {
        int row = graph_row_of(graph, value);
        if (row >= 0) {
            canvas_text(canvas, row, 0, LOOK_FAINT, graph->tick < 1.0 ? "%7.1f" : "%7.0f", value);
        }
    }
}

static void draw_trend(const struct canvas *canvas, const struct face_scene *scene,
                       const struct panel_view *view)
{
    const struct state *state = scene->state;
    struct graph graph;
    char row_text[GRAPH_COLS * 3 + 1];
    double low, high;

    graph_init(&graph, canvas->cols - axis_cols - 1, canvas->rows - 1, canvas->dots,
               scene->t - view->trend_s, scene->t);
    find_range(state, graph.from_t, &low, &high);
    if (!state->level.known || !isfinite(low)) {
        canvas_text(canvas, canvas->rows / 2, 1, LOOK_FAINT, "no level yet");
        return;
    }
    graph_set_range(&graph, low, high, level_unit_is_db(state->level.unit) ? 1.0 : 5.0);
    fill(&graph, state);
    for (int row = 0; row < graph.rows; row++) {
        graph_row(&graph, row, row_text, sizeof row_text);
        canvas_text(canvas, row, axis_cols, LOOK_PLAIN, "%s", row_text);
    }
    draw_axis(canvas, &graph);
    if (graph.line_row >= 0) {
        canvas_text(canvas, graph.line_row, canvas->cols - 6, LOOK_STRONG, " best");
    }
    canvas_text(canvas, graph.rows, axis_cols, LOOK_FAINT, "%.0f s ago", view->trend_s);
    canvas_text(canvas, graph.rows, canvas->cols - 5, LOOK_FAINT, "now");
}

const struct panel panel_trend = {"trend", 4, 0, draw_trend};
