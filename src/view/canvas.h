/*
 * canvas.h - a rectangle of the screen to put text in. The only module beside screen.c that knows
 * curses. Text is UTF-8, cut on columns; without UTF-8 it is spelled in ASCII.
 */
#ifndef VIEW_CANVAS_H
#define VIEW_CANVAS_H

#include <stdbool.h>

/* How a text looks. Colour only repeats what a word or shape says. */
enum look_of {
    LOOK_PLAIN,
    LOOK_STRONG, /* what to do now */
    LOOK_FAINT,  /* labels, old values */
    LOOK_GOOD,   /* there, locked, up */
    LOOK_BAD,    /* down, lost, falling */
    LOOK_BAR,    /* title and key lines */
    LOOK_COUNT
};

enum canvas_dots { DOTS_ASCII, DOTS_HALF, DOTS_BRAILLE };

struct canvas {
    int top, left, rows, cols;
    bool utf8;
    enum canvas_dots dots;
};

/* Set up the colours after curses is; monochrome with NO_COLOR or a terminal without. */
void canvas_init_looks(void);

/* Text at a place of the rectangle; returns the column behind it. What lies outside is cut. */
int canvas_text(const struct canvas *canvas, int row, int col, enum look_of look,
                const char *format, ...) __attribute__((format(printf, 5, 6)));

/* Fill a whole row of the rectangle with blanks of a look. */
void canvas_bar(const struct canvas *canvas, int row, enum look_of look);

/* Columns that a text takes on this canvas. */
int canvas_width(const struct canvas *canvas, const char *text);

/* A text over several rows, broken at blanks; returns the rows used, at most `most`. */
int canvas_paragraph(const struct canvas *canvas, int row, int col, int most, enum look_of look,
                     const char *text);

#endif
