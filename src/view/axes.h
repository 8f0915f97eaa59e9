/* axes.h - what stands around a graph on a pane: levels to its left, angles under it. Pure. */
#ifndef VIEW_AXES_H
#define VIEW_AXES_H

#include "session/state.h"
#include "view/graph.h"
#include "view/sheet.h"

enum { AXES_LABEL_COLS = 7, AXES_TICK_COLS = 12 };

/* The smallest span of levels that is drawn: less would make mountains of noise. */
double axes_least_span(const struct state *state);

/* How many parts the axis of levels is cut into at most. */
int axes_level_ticks(int rows);

/* Round levels to the left of a graph that begins in column AXES_LABEL_COLS. */
void axes_put_levels(const struct pane *pane, const struct graph *graph, double step);

/* Their unit, in a row under them. */
void axes_put_unit(const struct pane *pane, int row, const struct state *state);

/* Round angles in a row under it. */
void axes_put_angles(const struct pane *pane, int row, const struct graph *graph);

/* A graph's characters. */
void axes_put_codes(const struct pane *pane, const struct graph *graph, enum ink ink,
                    const uint32_t *codes);

#endif
