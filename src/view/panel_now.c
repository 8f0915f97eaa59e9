/* panel_now.c - how all stands, for a screen that has no room for it beside the rest: what the
 * coach says to its end, the steps, the sources, the notes. */
#include <math.h>

#include "base/tongue.h"
#include "view/panel.h"

enum { SPLIT_COLS = 72, LEFT_COLS = 36 };

static int least(int a, int b)
{
    return a < b ? a : b;
}

/* The sentence and the grounds. Rows used, a free one behind them included. */
static int put_advice(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    int row;

    if (isnan(state->advice_t)) {
        return 0;
    }
    row = pane_wrap(pane, 0, pane->rows, INK_STRONG, state->advice.say);
    row += pane_wrap(pane, row, pane->rows - row, INK_PLAIN, state->advice.why);
    return least(row + 1, pane->rows);
}

void panel_now(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    bool beside = pane->cols >= SPLIT_COLS;
    int rows = pane->rows - 1, left = beside ? LEFT_COLS : 0, cols = pane->cols - left - 1;
    struct pane advice = pane_part(pane, 1, left + 1, least(rows / 3, 8), cols), part;
    int row = 1 + put_advice(&advice, view);
    int sources = least((int)state->source_count + 1, rows / 3);
    int notes = least(state->note_count > 0 ? (int)state->note_count : 1, rows / 4);

    pane_fill(pane, 0, INK_BAR, ' ');
    pane_put(pane, 0, 1, INK_BAR, _("How all stands: any key goes back"));
    part = beside ? pane_part(pane, 1, 1, rows, LEFT_COLS - 2)
                  : pane_part(pane, row, 1, pane->rows - row - sources - notes, cols);
    panel_steps(&part, view);
    row = beside ? row : pane->rows - sources - notes;
    part = pane_part(pane, row, left + 1, sources, cols);
    panel_sources(&part, view);
    part = pane_part(pane, row + sources, left, pane->rows - row - sources, cols + 1);
    panel_notes(&part, view);
}
