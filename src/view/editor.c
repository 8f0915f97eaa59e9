#include "view/editor.h"

#include <string.h>

#include "base/text.h"
#include "view/glyphs.h"

static void cut(struct editor *editor, size_t from, size_t to)
{
    memmove(editor->text + from, editor->text + to, strlen(editor->text + to) + 1);
    editor->at = from;
}

/* Where the character before a byte begins. */
static size_t before(const struct editor *editor, size_t at)
{
    while (at > 0 && ((unsigned char)editor->text[--at] & 0xc0) == 0x80) {
    }
    return at;
}

static size_t after(const struct editor *editor, size_t at)
{
    uint32_t code;

    return editor->text[at] ? at + glyphs_next(editor->text + at, &code) : at;
}

void editor_start(struct editor *editor, const char *text)
{
    text_copy(editor->text, sizeof editor->text, text);
    editor_go_end(editor);
}

bool editor_insert(struct editor *editor, uint32_t code)
{
    size_t used = strlen(editor->text), n;
    char bytes[4];

    if (code < 0x20 || code == 0x7f || code > 0x10ffff || glyphs_width(code) == 0) {
        return false;
    }
    n = glyphs_encode(bytes, code);
    if (used + n >= sizeof editor->text || text_utf8_length(bytes, n) != n) {
        return false;
    }
    memmove(editor->text + editor->at + n, editor->text + editor->at, used - editor->at + 1);
    memcpy(editor->text + editor->at, bytes, n);
    editor->at += n;
    return true;
}

void editor_delete_before(struct editor *editor)
{
    cut(editor, before(editor, editor->at), editor->at);
}

void editor_delete_at(struct editor *editor)
{
    cut(editor, editor->at, after(editor, editor->at));
}

void editor_delete_word(struct editor *editor)
{
    size_t from = editor->at;

    while (from > 0 && editor->text[from - 1] == ' ') {
        from--;
    }
    while (from > 0 && editor->text[from - 1] != ' ') {
        from--;
    }
    cut(editor, from, editor->at);
}

void editor_delete_to_start(struct editor *editor)
{
    cut(editor, 0, editor->at);
}

void editor_delete_to_end(struct editor *editor)
{
    editor->text[editor->at] = '\0';
}

void editor_go(struct editor *editor, int characters)
{
    for (; characters < 0; characters++) {
        editor->at = before(editor, editor->at);
    }
    for (; characters > 0; characters--) {
        editor->at = after(editor, editor->at);
    }
}

void editor_go_start(struct editor *editor)
{
    editor->at = 0;
}

void editor_go_end(struct editor *editor)
{
    editor->at = strlen(editor->text);
}
