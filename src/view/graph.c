#include "view/graph.h"

#include <math.h>
#include <string.h>

/* Dots of a cell: columns and rows. */
static int dots_across(enum glyphs glyphs)
{
    return glyphs == GLYPHS_FULL ? 2 : 1;
}

static int dots_down(enum glyphs glyphs)
{
    return glyphs == GLYPHS_FULL ? 4 : 2;
}

/*
 * The character of a set of dots; dot (x, y) is bit y + 4 x.
 *   Source of the Braille bits: Unicode chart U2800: dots 1 2 3 7 down the left, 4 5 6 8 the right.
 */
static uint32_t dots_code(enum glyphs glyphs, uint32_t dots)
{
    static const uint8_t braille[8] = {0x01, 0x02, 0x04, 0x40, 0x08, 0x10, 0x20, 0x80};
    static const uint32_t blocks[4] = {0, 0x2580, 0x2584, 0x2588};
    static const uint32_t ascii[4] = {0, '\'', '.', ':'};
    uint32_t code = 0x2800;

    if (dots == 0) {
        return 0;
    }
    if (glyphs != GLYPHS_FULL) {
        return glyphs == GLYPHS_BLOCKS ? blocks[dots & 3] : ascii[dots & 3];
    }
    for (int i = 0; i < 8; i++) {
        if (dots >> i & 1) {
            code |= braille[i];
        }
    }
    return code;
}

/* y in dots from the top. */
static double dot_y(const struct graph *graph, double y)
{
    return (graph->high - y) / (graph->high - graph->low) *
           (graph->rows * dots_down(graph->glyphs) - 1);
}

static double dot_x(const struct graph *graph, double x)
{
    double dot =
        (x - graph->left) / (graph->right - graph->left) * graph->cols * dots_across(graph->glyphs);

    /* far outside is outside; an int must hold it */
    return isnan(dot) ? dot : fmin(fmax(dot, -1e6), 1e6);
}

/* Dots of one dot column, from y0 to y1. */
static void fill_column(const struct graph *graph, uint32_t *dots, int x, double y0, double y1)
{
    int down = dots_down(graph->glyphs), across = dots_across(graph->glyphs);
    int height = graph->rows * down;
    double top = fmin(y0, y1), bottom = fmax(y0, y1);

    if (x < 0 || x >= graph->cols * across || !(bottom >= -0.5) || !(top <= height - 0.5)) {
        return;
    }
    top = fmax(top, 0.0);
    bottom = fmin(bottom, height - 1);
    for (int y = (int)lround(top); y <= (int)lround(bottom); y++) {
        dots[y / down * graph->cols + x / across] |= 1u << (y % down + 4 * (x % across));
    }
}

/* A line between two points, in dots. */
static void fill_line(const struct graph *graph, uint32_t *dots, double x0, double y0, double x1,
                      double y1)
{
    int first = (int)floor(fmax(x0, 0.0));
    int last = (int)floor(fmin(x1, graph->cols * dots_across(graph->glyphs)));
    double slope = x1 > x0 ? (y1 - y0) / (x1 - x0) : 0.0;

    if (x1 < 0.0 || first == (int)floor(x1)) {
        fill_column(graph, dots, (int)floor(x1), y0, y1);
        return;
    }
    for (int x = first; x <= last; x++) {
        double a = fmax(x, x0), b = fmin(x + 1.0, x1);
        fill_column(graph, dots, x, y0 + slope * (a - x0), y0 + slope * (b - x0));
    }
}

void graph_trace(const struct graph *graph, const struct graph_point *points, size_t n,
                 uint32_t *ret_codes)
{
    size_t cells = (size_t)graph->rows * (size_t)graph->cols;
    const struct graph_point *last = NULL;

    memset(ret_codes, 0, cells * sizeof *ret_codes);
    for (size_t i = 0; i < n; i++) {
        const struct graph_point *point = &points[i];
        double x = dot_x(graph, point->x), y = dot_y(graph, point->y);
        if (!isfinite(x) || !isfinite(y)) {
            last = NULL;
            continue;
        }
        if (last && point->x - last->x <= graph->gap) {
            fill_line(graph, ret_codes, dot_x(graph, last->x), dot_y(graph, last->y), x, y);
        } else if (x >= 0.0 && x < 1e6) {
            fill_column(graph, ret_codes, (int)floor(x), y, y);
        }
        last = point;
    }
    for (size_t i = 0; i < cells; i++) {
        ret_codes[i] = dots_code(graph->glyphs, ret_codes[i]);
    }
}

int graph_row(const struct graph *graph, double y)
{
    double dot = dot_y(graph, y);

    if (!isfinite(dot) || fabs(dot) > 1e6) {
        return -1;
    }
    return (int)floor(round(dot) / dots_down(graph->glyphs));
}

int graph_col(const struct graph *graph, double x)
{
    double dot = dot_x(graph, x);

    if (!isfinite(dot) || fabs(dot) > 1e6) {
        return -1;
    }
    return (int)floor(dot / dots_across(graph->glyphs));
}
