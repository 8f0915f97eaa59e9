/*
 * layout.h - which panel goes where, as data. A layout is a list of places: bands from top to
 * bottom, panels side by side in a band. Each place says what it needs and what it would like.
 * Pure.
 */
#ifndef VIEW_LAYOUT_H
#define VIEW_LAYOUT_H

#include <stdbool.h>
#include <stddef.h>

enum panel_id {
    PANEL_HEAD,
    PANEL_TURN,
    PANEL_LEVEL,
    PANEL_SATELLITE,
    PANEL_COACH,
    PANEL_STEPS,
    PANEL_AIM,
    PANEL_RULER,
    PANEL_GRAPH,
    PANEL_SIDE,  /* another graph beside it */
    PANEL_THIRD, /* and the third one */
    PANEL_SOURCES,
    PANEL_NOTES,
    PANEL_WHOLE, /* a replay: the whole session on one line */
    PANEL_KEYS,
    PANEL_COUNT
};

struct layout_need {
    int least, most; /* most: what it would like; LAYOUT_GROWS = all there is */
};

enum { LAYOUT_GROWS = 10000, LAYOUT_GAP = 2 };

struct layout_place {
    enum panel_id panel;
    int band; /* 0 = top; ascending in the list */
    int rank; /* 1 = stays longest when room is scarce, and is given more first */
    struct layout_need rows, cols;
    enum { LAYOUT_ALWAYS, LAYOUT_LIVE, LAYOUT_REPLAY } when;
};

struct layout {
    const char *name;
    int rows, cols; /* it is meant for this much and more */
    const struct layout_place *places;
    size_t count;
};

struct layout_box {
    int row, col, rows, cols; /* rows 0 = the panel is left out */
};

enum layout_use {
    LAYOUT_NEAR, /* everything, as much as there is room for */
    LAYOUT_FAR,  /* read from some metres away */
    LAYOUT_READ, /* a caution: its text must be read to its end, the rest can wait */
};

/* The layout for a terminal's size; NULL = too small for any. */
const struct layout *layout_choose(int rows, int cols, enum layout_use use);

/* Whether the near layout of a size has room for the longest caution. */
bool layout_reads(int rows, int cols);

/* Boxes for all panels; those without a place, or without room, get none. */
void layout_arrange(const struct layout *layout, bool replaying, int rows, int cols,
                    struct layout_box ret_boxes[PANEL_COUNT]);

/* The least size that any layout takes. */
extern const int layout_least_rows, layout_least_cols;

#endif
