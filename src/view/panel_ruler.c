/*
 * panel_ruler.c - a ruler in turns of the bolt for the axis that is being turned: brackets where
 * the goal is, a pointer where the antenna stands. Who turns watches the pointer go in.
 */
#include <math.h>
#include <stdio.h>

#include "base/tongue.h"
#include "view/figures.h"
#include "view/panel.h"

enum { END_COLS = 17, LABEL_COLS = 2 };

/* This part of a unit counts as there: half of the finest step that is advised. */
static const double there_turns = 1.0 / 16.0, there_deg = 0.02;

/* Degrees still to turn, signed, of the axis asked for; NaN = none is. */
static double to_go_deg(const struct state *state, enum axis *ret_axis)
{
    const struct advice *advice = &state->advice;

    *ret_axis = isfinite(state->advice_t) ? advice->axis : AXIS_NONE;
    if (*ret_axis >= AXIS_COUNT || advice_bends(advice->move)) {
        return NAN;
    }
    /* hands off: it stands where it was asked for */
    return advice->move <= ADVICE_ANTICLOCKWISE ? advice_signed_deg(advice) : 0.0;
}

/* Labels over the ruler, or in its line with a blank to either side. */
static void put_labels(const struct pane *pane, int row, const struct ruler *ruler, int left,
                       bool within)
{
    char text[RULER_LABEL_SIZE], spaced[RULER_LABEL_SIZE + 2];

    for (int i = 0; i < RULER_LABELS; i++) {
        int col = ruler_label(ruler, i, text), cols;
        snprintf(spaced, sizeof spaced, within ? " %s " : "%s", text);
        cols = pane_columns(pane, spaced);
        col -= cols / 2;
        /* no half labels: the goal's stands clear, the pointer's column is the pointer's */
        if (!within ||
            (i != RULER_LABELS / 2 && (ruler->now_col < col || ruler->now_col >= col + cols))) {
            pane_put(pane, row, left + col, INK_FAINT, spaced);
        }
    }
}

/* The ends, named by the way that the pointer goes when the bolt is turned so. */
static void put_ends(const struct pane *pane, int row, enum axis axis, int left, int right)
{
    const char *low = axis_way_label(axis, -1.0), *high = axis_way_label(axis, 1.0);

    pane_put(pane, row, left - pane_columns(pane, low), INK_FAINT, low);
    pane_put(pane, row, right, INK_FAINT, high);
}

static void put_line(const struct pane *pane, int row, const struct ruler *ruler, int left)
{
    for (int col = 0; col < ruler->cols; col++) {
        pane_cell(pane, row, left + col, INK_PLAIN, ruler_code(ruler, pane->sheet->glyphs, col));
    }
}

static void put_pointer(const struct pane *pane, int row, const struct ruler *ruler, int left)
{
    uint32_t code = pane->sheet->glyphs == GLYPHS_ASCII ? 'A' : 0x25b2;

    if (ruler->off) {
        code = ruler->now_col == 0 ? '<' : '>';
    }
    pane_cell(pane, row, left + ruler->now_col, INK_STRONG, code);
}

void panel_ruler(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    enum axis axis;
    double deg = to_go_deg(state, &axis), turn;
    int ends = pane->cols >= 60 ? END_COLS : LABEL_COLS, cols = pane->cols - 2 * ends;
    struct ruler ruler;
    bool by_turns;
    int row;

    if (isnan(deg) || cols < RULER_LEAST_COLS || pane->rows < 1) {
        return;
    }
    turn = state->job->mount.axes[axis].turn_deg;
    by_turns = isfinite(turn);
    ruler_make(&ruler, by_turns ? deg / turn : deg, by_turns ? there_turns : there_deg, cols);
    row = pane->rows > 1;
    put_line(pane, row, &ruler, ends);
    put_labels(pane, 0, &ruler, ends, row == 0);
    put_pointer(pane, row, &ruler, ends);
    if (ends == END_COLS) {
        put_ends(pane, row, axis, ends - LABEL_COLS, ends + ruler.cols + LABEL_COLS);
        pane_put(pane, 0, ends + ruler.cols + LABEL_COLS, INK_FAINT,
                 row == 0   ? ""
                 : by_turns ? _("turns")
                            : _("degrees"));
    }
}
