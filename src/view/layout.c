#include "view/layout.h"

#include <stddef.h>

enum side { WHOLE, LEFT, RIGHT };

struct layout {
    int least_rows, least_cols;
    struct {
        const struct panel *panel;
        enum side side;
    } parts[LAYOUT_PANELS];
};

/* From the largest down; each from top to bottom. Panels that find no rows are left out from the
 * end of the list, the key line never. */
static const struct layout layouts[] = {
    {40, 110,
     {{&panel_title, WHOLE},
      {&panel_coach, WHOLE},
      {&panel_aim, LEFT},
      {&panel_level, LEFT},
      {&panel_sources, LEFT},
      {&panel_notes, LEFT},
      {&panel_steps, RIGHT},
      {&panel_trend, WHOLE},
      {&panel_keys, WHOLE}}},
    {LAYOUT_LEAST_ROWS, LAYOUT_LEAST_COLS,
     {{&panel_title, WHOLE},
      {&panel_coach, WHOLE},
      {&panel_aim, WHOLE},
      {&panel_level, WHOLE},
      {&panel_trend, WHOLE},
      {&panel_sources, WHOLE},
      {&panel_keys, WHOLE}}},
};

static const struct layout *choose(int rows, int cols)
{
    for (size_t i = 0; i < sizeof layouts / sizeof *layouts; i++) {
        if (rows >= layouts[i].least_rows && cols >= layouts[i].least_cols) {
            return &layouts[i];
        }
    }
    return NULL;
}

/* Rows that a run of panels asks for, of those that stand on the whole width or the left. */
static int least_rows(const struct layout *layout)
{
    int sum = 0;

    for (int i = 0; layout->parts[i].panel; i++) {
        if (layout->parts[i].side != RIGHT) {
            sum += layout->parts[i].panel->least_rows;
        }
    }
    return sum;
}

/* Spare rows go to the panels in order up to what they want; the rest to those without a limit. */
static void share_rows(const struct layout *layout, int spare, int rows[LAYOUT_PANELS])
{
    int greedy = 0;

    for (int i = 0; layout->parts[i].panel; i++) {
        const struct panel *panel = layout->parts[i].panel;
        rows[i] = panel->least_rows;
        greedy += panel->wanted_rows == 0 && layout->parts[i].side != RIGHT;
    }
    for (int i = 0; layout->parts[i].panel; i++) {
        const struct panel *panel = layout->parts[i].panel;
        int more = panel->wanted_rows - panel->least_rows;
        if (panel->wanted_rows > 0 && layout->parts[i].side != RIGHT) {
            more = more < spare ? more : spare;
            rows[i] += more;
            spare -= more;
        }
    }
    for (int i = 0; greedy > 0 && layout->parts[i].panel; i++) {
        if (layout->parts[i].panel->wanted_rows == 0 && layout->parts[i].side != RIGHT) {
            rows[i] += spare / greedy;
            spare -= spare / greedy;
            greedy--;
        }
    }
}

int layout_make(int rows, int cols, struct layout_place places[LAYOUT_PANELS])
{
    const struct layout *layout = choose(rows, cols);
    int given[LAYOUT_PANELS], top = 0, count = 0, left_top = -1, left_end = 0;

    if (!layout) {
        return 0;
    }
    share_rows(layout, rows - least_rows(layout), given);
    for (int i = 0; layout->parts[i].panel; i++) {
        struct layout_place *place = &places[count++];
        place->panel = layout->parts[i].panel;
        if (layout->parts[i].side == RIGHT) {
            /* beside everything that stands on the left */
            *place = (struct layout_place){place->panel, left_top, cols / 2, left_end - left_top,
                                           cols - cols / 2};
            continue;
        }
        *place = (struct layout_place){place->panel, top, 0, given[i],
                                       layout->parts[i].side == LEFT ? cols / 2 - 1 : cols};
        if (layout->parts[i].side == LEFT) {
            left_top = left_top < 0 ? top : left_top;
            left_end = top + given[i];
        }
        top += given[i];
    }
    return count;
}
