#include "view/panel.h"

#include <math.h>
#include <stdio.h>

#include "base/tongue.h"

static panel_compose *const panels[PANEL_COUNT] = {
    [PANEL_HEAD] = panel_head,   [PANEL_TURN] = panel_turn,
    [PANEL_LEVEL] = panel_level, [PANEL_SATELLITE] = panel_satellite,
    [PANEL_COACH] = panel_coach, [PANEL_STEPS] = panel_steps,
    [PANEL_AIM] = panel_aim,     [PANEL_RULER] = panel_ruler,
    [PANEL_GRAPH] = panel_graph, [PANEL_SIDE] = panel_side,
    [PANEL_THIRD] = panel_third, [PANEL_SOURCES] = panel_sources,
    [PANEL_NOTES] = panel_notes, [PANEL_WHOLE] = panel_whole,
    [PANEL_KEYS] = panel_keys,
};

/* A caution takes the place of what would leave it too little room to be read to its end. */
static enum layout_use use_of(const struct sheet *sheet, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    bool caution = isfinite(state->advice_t) && state->advice.move == ADVICE_CONFIRM;

    if (caution && (view->keyboard->far || !layout_reads(sheet->rows, sheet->cols))) {
        return LAYOUT_READ;
    }
    return view->keyboard->far ? LAYOUT_FAR : LAYOUT_NEAR;
}

void panels_compose(struct sheet *sheet, const struct panel_view *view)
{
    const struct layout *layout = layout_choose(sheet->rows, sheet->cols, use_of(sheet, view));
    struct pane whole = pane_whole(sheet);
    struct layout_box boxes[PANEL_COUNT];

    sheet_blank(sheet);
    if (!layout) {
        char text[SHEET_TEXT_SIZE];
        snprintf(text, sizeof text,
                 _("Make the window %d columns by %d rows at least; all goes on meanwhile."),
                 layout_least_cols, layout_least_rows);
        pane_wrap(&whole, 0, whole.rows, INK_STRONG, text);
        return;
    }
    if (view->keyboard->page != KEYBOARD_NO_PAGE) {
        (view->keyboard->page == KEYBOARD_HELP ? panel_help : panel_now)(&whole, view);
        return;
    }
    layout_arrange(layout, view->scene->timeline != NULL, sheet->rows, sheet->cols, boxes);
    for (int i = 0; i < PANEL_COUNT; i++) {
        if (boxes[i].rows > 0) {
            struct pane pane =
                pane_part(&whole, boxes[i].row, boxes[i].col, boxes[i].rows, boxes[i].cols);
            panels[i](&pane, view);
        }
    }
    if (view->keyboard->mode == KEYBOARD_LINE) {
        panel_palette(&whole, view);
    }
    panel_sentence(&whole, view);
}
