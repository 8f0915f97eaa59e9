/* panel_help.c - all keys, where the log is, and the words that can be typed; in parts where the
 * window is too small for all at once. */
#include "base/text.h"
#include "base/tongue.h"
#include "view/palette.h"
#include "view/panel.h"

enum { NARROW_COLS = 60 };

/* Where entries go, and which part of them is to be seen. */
struct help {
    const struct pane *pane;
    int key_cols;
    int part, row; /* of the next entry */
    int shown;     /* the part that is put on the pane; -1 = none */
};

/* One entry: keys beside what they do; without keys over the whole width. */
static void put_entry(struct help *help, const char *keys, const char *text)
{
    int col = keys[0] ? help->key_cols : 1;
    int cols = help->pane->cols - col, rows = pane_wrap_rows(help->pane, cols, text);
    int key_rows = pane_wrap_rows(help->pane, help->key_cols - 2, keys);

    rows = key_rows > rows ? key_rows : rows;
    if (help->row + rows > help->pane->rows && help->row > 1) {
        help->part++;
        help->row = 1;
    }
    if (help->part == help->shown) {
        struct pane left = pane_part(help->pane, help->row, 1, rows, help->key_cols - 2);
        struct pane right = pane_part(help->pane, help->row, col, rows, cols);
        pane_wrap(&left, 0, rows, INK_KEY, keys);
        pane_wrap(&right, 0, rows, INK_PLAIN, text);
    }
    help->row += rows;
}

/* Put one part of the help on the pane; -1 = none. How many parts there are. */
static int put_part(const struct pane *pane, const struct panel_view *view, int part)
{
    struct help help = {
        .pane = pane, .key_cols = pane->cols < NARROW_COLS ? 9 : 18, .row = 1, .shown = part};
    char log[SHEET_TEXT_SIZE] = "";

    for (size_t i = 0; i < keyboard_help_count; i++) {
        if (keyboard_help[i].where & palette_where(view->scene)) {
            put_entry(&help, _(keyboard_help[i].keys), _(keyboard_help[i].text));
        }
    }
    if (view->scene->log_path[0]) {
        text_append(log, sizeof log, _("Log: %s"), view->scene->log_path);
        put_entry(&help, "", log);
    }
    put_entry(&help, "",
              view->scene->replaying
                  ? _("Words: pause, play, speed X or max, next, previous, forward, rewind; seek "
                      "TIME, start, end, step NAME, next or previous step, mark, advice; quit")
                  : _("Words: done, skip, back, repeat; az, el, skew DEG; moved WAY AMOUNT turns "
                      "or deg; level VALUE [UNIT]; lock yes or no [ID]; note TEXT; mark [TEXT]; "
                      "quit"));
    return help.part + 1;
}

int panel_help_parts(const struct pane *pane, const struct panel_view *view)
{
    return put_part(pane, view, -1);
}

void panel_help(const struct pane *pane, const struct panel_view *view)
{
    int part = view->keyboard->help_part;
    bool more = part + 1 < panel_help_parts(pane, view);

    put_part(pane, view, part);
    pane_fill(pane, 0, INK_BAR, ' ');
    pane_put(pane, 0, 1, INK_BAR,
             more ? _("Keys: ? shows more, any other goes back") : _("Keys: any key goes back"));
}
