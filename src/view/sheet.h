/*
 * sheet.h - a screenful of characters in memory, and the panes that panels write on. Pure: the
 * terminal is somebody else's matter, so that every panel can be read back as text.
 */
#ifndef VIEW_SHEET_H
#define VIEW_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "view/glyphs.h"

/* What a cell means. Colour and weight repeat what its text says, they never say it alone. */
enum ink {
    INK_PLAIN,
    INK_FAINT,  /* captions, ticks */
    INK_STRONG, /* what the eye looks for */
    INK_GOOD,
    INK_WARN,
    INK_BAD,
    INK_TRACE, /* the level over time */
    INK_BEST,  /* the best level's line */
    INK_BAR,   /* a reversed line */
    INK_KEY,   /* a key to press */
    INK_COUNT
};

enum {
    SHEET_MOST_ROWS = 300,
    SHEET_MOST_COLS = 600,
    SHEET_TEXT_SIZE = 1024, /* one text put at a time */
};

/* The right half of a character that is two columns wide. */
#define SHEET_TAIL UINT32_MAX

struct sheet_cell {
    uint32_t code; /* ' ' where nothing is */
    enum ink ink;
};

struct sheet {
    int rows, cols;
    enum glyphs glyphs;
    int cursor_row, cursor_col; /* where text is typed; -1 = nowhere */
    struct sheet_cell *cells;   /* owned: [rows * cols] */
};

/* A size out of range is brought into it. 0 or -ENOMEM. */
int sheet_init(struct sheet *sheet, int rows, int cols, enum glyphs glyphs);
void sheet_finish(struct sheet *sheet);
void sheet_blank(struct sheet *sheet);

/* A row as UTF-8 without blanks at its end. Returns its bytes. */
size_t sheet_row_text(const struct sheet *sheet, int row, char *text, size_t size);

/* A part of a sheet. Nothing that is put on it goes beyond its edge. */
struct pane {
    struct sheet *sheet; /* borrowed */
    int row, col, rows, cols;
};

struct pane pane_whole(struct sheet *sheet);

/* A part of a pane, cut to it. */
struct pane pane_part(const struct pane *pane, int row, int col, int rows, int cols);

/* One character; code 0 puts nothing. */
void pane_cell(const struct pane *pane, int row, int col, enum ink ink, uint32_t code);

/*
 * Text (UTF-8) from a column on, folded to ASCII where nothing else can be shown. What does not fit
 * is cut, and the last column says so. Returns the column after it.
 */
int pane_put(const struct pane *pane, int row, int col, enum ink ink, const char *text);
int pane_print(const struct pane *pane, int row, int col, enum ink ink, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

/* The same, ending at the right edge. Returns the column it begins at. */
int pane_put_right(const struct pane *pane, int row, enum ink ink, const char *text);

/* Text broken between words over at most `rows` rows. Returns the rows used. */
int pane_wrap(const struct pane *pane, int row, int rows, enum ink ink, const char *text);

/* Rows that a text takes in so many columns of this pane, as pane_wrap() breaks it. */
int pane_wrap_rows(const struct pane *pane, int cols, const char *text);

/* Columns that a text takes on this pane, after folding. */
int pane_columns(const struct pane *pane, const char *text);

/* A whole row in an ink. */
void pane_fill(const struct pane *pane, int row, enum ink ink, uint32_t code);

#endif
