/* chart.h - a graph's frame on a page: round ticks, units, and where a value lies. */
#ifndef RECORD_DRAWN_CHART_H
#define RECORD_DRAWN_CHART_H

#include "record/drawn/paper.h"

struct chart {
    struct paper_box box;               /* of the graph itself, without its numbers */
    double left, right, low, high;      /* values at the edges; left < right, low < high */
    double across_step, up_step;        /* between ticks */
    double across_unit;                 /* a number at the lower edge is the value over this */
    bool compass;                       /* numbers at the lower edge go round at 360 */
    const char *across_sign, *up_title; /* behind each number; above the levels */
};

/*
 * A chart that fits a box with its numbers.
 *
 *   low, high  of the values; round edges lie around them, at least `least` apart
 *   left, right  of the values; left < right
 */
void chart_set(struct chart *chart, struct paper *paper, struct paper_box box, double left,
               double right, double low, double high, double least);

/* What the numbers at the lower edge count in, and the sign behind each. */
void chart_set_unit(struct chart *chart, double unit, const char *sign);

double chart_x(const struct chart *chart, double across);
double chart_y(const struct chart *chart, double up); /* not held inside the box */

/* The frame, a fine grid, the numbers. */
void chart_put_frame(const struct chart *chart, struct paper *paper);

/* A box where a graph would be, and why there is none. */
void chart_put_none(struct paper *paper, struct paper_box box, const char *text);

#endif
