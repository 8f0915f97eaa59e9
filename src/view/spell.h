/* spell.h - texts on columns: width, cutting, breaking, and ASCII where there is no UTF-8. Pure. */
#ifndef VIEW_SPELL_H
#define VIEW_SPELL_H

#include <stdbool.h>
#include <stddef.h>

/* Columns that a UTF-8 text takes, as shown (in ASCII a degree sign becomes " deg"). */
int spell_width(const char *text, bool utf8);

/* As much of a text as fits the columns, as shown. Returns its bytes. */
size_t spell_cut(const char *text, int cols, bool utf8, char *shown, size_t size);

/* Bytes of the text that go on one line of so many columns: up to a blank where there is one. */
size_t spell_break(const char *text, int cols, bool utf8);

#endif
