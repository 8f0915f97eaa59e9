/* panel_keys.c - the bottom of the screen: what is being typed or asked, else a message, else keys.
 */
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/panel.h"

/* In the order of use; as many as fit are shown, the last two always. */
struct key_hint {
    const char *key, *text;
};

/* TRANSLATORS: keys, and what they do in a word or two: all stand in one line */
static const struct key_hint live[] = {
    {N_("Enter"), N_("done")}, {N_("arrows"), N_("moved")}, {"f", N_("far")},    {"s", N_("skip")},
    {"b", N_("back")},         {":", N_("words")},          {"r", N_("repeat")}, {"n", N_("note")},
    {"m", N_("mark")},         {"?", N_("help")},           {"q", N_("quit")},
};
static const struct key_hint simulated[] = {
    {N_("Enter"), N_("done")}, {N_("arrows"), N_("turn it")},
    {", .", N_("skew")},       {N_("Shift"), N_("more")},
    {"s", N_("skip")},         {"f", N_("far")},
    {":", N_("words")},        {"b", N_("back")},
    {"n", N_("note")},         {"?", N_("help")},
    {"q", N_("quit")},
};
/* A drill whose coach speaks when asked. */
static const struct key_hint on_request[] = {
    {"p", N_("ask")},    {N_("Enter"), N_("done")}, {N_("arrows"), N_("turn it")},
    {", .", N_("skew")}, {"s", N_("skip")},         {"f", N_("far")},
    {":", N_("words")},  {"?", N_("help")},         {"q", N_("quit")},
};
static const struct key_hint from_afar[] = {
    {"f", N_("near")},  {N_("Enter"), N_("done")}, {N_("arrows"), N_("moved")}, {"s", N_("skip")},
    {":", N_("words")}, {"?", N_("help")},         {"q", N_("quit")},
};
static const struct key_hint replay_from_afar[] = {
    {"f", N_("near")},           {N_("space"), N_("pause")}, {"[ ]", N_("10 s")},
    {N_("up down"), N_("step")}, {":", N_("words")},         {"?", N_("help")},
    {"q", N_("quit")},
};
static const struct key_hint replay[] = {
    {N_("space"), N_("pause")}, {"[ ]", N_("10 s")}, {N_("up down"), N_("step")},
    {"+ -", N_("pace")},        {":", N_("words")},  {"f", N_("far")},
    {", .", N_("single")},      {"?", N_("help")},   {"q", N_("quit")},
};

static const struct key_hint asking[] = {
    {N_("arrows"), N_("the way, then how far")},
    {", .", N_("skew")},
    {N_("Enter"), N_("pass")},
    {"f", N_("far")},
    {"?", N_("help")},
    {"q", N_("quit")},
};

static int hint_columns(const struct pane *pane, const struct key_hint *hint)
{
    return pane_columns(pane, _(hint->key)) + pane_columns(pane, _(hint->text)) + 3;
}

static void put_hints(const struct pane *pane, const struct key_hint *hints, size_t count)
{
    int room = pane->cols - 1, col = 1;

    room -= hint_columns(pane, &hints[count - 2]) + hint_columns(pane, &hints[count - 1]) - 2;
    for (size_t i = 0; i < count; i++) {
        if (i + 2 < count) {
            if (hint_columns(pane, &hints[i]) > room) {
                continue;
            }
            room -= hint_columns(pane, &hints[i]);
        }
        col = pane_put(pane, 0, col, INK_KEY, _(hints[i].key));
        col = pane_put(pane, 0, col + 1, INK_PLAIN, _(hints[i].text)) + 2;
    }
}

/* The line being typed, scrolled so that the cursor shows. */
static void put_entry(const struct pane *pane, const struct editor *editor)
{
    char before[EDITOR_SIZE];
    const char *text = editor->text;
    int room = pane->cols - 3, columns, from = 2;

    memcpy(before, editor->text, editor->at);
    before[editor->at] = '\0';
    columns = pane_columns(pane, before);
    while (columns > room && *text) {
        uint32_t code;
        text += glyphs_next(text, &code);
        columns = pane_columns(pane, before + (text - editor->text));
    }
    pane_put(pane, 0, 0, INK_KEY, ":");
    pane_put(pane, 0, from, INK_STRONG, text);
    pane->sheet->cursor_row = pane->row;
    pane->sheet->cursor_col = pane->col + from + columns;
}

/* What a second press of the key will do. */
static void ask_again(const struct panel_view *view, char text[SHEET_TEXT_SIZE])
{
    const struct face_scene *scene = view->scene;
    const char *step = _(scene->state->step.name);

    switch (view->keyboard->confirm) {
    case 's':
        text_append(text, SHEET_TEXT_SIZE, _("s again skips %s; any other key goes on"), step);
        break;
    case 'b':
        text_copy(text, SHEET_TEXT_SIZE,
                  _("b again goes back to the step before; any other key goes on"));
        break;
    case 'r':
        text_append(text, SHEET_TEXT_SIZE, _("r again begins %s anew; any other key goes on"),
                    step);
        break;
    default:
        if (scene->log_path[0] && !scene->replaying) {
            text_append(text, SHEET_TEXT_SIZE,
                        _("q again quits, the log stays in %s; any other key goes on"),
                        scene->log_path);
        } else {
            text_copy(text, SHEET_TEXT_SIZE, _("q again quits; any other key goes on"));
        }
    }
}

void panel_keys_sentence(const struct panel_view *view, char ret_text[SHEET_TEXT_SIZE])
{
    const struct keyboard *keyboard = view->keyboard;

    ret_text[0] = '\0';
    if (keyboard->mode == KEYBOARD_CONFIRM) {
        ask_again(view, ret_text);
    } else if (keyboard->hint[0]) {
        text_copy(ret_text, SHEET_TEXT_SIZE, keyboard->hint);
    } else if (keyboard->mode == KEYBOARD_KEYS) {
        text_copy(ret_text, SHEET_TEXT_SIZE, view->message);
    }
}

static void put_keys(const struct pane *pane, const struct panel_view *view)
{
    const struct face_scene *scene = view->scene;
    bool far = view->keyboard->far;

    if (scene->asking) {
        put_hints(pane, asking, sizeof asking / sizeof *asking);
    } else if (far && scene->replaying) {
        put_hints(pane, replay_from_afar, sizeof replay_from_afar / sizeof *replay_from_afar);
    } else if (far) {
        put_hints(pane, from_afar, sizeof from_afar / sizeof *from_afar);
    } else if (scene->replaying) {
        put_hints(pane, replay, sizeof replay / sizeof *replay);
    } else if (scene->on_request) {
        put_hints(pane, on_request, sizeof on_request / sizeof *on_request);
    } else if (scene->mount_is_simulated) {
        put_hints(pane, simulated, sizeof simulated / sizeof *simulated);
    } else {
        put_hints(pane, live, sizeof live / sizeof *live);
    }
}

void panel_keys(const struct pane *pane, const struct panel_view *view)
{
    char text[SHEET_TEXT_SIZE];

    panel_keys_sentence(view, text);
    if (text[0]) {
        pane_put(pane, 0, 1, INK_WARN, text);
    } else if (view->keyboard->mode == KEYBOARD_LINE) {
        put_entry(pane, &view->keyboard->editor);
    } else {
        put_keys(pane, view);
    }
}
