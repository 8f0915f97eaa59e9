/* panel_now.c - how all stands, for a screen that has no room for it beside the rest: the steps,
 * the sources, the notes. */
#include "base/tongue.h"
#include "view/panel.h"

enum { SPLIT_COLS = 72, LEFT_COLS = 36 };

static int least(int a, int b)
{
    return a < b ? a : b;
}

void panel_now(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    bool beside = pane->cols >= SPLIT_COLS;
    int rows = pane->rows - 1, cols = beside ? pane->cols - LEFT_COLS : pane->cols;
    int sources = least((int)state->source_count + 1, rows / 3);
    int notes = beside ? rows - sources
                       : least(state->note_count > 0 ? (int)state->note_count : 1, rows / 3);
    int right = beside ? 0 : rows - sources - notes;
    struct pane parts[] = {
        pane_part(pane, 1, 1, beside ? rows : right, beside ? LEFT_COLS - 2 : cols - 1),
        pane_part(pane, 1 + right, pane->cols - cols + 1, sources, cols - 1),
        pane_part(pane, 1 + right + sources, pane->cols - cols, notes, cols),
    };

    pane_fill(pane, 0, INK_BAR, ' ');
    pane_put(pane, 0, 1, INK_BAR, _("How all stands: any key goes back"));
    panel_steps(&parts[0], view);
    panel_sources(&parts[1], view);
    panel_notes(&parts[2], view);
}
