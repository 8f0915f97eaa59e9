/* panel_palette.c - while words are typed: those that it may become, above the line. */
#include <stdio.h>
#include <string.h>

#include "base/tongue.h"
#include "view/palette.h"
#include "view/panel.h"

enum { MOST_ROWS = 10, WORD_COLS = 24, KEY_COLS = 8, LINE_SIZE = 80 };

static void put_word(const struct pane *pane, int row, const struct palette_word *word, bool chosen)
{
    enum ink ink = chosen ? INK_BAR : INK_PLAIN;
    char text[LINE_SIZE];

    snprintf(text, sizeof text, "%c %s%s", chosen ? '>' : ' ', word->word, _(word->more));
    pane_fill(pane, row, ink, ' ');
    pane_put(pane, row, 0, chosen ? INK_BAR : INK_STRONG, text);
    if (pane->cols > WORD_COLS + 3 * KEY_COLS) {
        pane_put(pane, row, WORD_COLS + 4, chosen ? INK_BAR : INK_KEY, _(word->key));
        pane_put(pane, row, WORD_COLS + 4 + KEY_COLS, ink, _(word->text));
    }
}

void panel_palette(const struct pane *pane, const struct panel_view *view)
{
    const struct palette_word *list[PALETTE_MOST];
    const struct keyboard *keyboard = view->keyboard;
    int count = (int)palette_match(keyboard->editor.text, palette_where(view->scene), list);
    int rows = pane->rows - 1 < MOST_ROWS ? pane->rows - 1 : MOST_ROWS, first = 0;
    struct pane above;

    rows = count < rows ? count : rows;
    if (rows < 1) {
        return;
    }
    if (keyboard->chosen >= rows) {
        first = keyboard->chosen - rows + 1;
    }
    above = pane_part(pane, pane->rows - 1 - rows, 0, rows, pane->cols);
    for (int row = 0; row < rows; row++) {
        put_word(&above, row, list[first + row], first + row == keyboard->chosen);
    }
}
