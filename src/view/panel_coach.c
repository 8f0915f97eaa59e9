/* panel_coach.c - what next: the step, the sentence, and why. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/figures.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, BAR_COLS = 16 };

/* "[#####...........]": steps behind, of all. */
static void describe_progress(const struct state *state, char text[LINE_SIZE])
{
    const struct record_step *step = &state->step;
    bool finished = isfinite(state->advice_t) && state->advice.move == ADVICE_DONE;
    int done = finished ? step->count : step->number - 1;
    int behind = step->count > 0 ? done * BAR_COLS / step->count : 0;

    text[0] = '\0';
    text_append(text, LINE_SIZE, "[%.*s%.*s]", behind, "################", BAR_COLS - behind,
                "................");
}

void panel_coach(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    struct pane text = pane_part(pane, 0, 1, pane->rows, pane->cols - 1);
    char progress[LINE_SIZE], clock[FIGURES_SIZE];
    int row = 1, col;

    if (isnan(state->step_t)) {
        pane_put(&text, 0, 0, INK_STRONG, _("The procedure has not begun"));
        return;
    }
    col = pane_print(&text, 0, 0, INK_STRONG, _("Step %d of %d: %s"), state->step.number,
                     state->step.count, _(state->step.name));
    /* little room, or from afar: only what is to be done */
    if (pane->rows == 1 || (pane->rows == 2 && view->keyboard->far)) {
        if (isfinite(state->advice_t)) {
            pane_fill(&text, 0, INK_PLAIN, ' ');
            pane_wrap(&text, 0, text.rows, INK_STRONG, state->advice.say);
        }
        return;
    }
    describe_progress(state, progress);
    figures_clock(clock, view->t - state->step_t);
    if (pane->cols >= 60) {
        text_append(progress, sizeof progress, " %s", clock);
        /* a long name leaves room for the clock alone */
        pane_put_right(&text, 0, INK_FAINT,
                       col + pane_columns(&text, progress) < text.cols ? progress : clock);
    }
    if (isnan(state->advice_t)) {
        return;
    }
    row += pane_wrap(&text, row, text.rows - row, INK_STRONG, state->advice.say);
    pane_wrap(&text, row, text.rows - row, INK_PLAIN, state->advice.why);
}
