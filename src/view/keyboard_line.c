/* keyboard_line.c - words being typed: edited, completed, chosen from the list above the line. */
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/keyboard_inside.h"

void keyboard_start_line(struct keyboard *keyboard, const char *text)
{
    keyboard->mode = KEYBOARD_LINE;
    keyboard->chosen = -1;
    editor_start(&keyboard->editor, text);
}

/* The word that is meant by what was typed: the chosen one, or the only one; NULL = as typed. */
static const struct palette_word *meant(const struct keyboard *keyboard,
                                        const struct palette_word *const *list, size_t count)
{
    if (keyboard->chosen >= 0 && keyboard->chosen < (int)count) {
        return list[keyboard->chosen];
    }
    for (size_t i = 0; i < count; i++) {
        if (strcasecmp(list[i]->word, keyboard->editor.text) == 0) {
            return list[i];
        }
    }
    return count == 1 && keyboard->editor.text[0] ? list[0] : NULL;
}

/* Take a word into the line as far as what was typed is not past it. */
static void complete(struct keyboard *keyboard, const struct palette_word *word)
{
    if (strlen(keyboard->editor.text) < strlen(word->word)) {
        editor_start(&keyboard->editor, word->word);
    }
    keyboard->chosen = -1;
}

static int enter_line(struct keyboard *keyboard, unsigned where, char words[FACE_WORDS_SIZE])
{
    const struct palette_word *list[PALETTE_MOST], *word;
    size_t count = palette_match(keyboard->editor.text, where, list);

    word = meant(keyboard, list, count);
    if (!word && count > 1 && keyboard->editor.text[0]) {
        text_copy(keyboard->hint, sizeof keyboard->hint,
                  _("Several words begin like that: type more, or choose with the arrows."));
        return 0;
    }
    if (word) {
        size_t size = strlen(word->word);
        complete(keyboard, word);
        if (word->word[size - 1] == ' ' && strlen(keyboard->editor.text) == size) {
            return 0; /* what follows is still to be typed */
        }
    }
    keyboard->mode = KEYBOARD_KEYS;
    if (word && word->act != PALETTE_SAYS) {
        keyboard_act(keyboard, word->act, word->detail);
        return 0;
    }
    text_copy(words, FACE_WORDS_SIZE, keyboard->editor.text);
    return 1;
}

static void complete_line(struct keyboard *keyboard, unsigned where)
{
    const struct palette_word *list[PALETTE_MOST];
    size_t count = palette_match(keyboard->editor.text, where, list);

    if (count > 0) {
        complete(
            keyboard,
            list[keyboard->chosen >= 0 && keyboard->chosen < (int)count ? keyboard->chosen : 0]);
    }
}

static void choose(struct keyboard *keyboard, unsigned where, int by)
{
    const struct palette_word *list[PALETTE_MOST];
    int count = (int)palette_match(keyboard->editor.text, where, list);

    if (count > 0) {
        keyboard->chosen = keyboard->chosen < 0 ? (by > 0 ? 0 : count - 1)
                                                : (keyboard->chosen + by + count) % count;
    }
}

int keyboard_press_in_line(struct keyboard *keyboard, unsigned where, uint32_t stroke,
                           char words[FACE_WORDS_SIZE])
{
    struct editor *editor = &keyboard->editor;

    switch (stroke) {
    case STROKE_ENTER:
        return enter_line(keyboard, where, words);
    case STROKE_TAB:
        complete_line(keyboard, where);
        return 0;
    case STROKE_UP:
    case 'P' & 0x1f:
        choose(keyboard, where, -1);
        return 0;
    case STROKE_DOWN:
    case 'N' & 0x1f:
        choose(keyboard, where, 1);
        return 0;
    case STROKE_ESCAPE:
        keyboard->mode = KEYBOARD_KEYS;
        return 0;
    case STROKE_BACKSPACE:
        if (editor->text[0] == '\0') {
            keyboard->mode = KEYBOARD_KEYS;
        }
        keyboard->chosen = -1;
        editor_delete_before(editor);
        return 0;
    case STROKE_DELETE:
    case 'D' & 0x1f:
        editor_delete_at(editor);
        return 0;
    case STROKE_LEFT:
        editor_go(editor, -1);
        return 0;
    case STROKE_RIGHT:
        editor_go(editor, 1);
        return 0;
    case STROKE_HOME:
    case 'A' & 0x1f:
        editor_go_start(editor);
        return 0;
    case STROKE_END:
    case 'E' & 0x1f:
        editor_go_end(editor);
        return 0;
    case 'W' & 0x1f:
        editor_delete_word(editor);
        return 0;
    case 'U' & 0x1f:
        editor_delete_to_start(editor);
        return 0;
    case 'K' & 0x1f:
        editor_delete_to_end(editor);
        return 0;
    default:
        keyboard->chosen = -1;
        editor_insert(editor, stroke);
        return 0;
    }
}
