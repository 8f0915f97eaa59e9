/*
 * glyphs.h - what a terminal can show: plain ASCII, the blocks of a console's font, or all that
 * Unicode has. Pure; widths need LC_CTYPE to be set.
 */
#ifndef VIEW_GLYPHS_H
#define VIEW_GLYPHS_H

#include <stddef.h>
#include <stdint.h>

enum glyphs {
    GLYPHS_ASCII,  /* no UTF-8 */
    GLYPHS_BLOCKS, /* UTF-8, but a font of 256 or 512 characters: the Linux console */
    GLYPHS_FULL,   /* Braille dots and all arrows */
};

/*
 *   codeset  nl_langinfo(CODESET)
 *   term     the terminal's name, NULL = not known
 */
enum glyphs glyphs_choose(const char *codeset, const char *term);

/* UTF-8 as ASCII: a degree sign as " deg", an accent dropped, what has no likeness as '?'. */
void glyphs_fold(char *dst, size_t size, const char *src);

/*
 * One character of a UTF-8 string.
 *
 *   s          not at its end; a byte that is not UTF-8 counts as '?'
 *   returns    its bytes, and the code point
 */
size_t glyphs_next(const char *s, uint32_t *ret_code);

/* A code point (up to U+10FFFF) as UTF-8, without an end. Returns its bytes. */
size_t glyphs_encode(char s[4], uint32_t code);

/* Columns of a code point: 0 (combining, control), 1 or 2. */
int glyphs_width(uint32_t code);

/* Columns of a UTF-8 string. */
int glyphs_columns(const char *s);

#endif
