#define NCURSES_NOMACROS
#include "view/canvas.h"

#include <curses.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

#include "base/text.h"
#include "view/spell.h"

static attr_t attributes[LOOK_COUNT];
static short pairs[LOOK_COUNT];

void canvas_init_looks(void)
{
    const char *no_color = getenv("NO_COLOR");

    attributes[LOOK_STRONG] = A_BOLD;
    attributes[LOOK_GOOD] = A_BOLD;
    attributes[LOOK_BAD] = A_BOLD | A_REVERSE;
    attributes[LOOK_BAR] = A_REVERSE;
    attributes[LOOK_FAINT] = A_NORMAL;
    memset(pairs, 0, sizeof pairs);
    if ((no_color && no_color[0] != '\0') || !has_colors()) {
        return;
    }
    start_color();
    use_default_colors();
    init_pair(1, COLOR_GREEN, -1);
    init_pair(2, COLOR_RED, -1);
    init_pair(3, COLOR_CYAN, -1);
    pairs[LOOK_GOOD] = 1;
    pairs[LOOK_BAD] = 2;
    pairs[LOOK_FAINT] = 3;
}

static void put(const struct canvas *canvas, int row, int col, enum look_of look, const char *text)
{
    char shown[512];
    size_t n = spell_cut(text, canvas->cols - col, canvas->utf8, shown, sizeof shown);

    if (row < 0 || row >= canvas->rows || col < 0 || col >= canvas->cols || n == 0) {
        return;
    }
    attr_set(attributes[look], pairs[look], NULL);
    mvaddnstr(canvas->top + row, canvas->left + col, shown, (int)n);
    attr_set(A_NORMAL, 0, NULL);
}

int canvas_width(const struct canvas *canvas, const char *text)
{
    return spell_width(text, canvas->utf8);
}

int canvas_text(const struct canvas *canvas, int row, int col, enum look_of look,
                const char *format, ...)
{
    char text[512];
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    put(canvas, row, col, look, text);
    return col + canvas_width(canvas, text);
}

void canvas_bar(const struct canvas *canvas, int row, enum look_of look)
{
    char blanks[512];
    int n = canvas->cols < (int)sizeof blanks ? canvas->cols : (int)sizeof blanks - 1;

    memset(blanks, ' ', (size_t)n);
    blanks[n] = '\0';
    put(canvas, row, 0, look, blanks);
}

int canvas_paragraph(const struct canvas *canvas, int row, int col, int most, enum look_of look,
                     const char *text)
{
    int used = 0;
    char line[512];

    while (*text != '\0' && used < most) {
        size_t n = spell_break(text, canvas->cols - col, canvas->utf8);
        snprintf(line, sizeof line, "%.*s", (int)n, text);
        canvas_text(canvas, row + used, col, look, "%s", line);
        used++;
        text += n;
        text += strspn(text, " ");
    }
    return used;
}
