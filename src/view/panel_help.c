/* panel_help.c - all keys, the words that can be typed, and where the log is. */
#include "base/tongue.h"
#include "view/panel.h"

enum { NARROW_COLS = 60 };

void panel_help(const struct pane *pane, const struct panel_view *view)
{
    int key_cols = pane->cols < NARROW_COLS ? 9 : 18, row = 1;
    struct pane below;

    pane_fill(pane, 0, INK_BAR, ' ');
    pane_put(pane, 0, 1, INK_BAR, _("Keys: any key goes back"));
    for (size_t i = 0; i < keyboard_help_count && row < pane->rows; i++) {
        const struct keyboard_help *help = &keyboard_help[i];
        struct pane keys = pane_part(pane, row, 1, 1, key_cols - 2);
        if (help->when == (view->scene->replaying ? KEYS_LIVE : KEYS_REPLAY)) {
            continue;
        }
        pane_put(&keys, 0, 0, INK_KEY, _(help->keys));
        pane_put(pane, row++, key_cols, INK_PLAIN, _(help->text));
    }
    below = pane_part(pane, row, 1, pane->rows - row, pane->cols - 1);
    row = 0;
    if (view->scene->log_path[0]) {
        pane_print(&below, row++, 0, INK_PLAIN, _("Log: %s"), view->scene->log_path);
    }
    pane_wrap(
        &below, row, below.rows - row, INK_PLAIN,
        view->scene->replaying
            ? _("Words: pause, play, speed X or max, next, previous, forward, rewind; seek TIME, "
                "start, end, step NAME, next or previous step, mark, advice; quit")
            : _("Words: done, skip, back, repeat; az, el, skew DEG; moved WAY AMOUNT turns "
                "or deg; level VALUE [UNIT]; lock yes or no [ID]; note TEXT; mark [TEXT]; "
                "quit"));
}
