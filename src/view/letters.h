/*
 * letters.h - characters large enough for an arm's length: digits, capitals and the signs for the
 * ways to turn. Half blocks where there are any; in ASCII strokes like | and _, or whole characters
 * when there is room for them. Pure.
 */
#ifndef VIEW_LETTERS_H
#define VIEW_LETTERS_H

#include "session/record.h"
#include "view/sheet.h"

/* How many times each dot of a letter is drawn; 0 = strokes, three rows high. */
struct letters_size {
    int across, down;
};

enum { LETTERS_GAP = 2 }; /* columns between a sign and a text */

/*
 * The largest size at which a way's sign and a text stand side by side in a pane (3 rows at least);
 * letters grow taller than wide before they grow smaller. What fits at no size gets the least, and
 * is cut.
 *
 *   move  one that is no turn has no sign
 */
struct letters_size letters_fit(const struct pane *pane, enum advice_move move, const char *text);

/* Rows that large text takes. */
int letters_rows(const struct pane *pane, struct letters_size size);

/*
 * Large text.
 *
 *   text     digits, capitals, blank and . - + / %; a degree sign (UTF-8). Others are left out
 *   returns  the column after it
 */
int letters_put(const struct pane *pane, struct letters_size size, int col, enum ink ink,
                const char *text);

/* The large sign for a way to turn; nothing for a move that is no turn. The column after it. */
int letters_put_way(const struct pane *pane, struct letters_size size, int col, enum ink ink,
                    enum advice_move move);

/* Both, from the pane's first column on. The column after them. */
int letters_put_line(const struct pane *pane, struct letters_size size, enum ink ink,
                     enum advice_move move, const char *text);

#endif
