/*
 * graph.h - a curve as characters: Braille dots, half blocks or ASCII, whatever can be shown. Gaps
 * stay gaps. Pure.
 */
#ifndef VIEW_GRAPH_H
#define VIEW_GRAPH_H

#include <stddef.h>
#include <stdint.h>

#include "view/glyphs.h"

struct graph_point {
    double x, y; /* y NaN = a gap */
};

struct graph {
    double left, right; /* x at the edges, left < right */
    double low, high;   /* y at the edges, low < high */
    double gap;         /* points further apart in x are not joined; INFINITY = always joined */
    int rows, cols;
    enum glyphs glyphs;
};

/*
 *   points     points[n], x not falling; those outside are cut off
 *   ret_codes  [rows * cols], row by row from the top: code points, 0 where nothing is
 */
void graph_trace(const struct graph *graph, const struct graph_point *points, size_t n,
                 uint32_t *ret_codes);

/* The row of a value, 0 = top; outside the graph it is below 0 or at least rows. */
int graph_row(const struct graph *graph, double y);

/* The column of an x, 0 = left. */
int graph_col(const struct graph *graph, double x);

#endif
