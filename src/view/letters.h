/*
 * letters.h - characters large enough for an arm's length: digits, capitals and the signs for the
 * ways to turn. Half blocks where there are any; in ASCII strokes like | and _, or whole characters
 * when there is room for them. Pure.
 */
#ifndef VIEW_LETTERS_H
#define VIEW_LETTERS_H

#include "session/record.h"
#include "view/sheet.h"

/*
 * Large text, as large as the pane's rows allow (3 rows at least).
 *
 *   text     digits, capitals, blank and . - + / %; a degree sign (UTF-8). Others are left out
 *   returns  the column after it
 */
int letters_put(const struct pane *pane, int col, enum ink ink, const char *text);

/* Columns that a large text takes in a pane of so many rows. */
int letters_columns(const struct pane *pane, const char *text);

/* Rows that large text takes in this pane. */
int letters_rows(const struct pane *pane);

/* A large sign for the way to turn; nothing for a move that is no turn. Returns the column after.
 */
int letters_put_way(const struct pane *pane, int col, enum ink ink, enum advice_move move);

#endif
