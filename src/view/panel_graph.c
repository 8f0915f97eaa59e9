/* panel_graph.c - which of the graphs stands in a place: the one chosen, or the step's own. */
#include <math.h>

#include "view/panel.h"

static panel_compose *const graphs[KEYBOARD_GRAPHS] = {
    [KEYBOARD_TREND] = panel_trend, [KEYBOARD_LOBE] = panel_lobe, [KEYBOARD_ARC] = panel_arc};

void panel_graph(const struct pane *pane, const struct panel_view *view)
{
    graphs[view->keyboard->graph](pane, view);
}

/* Beside it: the arc while satellites are searched for, else the lobe; the trend beside those. */
void panel_side(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    const struct procedure *procedure = view->scene->procedure;
    size_t at = isfinite(state->step_t) ? (size_t)state->step.number - 1 : procedure->step_count;
    enum procedure_do act = at < procedure->step_count ? procedure->steps[at].act : DO_PEAK;

    if (view->keyboard->graph != KEYBOARD_TREND) {
        panel_trend(pane, view);
    } else if (act == DO_SWEEP || act == DO_IDENTIFY) {
        panel_arc(pane, view);
    } else {
        panel_lobe(pane, view);
    }
}
