/* layout.h - which panels stand where on a screen of a size. Pure: the layouts are data. */
#ifndef VIEW_LAYOUT_H
#define VIEW_LAYOUT_H

#include "view/panel.h"

enum { LAYOUT_PANELS = 12, LAYOUT_LEAST_COLS = 40, LAYOUT_LEAST_ROWS = 20 };

struct layout_place {
    const struct panel *panel;
    int top, left, rows, cols;
};

/*
 * Places for the panels on a screen.
 *
 *   returns  how many; 0 when the screen is too small for any layout
 */
int layout_make(int rows, int cols, struct layout_place places[LAYOUT_PANELS]);

#endif
