/* panel_notes.c - the last notes and marks. */
#include "base/tongue.h"
#include "view/figures.h"
#include "view/panel.h"

void panel_notes(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    size_t rows = (size_t)pane->rows;
    size_t first = state->note_count > rows ? state->note_count - rows : 0;

    if (state->note_count == 0) {
        pane_put(pane, 0, 1, INK_FAINT, _("No notes yet."));
    }
    for (size_t i = first; i < state->note_count; i++) {
        const char *text = state->notes[i].text;
        char clock[FIGURES_SIZE];
        figures_clock(clock, state->notes[i].t);
        pane_print(pane, (int)(i - first), 1, INK_PLAIN, "%s %s%s%s", clock,
                   state->notes[i].mark ? _("mark") : _("note"), text[0] ? ": " : "", text);
    }
}
