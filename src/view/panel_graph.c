/* panel_graph.c - which of the graphs stands in a place: the one chosen, and beside it the others.
 */
#include "view/panel.h"

static panel_compose *const graphs[KEYBOARD_GRAPHS] = {
    [KEYBOARD_TREND] = panel_trend, [KEYBOARD_LOBE] = panel_lobe, [KEYBOARD_ARC] = panel_arc};

void panel_graph(const struct pane *pane, const struct panel_view *view)
{
    graphs[view->keyboard->graph](pane, view);
}

void panel_side(const struct pane *pane, const struct panel_view *view)
{
    bool chosen = view->keyboard->graph == KEYBOARD_TREND;

    graphs[chosen ? KEYBOARD_LOBE : KEYBOARD_TREND](pane, view);
}

void panel_third(const struct pane *pane, const struct panel_view *view)
{
    bool chosen = view->keyboard->graph == KEYBOARD_ARC;

    graphs[chosen ? KEYBOARD_LOBE : KEYBOARD_ARC](pane, view);
}
