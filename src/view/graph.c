#include "view/graph.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

/* Dots of a character, across and down. */
static const int dots_across[] = {[DOTS_ASCII] = 1, [DOTS_HALF] = 1, [DOTS_BRAILLE] = 2};
static const int dots_down[] = {[DOTS_ASCII] = 1, [DOTS_HALF] = 2, [DOTS_BRAILLE] = 4};

void graph_init(struct graph *graph, int cols, int rows, enum canvas_dots dots, double from_t,
                double to_t)
{
    memset(graph, 0, sizeof *graph);
    graph->cols = cols < GRAPH_COLS ? cols : GRAPH_COLS;
    graph->rows = rows < GRAPH_ROWS ? rows : GRAPH_ROWS;
    graph->dots = dots;
    graph->from_t = from_t;
    graph->to_t = to_t;
    graph->low = 0.0;
    graph->high = 1.0;
    graph->tick = 1.0;
    graph->line_row = -1;
}

double graph_round_step(double width, int most)
{
    double rough = width / most, power;

    if (!(rough > 0.0)) {
        return 1.0;
    }
    power = pow(10.0, floor(log10(rough)));
    rough /= power;
    return power * (rough <= 1.0 ? 1.0 : rough <= 2.0 ? 2.0 : rough <= 5.0 ? 5.0 : 10.0);
}

void graph_set_range(struct graph *graph, double low, double high, double least)
{
    double spare = fmax(least - (high - low), 0.1 * (high - low));

    if (!isfinite(low) || !isfinite(high)) {
        return;
    }
    low -= 0.5 * spare;
    high += 0.5 * spare;
    graph->tick = graph_round_step(high - low, graph->rows > 8 ? 5 : 3);
    graph->low = floor(low / graph->tick) * graph->tick;
    graph->high = ceil(high / graph->tick) * graph->tick;
}

/* Dot row from the top, or -1. */
static int dot_row(const struct graph *graph, double value)
{
    int down = graph->rows * dots_down[graph->dots];
    double share = (value - graph->low) / (graph->high - graph->low);
    int row = (int)lround((1.0 - share) * (down - 1));

    return isfinite(share) && row >= 0 && row < down ? row : -1;
}

int graph_row_of(const struct graph *graph, double value)
{
    int row = dot_row(graph, value);

    return row < 0 ? -1 : row / dots_down[graph->dots];
}

void graph_point(struct graph *graph, double t, double value)
{
    static const unsigned char braille[4][2] = {{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}};
    int across = dots_across[graph->dots], down = dots_down[graph->dots];
    double share = (t - graph->from_t) / (graph->to_t - graph->from_t);
    int x = (int)floor(share * graph->cols * across), y = dot_row(graph, value);

    if (y < 0 || x < 0 || x >= graph->cols * across) {
        return;
    }
    graph->cell[y / down][x / across] |=
        graph->dots == DOTS_BRAILLE ? braille[y % 4][x % 2] : (unsigned char)(1 << y % down);
}

void graph_mark(struct graph *graph, double value)
{
    graph->line_row = graph_row_of(graph, value);
}

void graph_row(const struct graph *graph, int row, char *text, size_t size)
{
    static const char *const halves[4] = {" ", "\u2580", "\u2584", "\u2588"};

    text[0] = '\0';
    for (int col = 0; col < graph->cols; col++) {
        unsigned bits = graph->cell[row][col];
        if (bits == 0) {
            text_append(text, size, "%s",
                        row != graph->line_row       ? " "
                        : graph->dots == DOTS_ASCII ? "-"
                                                    : "\u2500");
        } else if (graph->dots == DOTS_BRAILLE) {
            text_append(text, size, "%c%c%c", 0xe2, 0xa0 | (int)(bits >> 6), 0x80 | (int)(bits & 0x3f));
        } else {
            text_append(text, size, "%s", graph->dots == DOTS_HALF ? halves[bits & 3] : "*");
        }
    }
}
