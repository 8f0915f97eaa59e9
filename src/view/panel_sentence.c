/* panel_sentence.c - what is asked or said at the bottom of the screen, when it is too long for a
 * row: it covers the rows above. */
#include "view/panel.h"

void panel_sentence(const struct pane *pane, const struct panel_view *view)
{
    char text[SHEET_TEXT_SIZE];
    struct pane below;
    int rows;

    panel_keys_sentence(view, text);
    rows = pane_wrap_rows(pane, pane->cols - 1, text);
    if (rows <= 1) {
        return; /* it stands among the keys */
    }
    rows = rows < pane->rows ? rows : pane->rows;
    below = pane_part(pane, pane->rows - rows, 1, rows, pane->cols - 1);
    for (int row = 0; row < rows; row++) {
        pane_fill(&below, row, INK_PLAIN, ' ');
    }
    pane_wrap(&below, 0, rows, INK_WARN, text);
}
