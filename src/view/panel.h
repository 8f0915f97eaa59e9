/*
 * panel.h - one part of the screen. A new panel is one file with a const struct and one row of the
 * table in layout.c. What a panel says is computed by pure functions (readout.h); draw only places.
 */
#ifndef VIEW_PANEL_H
#define VIEW_PANEL_H

#include "view/canvas.h"
#include "view/face.h"

/* What the screen itself remembers between frames. */
struct panel_view {
    double trend_s;      /* seconds that the trend shows */
    const char *message; /* to the operator; "" = none */
    const char *typed;   /* the line being typed; NULL = none */
    const char *prompt;
};

struct panel {
    const char *name;
    int least_rows;  /* it says nothing useful in fewer */
    int wanted_rows; /* it can use no more; 0 = whatever is left */
    void (*draw)(const struct canvas *canvas, const struct face_scene *scene,
                 const struct panel_view *view);
};

extern const struct panel panel_title, panel_coach, panel_aim, panel_level, panel_trend,
    panel_sources, panel_notes, panel_keys, panel_steps;

#endif
