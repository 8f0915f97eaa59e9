/* text.h - bounded strings, numbers that are whole, bytes that are safe to show. Pure. */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* Copy, cut to fit; never in the middle of a UTF-8 character; always terminated. size > 0. */
void text_copy(char *dst, size_t size, const char *src);

/* printf at the end of what dst holds; what does not fit is cut. Returns true when all fitted. */
bool text_append(char *dst, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A blank within a line: space or tab. */
bool text_is_blank(char c);

/* Past the blanks at the start of a text. */
const char *text_skip_blanks(const char *text);

/* "azimuth" + " " ... for a sentence: upper-case the first ASCII letter in place. */
void text_capitalise(char *text);

/* A full stop at the end of a sentence that has none. */
void text_end_sentence(char *text, size_t size);

/*
 * A whole string as a finite number, '.' as decimal point whatever the locale.
 *
 *   returns  0; -EINVAL when it is not all a number (blanks around it are allowed) or not finite
 */
int text_parse_double(const char *text, double *ret_value);

/*
 * Bytes from outside as text that no terminal can trip over: controls, DEL, C1 controls and bytes
 * that are not UTF-8 become '?'; cut to fit on a character's boundary.
 *
 *   dst, size  room for the result, terminated; size > 0
 *   src, n     any bytes, NULs included
 *   returns    how many bytes were replaced
 */
size_t text_sanitize(char *dst, size_t size, const char *src, size_t n);

/* True when text_sanitize() would replace nothing. */
bool text_is_clean(const char *text);

/* How many bytes the UTF-8 character at s (n bytes left) has; 0 when it is not valid UTF-8. */
size_t text_utf8_length(const char *s, size_t n);

#endif
