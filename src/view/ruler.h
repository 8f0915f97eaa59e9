/*
 * ruler.h - a ruler that a bolt's turn is read off: the goal in its middle, the antenna where it
 * stands, marks at parts of a turn. It takes the finest marks that still have the antenna on it.
 * Pure.
 */
#ifndef VIEW_RULER_H
#define VIEW_RULER_H

#include <stdbool.h>
#include <stdint.h>

#include "view/glyphs.h"

enum { RULER_MOST_COLS = 200, RULER_LEAST_COLS = 24, RULER_LABELS = 5, RULER_LABEL_SIZE = 8 };

struct ruler {
    double span;   /* units from the goal to either end */
    int cols;      /* odd: the goal is in the middle */
    int now_col;   /* where the antenna stands; at an end when it is beyond */
    bool off;      /* it is beyond the largest ruler */
    int there_col; /* columns to either side of the goal that count as there, at least 1 */
};

/*
 *   to_go    units (turns, or degrees) still to turn, > 0 toward growing angle: the antenna stands
 *            to the left then; finite
 *   there    units that count as there
 *   cols     RULER_LEAST_COLS or more; those beyond RULER_MOST_COLS are not used
 */
void ruler_make(struct ruler *ret_ruler, double to_go, double there, int cols);

/* What stands in a column: line, mark or bracket; without the antenna. */
uint32_t ruler_code(const struct ruler *ruler, enum glyphs glyphs, int col);

/*
 * Labels: at the ends, half way and at the goal.
 *
 *   i         0 to RULER_LABELS - 1, from the left
 *   ret_text  how far from the goal: "1/2", "1", "0"
 *   returns   the column it stands over
 */
int ruler_label(const struct ruler *ruler, int i, char ret_text[RULER_LABEL_SIZE]);

#endif
