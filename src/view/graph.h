/* graph.h - a level over time as rows of characters. Pure. */
#ifndef VIEW_GRAPH_H
#define VIEW_GRAPH_H

#include <stdbool.h>
#include <stddef.h>

#include "view/canvas.h"

enum { GRAPH_COLS = 240, GRAPH_ROWS = 60 };

struct graph {
    int cols, rows;
    enum canvas_dots dots;
    unsigned char cell[GRAPH_ROWS][GRAPH_COLS]; /* bits of the dots that are set */
    double from_t, to_t, low, high;
    double tick;    /* between round values on the level's axis */
    int line_row;   /* row of the marked value; -1 = none in sight */
};

/* Empty graph. cols and rows are cut to what fits. */
void graph_init(struct graph *graph, int cols, int rows, enum canvas_dots dots, double from_t,
                double to_t);

/* Choose a round range that holds low..high, at least `least` wide. */
void graph_set_range(struct graph *graph, double low, double high, double least);

/* A point; outside the ranges it is left out. */
void graph_point(struct graph *graph, double t, double value);

/* A value whose row is drawn as a line where no point is. */
void graph_mark(struct graph *graph, double value);

/* One row as text, UTF-8, `cols` columns. */
void graph_row(const struct graph *graph, int row, char *text, size_t size);

/* The row that a value lies in; -1 = out of range. */
int graph_row_of(const struct graph *graph, double value);

/* A round step: 1, 2 or 5 times a power of ten, so that `most` of them cover the width. */
double graph_round_step(double width, int most);

#endif
