/*
 * letters.h - characters large enough for an arm's length: digits, capitals and the signs for the
 * ways to turn and for the edges to push. Half blocks where there are any; in ASCII strokes like |
 * and _, or whole characters when there is room for them. Pure.
 */
#ifndef VIEW_LETTERS_H
#define VIEW_LETTERS_H

#include "view/sheet.h"

enum letters_sign {
    SIGN_NONE,
    SIGN_LEFT,
    SIGN_RIGHT,
    SIGN_UP,
    SIGN_DOWN,
    SIGN_CLOCKWISE,
    SIGN_ANTICLOCKWISE,
    SIGN_RIGHT_EDGE, /* the antenna from behind, and where the hands go */
    SIGN_UPPER_EDGE,
    SIGN_COUNT
};

/* How many times each dot of a letter is drawn; 0 = strokes, three rows high. */
struct letters_size {
    int across, down;
};

enum { LETTERS_GAP = 2 }; /* columns between a sign and a text */

/*
 * The largest size at which a sign and a text stand side by side in a pane (3 rows at least);
 * letters grow taller than wide before they grow smaller. What fits at no size gets the least, and
 * is cut.
 */
struct letters_size letters_fit(const struct pane *pane, enum letters_sign sign, const char *text);

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

/* A large sign. The column after it. */
int letters_put_sign(const struct pane *pane, struct letters_size size, int col, enum ink ink,
                     enum letters_sign sign);

/* Both, from the pane's first column on. The column after them. */
int letters_put_line(const struct pane *pane, struct letters_size size, enum ink ink,
                     enum letters_sign sign, const char *text);

#endif
