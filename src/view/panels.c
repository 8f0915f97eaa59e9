#include "view/panel.h"

#include <stdio.h>

const double panel_old_s = 3.0;

static panel_compose *const panels[PANEL_COUNT] = {
    [PANEL_HEAD] = panel_head,       [PANEL_TURN] = panel_turn,
    [PANEL_LEVEL] = panel_level,     [PANEL_SATELLITE] = panel_satellite,
    [PANEL_COACH] = panel_coach,     [PANEL_STEPS] = panel_steps,
    [PANEL_AIM] = panel_aim,         [PANEL_TREND] = panel_trend,
    [PANEL_SOURCES] = panel_sources, [PANEL_NOTES] = panel_notes,
    [PANEL_KEYS] = panel_keys,
};

void panels_compose(struct sheet *sheet, const struct panel_view *view)
{
    const struct layout *layout = layout_choose(sheet->rows, sheet->cols);
    struct pane whole = pane_whole(sheet);
    struct layout_box boxes[PANEL_COUNT];

    sheet_blank(sheet);
    if (!layout) {
        char text[SHEET_TEXT_SIZE];
        snprintf(text, sizeof text,
                 "Make the window %d columns by %d rows at least; all goes on meanwhile.",
                 layout_least_cols, layout_least_rows);
        pane_wrap(&whole, 0, whole.rows, INK_STRONG, text);
        return;
    }
    if (view->keyboard->help) {
        panel_help(&whole, view);
        return;
    }
    layout_arrange(layout, sheet->rows, sheet->cols, boxes);
    for (int i = 0; i < PANEL_COUNT; i++) {
        if (boxes[i].rows > 0) {
            struct pane pane =
                pane_part(&whole, boxes[i].row, boxes[i].col, boxes[i].rows, boxes[i].cols);
            panels[i](&pane, view);
        }
    }
}
