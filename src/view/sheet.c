#include "view/sheet.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static int clamp(int value, int least, int most)
{
    return value < least ? least : value > most ? most : value;
}

int sheet_init(struct sheet *sheet, int rows, int cols, enum glyphs glyphs)
{
    *sheet = (struct sheet){.rows = clamp(rows, 1, SHEET_MOST_ROWS),
                            .cols = clamp(cols, 1, SHEET_MOST_COLS),
                            .glyphs = glyphs};
    sheet->cells = calloc((size_t)sheet->rows * (size_t)sheet->cols, sizeof *sheet->cells);
    if (!sheet->cells) {
        return -ENOMEM;
    }
    sheet_blank(sheet);
    return 0;
}

void sheet_finish(struct sheet *sheet)
{
    free(sheet->cells);
    sheet->cells = NULL;
}

void sheet_blank(struct sheet *sheet)
{
    for (int i = 0; i < sheet->rows * sheet->cols; i++) {
        sheet->cells[i] = (struct sheet_cell){.code = ' '};
    }
    sheet->cursor_row = sheet->cursor_col = -1;
}

size_t sheet_row_text(const struct sheet *sheet, int row, char *text, size_t size)
{
    const struct sheet_cell *cells = &sheet->cells[row * sheet->cols];
    size_t used = 0;
    int end = sheet->cols;

    while (end > 0 && cells[end - 1].code == ' ') {
        end--;
    }
    for (int col = 0; col < end && used + 5 < size; col++) {
        if (cells[col].code != SHEET_TAIL) {
            used += glyphs_encode(text + used, cells[col].code);
        }
    }
    text[used] = '\0';
    return used;
}

/* --- panes ---------------------------------------------------------------------------------- */

struct pane pane_whole(struct sheet *sheet)
{
    return (struct pane){.sheet = sheet, .rows = sheet->rows, .cols = sheet->cols};
}

struct pane pane_part(const struct pane *pane, int row, int col, int rows, int cols)
{
    struct pane part = *pane;

    row = clamp(row, 0, pane->rows);
    col = clamp(col, 0, pane->cols);
    part.row = pane->row + row;
    part.col = pane->col + col;
    part.rows = clamp(rows, 0, pane->rows - row);
    part.cols = clamp(cols, 0, pane->cols - col);
    return part;
}

static struct sheet_cell *cell_at(const struct pane *pane, int row, int col)
{
    if (row < 0 || row >= pane->rows || col < 0 || col >= pane->cols) {
        return NULL;
    }
    return &pane->sheet->cells[(pane->row + row) * pane->sheet->cols + pane->col + col];
}

void pane_cell(const struct pane *pane, int row, int col, enum ink ink, uint32_t code)
{
    struct sheet_cell *cell = cell_at(pane, row, col);

    if (cell && code != 0) {
        *cell = (struct sheet_cell){.code = code, .ink = ink};
    }
}

/* The text as this sheet can show it. */
static const char *showable(const struct pane *pane, const char *text, char room[SHEET_TEXT_SIZE])
{
    if (pane->sheet->glyphs != GLYPHS_ASCII) {
        return text;
    }
    glyphs_fold(room, SHEET_TEXT_SIZE, text);
    return room;
}

int pane_columns(const struct pane *pane, const char *text)
{
    char room[SHEET_TEXT_SIZE];

    return glyphs_columns(showable(pane, text, room));
}

/* n bytes of showable text; returns the column after it. */
static int put_bytes(const struct pane *pane, int row, int col, enum ink ink, const char *text,
                     size_t n)
{
    const char *end = text + n;

    while (text < end) {
        uint32_t code;
        int width;
        text += glyphs_next(text, &code);
        width = glyphs_width(code);
        if (width == 0) {
            continue;
        }
        if (col + width > pane->cols) {
            pane_cell(pane, row, pane->cols - 1, ink,
                      pane->sheet->glyphs == GLYPHS_ASCII ? '~' : 0x2026);
            return pane->cols;
        }
        pane_cell(pane, row, col, ink, code);
        if (width == 2) {
            pane_cell(pane, row, col + 1, ink, SHEET_TAIL);
        }
        col += width;
    }
    return col;
}

int pane_put(const struct pane *pane, int row, int col, enum ink ink, const char *text)
{
    char room[SHEET_TEXT_SIZE];

    text = showable(pane, text, room);
    return put_bytes(pane, row, col, ink, text, strlen(text));
}

int pane_print(const struct pane *pane, int row, int col, enum ink ink, const char *format, ...)
{
    char text[SHEET_TEXT_SIZE];
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    return pane_put(pane, row, col, ink, text);
}

int pane_put_right(const struct pane *pane, int row, enum ink ink, const char *text)
{
    int col = pane->cols - pane_columns(pane, text);

    col = col < 0 ? 0 : col;
    pane_put(pane, row, col, ink, text);
    return col;
}

/* How many bytes of the text fit on a row, broken between words where there is a blank. */
static size_t fitting(const char *text, int cols)
{
    size_t used = 0, blank = 0;
    int columns = 0;

    while (text[used]) {
        uint32_t code;
        size_t n = glyphs_next(text + used, &code);
        columns += glyphs_width(code);
        if (code == ' ') {
            blank = used;
        }
        if (columns > cols) {
            return blank > 0 ? blank : used;
        }
        used += n;
    }
    return used;
}

int pane_wrap(const struct pane *pane, int row, int rows, enum ink ink, const char *text)
{
    char room[SHEET_TEXT_SIZE];
    int used = 0;

    text = showable(pane, text, room);
    while (*text && used < rows && pane->cols > 0) {
        size_t n = used + 1 < rows ? fitting(text, pane->cols) : strlen(text);
        n = n == 0 ? strlen(text) : n;
        put_bytes(pane, row + used, 0, ink, text, n);
        used++;
        text += n;
        text += strspn(text, " ");
    }
    return used;
}

int pane_wrap_rows(const struct pane *pane, int cols, const char *text)
{
    struct pane nowhere = {.sheet = pane->sheet, .cols = cols};

    return pane_wrap(&nowhere, 0, SHEET_MOST_ROWS, INK_PLAIN, text);
}

void pane_fill(const struct pane *pane, int row, enum ink ink, uint32_t code)
{
    for (int col = 0; col < pane->cols; col++) {
        pane_cell(pane, row, col, ink, code);
    }
}
