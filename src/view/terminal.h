/*
 * terminal.h - the one place that knows curses: a sheet onto the terminal, keys from it, and the
 * terminal left as it was found however the program ends.
 *
 * There is one terminal, so there is one of these at a time.
 */
#ifndef VIEW_TERMINAL_H
#define VIEW_TERMINAL_H

#include "session/record.h"
#include "view/looks.h"
#include "view/sheet.h"

struct terminal; /* opaque */

/*
 * Whether there is a terminal that can show a screen, without touching it.
 *
 *   returns  0; -ENOTTY standard input or output is none; -ENOTSUP it is not known or can't place
 *            text; with why
 */
int terminal_examine(char why[RECORD_TEXT_SIZE]);

/*
 * Take the terminal over.
 *
 *   returns  0; -ENOTTY standard input or output is none; -ENOTSUP it can't place text;
 *            -EBUSY it is taken already; -ENOMEM; with why
 */
int terminal_open(struct terminal **ret_terminal, char why[RECORD_TEXT_SIZE]);

/* Give it back as it was. NULL is allowed. */
void terminal_close(struct terminal *terminal);

/* To poll for keys. */
int terminal_fd(const struct terminal *terminal);

/*
 * The next key.
 *
 *   returns  1 and a code point or a stroke of keyboard.h; 0 none now; -EPIPE the terminal is gone
 */
int terminal_key(struct terminal *terminal, uint32_t *ret_stroke);

/*
 * The sheet to compose on, blank or as it was, of the terminal's present size; NULL when memory ran
 * out.
 */
struct sheet *terminal_sheet(struct terminal *terminal);

/* How inks look from the next sheet on. */
void terminal_set_look(struct terminal *terminal, enum looks look);

/* Bring the sheet onto the terminal: what has changed since the last time. */
void terminal_show(struct terminal *terminal);

/* True once after a change of size, a return from suspension, or a wish to draw all anew. */
bool terminal_wants_redraw(struct terminal *terminal);
void terminal_redraw(struct terminal *terminal);

#endif
