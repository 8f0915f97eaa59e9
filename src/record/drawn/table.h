/* table.h - rows of cells, headings and lists on a page. */
#ifndef RECORD_DRAWN_TABLE_H
#define RECORD_DRAWN_TABLE_H

#include "record/drawn/paper.h"

enum { TABLE_CELL_SIZE = 320, TABLE_ROWS = 96 };

struct table_column {
    double width; /* as wide as the text may be; a gap follows */
    enum paper_align align;
};

struct table_row {
    char cells[2][TABLE_CELL_SIZE]; /* "when" or a key, and what is said */
    enum paper_pen pen;
};

extern const double table_gap;

/* A heading with a rule under it. Returns the height it takes, with the room below it. */
double table_heading(struct paper *paper, double x, double y, double width, const char *text);

/*
 * One row.
 *
 *   columns, cells   n of each; a cell "" or NULL stays empty
 *   lines            most that a cell may take
 *   returns          the height of the tallest cell
 */
double table_put_row(struct paper *paper, enum paper_style style, enum paper_pen pen, double x,
                     double y, const struct table_column *columns, int n, const char *const *cells,
                     int lines);

/*
 * Rows of two cells, as many as there is room for; how many more there are is said then.
 *
 *   first_width  of the first cell; 0 = there are only the second ones
 *   lost         rows that there are besides
 *   returns      the height taken, at most box.height (as long as one line fits)
 */
double table_list(struct paper *paper, enum paper_style style, struct paper_box box,
                  double first_width, const struct table_row *rows, int n, int lost);

#endif
