/*
 * panel.h - the parts of the screen. A panel is one file with one function that writes what it has
 * to say on its pane, and one row in the table of panels.c. Pure: a panel looks at the scene and
 * the time that it is handed, nothing else. It survives any size, no colour and no UTF-8.
 */
#ifndef VIEW_PANEL_H
#define VIEW_PANEL_H

#include "coach/coach.h"
#include "session/timeline.h"
#include "view/face.h"
#include "view/graph.h"
#include "view/history.h"
#include "view/keyboard.h"
#include "view/layout.h"
#include "view/ruler.h"
#include "view/sheet.h"

/* What panels look at. All borrowed. */
struct panel_view {
    const struct face_scene *scene;
    double t; /* now, s since the session's start */
    const struct keyboard *keyboard;
    const char *message;        /* "" = none */
    struct graph_point *points; /* scratch: [STATE_TREND] */
    uint32_t *codes;            /* scratch: a cell of the sheet each */
};

typedef void panel_compose(const struct pane *pane, const struct panel_view *view);

panel_compose panel_head, panel_turn, panel_level, panel_satellite, panel_coach, panel_steps,
    panel_aim, panel_ruler, panel_graph, panel_side, panel_third, panel_sources, panel_notes,
    panel_whole, panel_keys;

/* The graphs, one of which a place for graphs shows. */
panel_compose panel_trend, panel_lobe, panel_arc;

/* Not in a layout: they cover the screen when asked for. */
panel_compose panel_help, panel_now;

/* How many parts the help is in on a pane of this size. */
int panel_help_parts(const struct pane *pane, const struct panel_view *view);

/* Not in a layout: they cover rows above the last, while words are typed or where a sentence is too
 * long for it. */
panel_compose panel_palette, panel_sentence;

/* What is asked or said in the place of the keys; "" = nothing. */
void panel_keys_sentence(const struct panel_view *view, char ret_text[SHEET_TEXT_SIZE]);

/* The whole screen for its size. */
void panels_compose(struct sheet *sheet, const struct panel_view *view);

#endif
