/*
 * line.h - bytes in, lines out, whatever the bytes are. Pure: no I/O, no clock, no memory.
 *
 * A line ends with CR, LF or CR LF; empty lines are skipped. How the bytes are cut into pieces
 * makes no difference.
 */
#ifndef SOURCE_LINE_H
#define SOURCE_LINE_H

#include <stdbool.h>
#include <stddef.h>

struct line {
    char *text;    /* borrowed: room for the line; terminated when one is handed out */
    size_t size;   /* of that room; the longest line has size - 1 bytes */
    size_t length; /* of the line handed out */
    unsigned long refused;
    bool handed;   /* text was handed out: the next byte starts afresh */
    bool nul;      /* this line holds a NUL */
    bool skipping; /* it is too long and was refused: skip to its end */
    bool after_cr;
};

enum line_result {
    LINE_MORE,    /* all bytes are used up, no line is whole yet */
    LINE_WHOLE,   /* text holds a line */
    LINE_REFUSED, /* text holds a line with a NUL in it, or the start of one that is too long */
};

/* size > 1 */
void line_init(struct line *line, char *room, size_t size);

/* Forget what came so far of a line (the device was opened anew). */
void line_restart(struct line *line);

/*
 * Take bytes up to the end of a line.
 *
 *   bytes, n   any bytes; call again with the rest until LINE_MORE
 *   ret_used   how many were taken
 *   returns    what became whole; line->text and line->length hold until the next call
 */
enum line_result line_feed(struct line *line, const char *bytes, size_t n, size_t *ret_used);

#endif
