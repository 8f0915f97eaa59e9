/* panel_steps.c - the procedure as a list, around the step at hand. */
#include <math.h>

#include "base/tongue.h"
#include "view/panel.h"

void panel_steps(const struct pane *pane, const struct panel_view *view)
{
    const struct procedure *procedure = view->scene->procedure;
    const struct state *state = view->scene->state;
    int count = (int)procedure->step_count;
    int at = isnan(state->step_t) ? -1 : state->step.number - 1;
    int first = at - pane->rows / 2;
    bool finished = isfinite(state->advice_t) && state->advice.move == ADVICE_DONE;

    first = first > count - pane->rows ? count - pane->rows : first;
    first = first < 0 ? 0 : first;
    for (int row = 0; row < pane->rows && first + row < count; row++) {
        int i = first + row;
        bool behind = i < at || finished;
        enum ink ink = i == at && !finished ? INK_STRONG : behind ? INK_FAINT : INK_PLAIN;
        pane_print(pane, row, 0, ink, "%c %2d %s",
                   i == at && !finished ? '>'
                   : behind             ? 'x'
                                        : ' ',
                   i + 1, _(procedure->steps[i].name));
    }
}
