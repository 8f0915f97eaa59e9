/*
 * paper.h - pages of A4 with lines, shapes and text on them, as PDF or SVG. The only header that
 * stands between the drawing library and the rest.
 *
 * Lengths are points (1/72 inch) from the upper left corner, y downward. Nothing of the clock or
 * the machine gets into a file: the same calls give the same bytes. Text comes from outside: bytes
 * that are not UTF-8 and controls are shown as '?', also those that turn the direction of what
 * follows.
 */
#ifndef RECORD_DRAWN_PAPER_H
#define RECORD_DRAWN_PAPER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "record/drawing.h"

/* ISO 216: 210 mm by 297 mm. */
#define PAPER_MM (72.0 / 25.4)
#define PAPER_WIDTH (210.0 * PAPER_MM)
#define PAPER_HEIGHT (297.0 * PAPER_MM)

enum paper_style {
    STYLE_TITLE,
    STYLE_HEADING,
    STYLE_BODY,
    STYLE_STRONG,
    STYLE_SMALL,
    STYLE_SMALL_STRONG,
    STYLE_FIXED
};

/* Colour only repeats what a word or a shape says; each stays dark enough on a printer without it.
 */
enum paper_pen { PEN_DARK, PEN_SOFT, PEN_RULE, PEN_ACCENT, PEN_ALARM };

enum paper_align { ALIGN_LEFT, ALIGN_MIDDLE, ALIGN_RIGHT };

/* What a line of the judgement came to; also told by a word beside it, and by shape alone. */
enum paper_shape { SHAPE_TICK, SHAPE_CROSS, SHAPE_DASH };

struct paper_box {
    double x, y, width, height;
};

struct paper_point {
    double x, y; /* y NaN = a gap */
};

struct paper;

/*
 *   file     borrowed; written to until paper_close()
 *   title    of the document, for the window that shows it
 *   returns  0; -ENOMEM
 */
int paper_open(struct paper **ret, enum drawing_kind kind, FILE *file, const char *title,
               const char *maker);

/* A new page; its name is for the list of pages that a viewer shows. */
void paper_start_page(struct paper *paper, const char *name);
void paper_end_page(struct paper *paper);

/* Finish the document and free; NULL is allowed. 0; -ENOMEM; -EIO or the file's own error. */
int paper_close(struct paper *paper);

/*
 * Text in a column: wrapped at its width, at most so many lines, an ellipsis when that is not
 * enough. One text is one paragraph, whatever is in it.
 *
 *   y        upper edge of the first line
 *   returns  the height it takes
 */
double paper_text(struct paper *paper, enum paper_style style, enum paper_pen pen,
                  enum paper_align align, double x, double y, double width, int lines,
                  const char *text);

/* In between nothing is drawn, only measured; may be nested. */
void paper_rehearse_begin(struct paper *paper);
void paper_rehearse_end(struct paper *paper);

/* The width of a text in one line. */
double paper_text_width(struct paper *paper, enum paper_style style, const char *text);

/* The height of a line. */
double paper_line_height(struct paper *paper, enum paper_style style);

void paper_line(struct paper *paper, enum paper_pen pen, double width, bool dashed, double x0,
                double y0, double x1, double y1);
void paper_frame(struct paper *paper, enum paper_pen pen, double width, struct paper_box box);
void paper_fill(struct paper *paper, double grey,
                struct paper_box box); /* grey: 0 black, 1 white */

/* A curve through points[n]; broken at gaps. What lies outside the box is not drawn. */
void paper_curve(struct paper *paper, enum paper_pen pen, double width, bool dashed,
                 struct paper_box box, const struct paper_point *points, size_t n);

/* A reading: a small triangle that points right (way > 0) or left (way < 0), or a ring (0). */
void paper_reading(struct paper *paper, enum paper_pen pen, double x, double y, int way);

/* A wedge whose tip touches a point from above. */
void paper_pointer(struct paper *paper, enum paper_pen pen, double x, double y);

/* A judgement's shape in a square of that size. */
void paper_shape(struct paper *paper, enum paper_shape shape, double x, double y, double size);

#endif
