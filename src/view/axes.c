#include "view/axes.h"

#include <math.h>
#include <stdio.h>

#include "base/ticks.h"
#include "view/figures.h"

double axes_least_span(const struct state *state)
{
    switch (state->level.unit) {
    case LEVEL_PERCENT:
        return 5.0;
    case LEVEL_VOLT:
        return 0.1;
    case LEVEL_RAW:
        return fmax(0.02 * fabs(state->level.value), 0.1);
    default:
        return 2.0;
    }
}

int axes_level_ticks(int rows)
{
    return rows < 3 ? 1 : rows < 8 ? rows - 1 : rows < 20 ? rows / 2 : 10;
}

void axes_put_levels(const struct pane *pane, const struct graph *graph, double step)
{
    int decimals = ticks_decimals(step), last = -2;

    for (int k = 0; k <= (int)lround((graph->high - graph->low) / step); k++) {
        double level = graph->high - k * step;
        int row = graph_row(graph, level);
        if (row >= 0 && row < graph->rows && row > last) {
            pane_print(pane, row, 0, INK_FAINT, "%*.*f", AXES_LABEL_COLS - 1, decimals,
                       fabs(level) < 1e-9 ? 0.0 : level);
            last = row;
        }
    }
}

void axes_put_unit(const struct pane *pane, int row, const struct state *state)
{
    pane_print(pane, row, 0, INK_FAINT, "%*s", AXES_LABEL_COLS - 1,
               level_unit_symbol(state->level.unit, true));
}

void axes_put_angles(const struct pane *pane, int row, const struct graph *graph)
{
    double span = graph->right - graph->left;
    double step = ticks_round_step(span, graph->cols / AXES_TICK_COLS);
    int decimals = ticks_decimals(step);

    for (double x = ceil(graph->left / step) * step; x <= graph->right; x += step) {
        int col = graph_col(graph, x);
        char text[FIGURES_SIZE];
        snprintf(text, sizeof text, "%.*f\u00b0", decimals, fabs(x) < 1e-9 ? 0.0 : x);
        col += AXES_LABEL_COLS - pane_columns(pane, text) / 2;
        if (col >= AXES_LABEL_COLS && col + pane_columns(pane, text) <= pane->cols) {
            pane_put(pane, row, col, INK_FAINT, text);
        }
    }
}

void axes_put_codes(const struct pane *pane, const struct graph *graph, enum ink ink,
                    const uint32_t *codes)
{
    for (int row = 0; row < graph->rows; row++) {
        for (int col = 0; col < graph->cols; col++) {
            pane_cell(pane, row, AXES_LABEL_COLS + col, ink, codes[row * graph->cols + col]);
        }
    }
}
