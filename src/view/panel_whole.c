/*
 * panel_whole.c - a whole recorded session on one line: where in it the replay stands, where its
 * steps began and what was marked.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "view/figures.h"
#include "view/panel.h"

enum { LEAST_COLS = 12 };

/* From what is behind to what is seen best: later ones stand over earlier ones. */
static const struct {
    uint32_t ascii, full;
    enum ink ink;
} signs[] = {
    {'=', 0x2501, INK_PLAIN}, /* behind */
    {'-', 0x2500, INK_FAINT}, /* ahead */
    {'|', 0x253c, INK_PLAIN}, /* a step */
    {'^', '^', INK_KEY},      /* a mark */
    {'@', '@', INK_STRONG},   /* now */
};
enum { BEHIND, AHEAD, STEP, MARK, NOW };

static void put(const struct pane *pane, int col, int sign)
{
    pane_cell(pane, 0, col, signs[sign].ink,
              pane->sheet->glyphs == GLYPHS_ASCII ? signs[sign].ascii : signs[sign].full);
}

static void put_places(const struct pane *line, const struct timeline *timeline, double per_s,
                       enum timeline_kind kind, int sign)
{
    for (size_t i = 0; i < timeline->place_count; i++) {
        if (timeline->places[i].kind == kind) {
            put(line, (int)(timeline->places[i].t * per_s), sign);
        }
    }
}

void panel_whole(const struct pane *pane, const struct panel_view *view)
{
    const struct timeline *timeline = view->scene->timeline;
    char now[FIGURES_SIZE], end[FIGURES_SIZE + 3];
    double length = fmax(timeline->end_t, view->t), per_s;
    struct pane line;
    int left, right;

    figures_clock(now, view->t);
    figures_clock(end, length);
    if (!timeline->whole) {
        strcat(end, " +"); /* it is still being read */
    }
    left = 2 + (int)strlen(end);
    right = pane_put_right(pane, 0, INK_FAINT, end) - 1;
    pane_put(pane, 0, 1, INK_STRONG, now);
    line = pane_part(pane, 0, left, 1, right - left);
    if (line.cols < LEAST_COLS) {
        return;
    }
    per_s = (line.cols - 1) / fmax(length, 1.0);
    for (int col = 0; col < line.cols; col++) {
        put(&line, col, col < view->t * per_s ? BEHIND : AHEAD);
    }
    put_places(&line, timeline, per_s, TIMELINE_STEP, STEP);
    put_places(&line, timeline, per_s, TIMELINE_MARK, MARK);
    put(&line, (int)(view->t * per_s), NOW);
}
