#include "view/spell.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"

/* What the program's own texts use beyond ASCII, and how it is spelled without. */
static const struct {
    const char *utf8, *ascii;
} spellings[] = {
    {"\u00b0", " deg"}, {"\u00b5", "u"}, {"\u25b6", ">"}, {"\u25c0", "<"}, {"\u25b2", "^"},
    {"\u25bc", "v"},    {"\u21bb", ")"}, {"\u21ba", "("}, {"\u25cf", "*"}, {"\u2500", "-"},
};

/* Wide characters of the East; names may hold them. */
static bool is_wide(uint32_t code)
{
    return (code >= 0x1100 && code <= 0x115f) || (code >= 0x2e80 && code <= 0xa4cf) ||
           (code >= 0xac00 && code <= 0xd7a3) || (code >= 0xf900 && code <= 0xfaff) ||
           (code >= 0xfe30 && code <= 0xfe6f) || (code >= 0xff00 && code <= 0xff60) ||
           (code >= 0x1f300 && code <= 0x1faff) || (code >= 0x20000 && code <= 0x3fffd);
}

static bool is_combining(uint32_t code)
{
    return (code >= 0x300 && code <= 0x36f) || code == 0x200b || code == 0x200d ||
           (code >= 0xfe00 && code <= 0xfe0f);
}

static uint32_t decode(const char *s, size_t n)
{
    static const unsigned char first[5] = {0, 0x7f, 0x1f, 0x0f, 0x07};
    uint32_t code = (unsigned char)s[0] & first[n];

    for (size_t i = 1; i < n; i++) {
        code = code << 6 | ((unsigned char)s[i] & 0x3fu);
    }
    return code;
}

/* One character as shown: its bytes in the text, what to show, the columns. */
static size_t next(const char *text, bool utf8, const char **ret_shown, size_t *ret_bytes,
                   int *ret_cols)
{
    size_t n = text_utf8_length(text, strlen(text));
    uint32_t code;

    if (n == 0) {
        *ret_shown = "?";
        *ret_bytes = 1;
        *ret_cols = 1;
        return 1;
    }
    *ret_shown = text;
    *ret_bytes = n;
    *ret_cols = 1;
    if (n == 1) {
        return 1;
    }
    if (utf8) {
        code = decode(text, n);
        *ret_cols = is_combining(code) ? 0 : is_wide(code) ? 2 : 1;
        return n;
    }
    *ret_shown = "?";
    *ret_bytes = 1;
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++) {
        if (strncmp(text, spellings[i].utf8, n) == 0) {
            *ret_shown = spellings[i].ascii;
            *ret_bytes = strlen(spellings[i].ascii);
            *ret_cols = (int)*ret_bytes;
        }
    }
    return n;
}

int spell_width(const char *text, bool utf8)
{
    const char *shown;
    size_t bytes;
    int cols, width = 0;

    while (*text != '\0') {
        text += next(text, utf8, &shown, &bytes, &cols);
        width += cols;
    }
    return width;
}

size_t spell_cut(const char *text, int cols, bool utf8, char *shown, size_t size)
{
    const char *part;
    size_t bytes, used = 0;
    int width, all = 0;

    while (*text != '\0') {
        text += next(text, utf8, &part, &bytes, &width);
        all += width;
        if (all > cols || used + bytes >= size) {
            break;
        }
        memcpy(shown + used, part, bytes);
        used += bytes;
    }
    shown[used] = '\0';
    return used;
}

size_t spell_break(const char *text, int cols, bool utf8)
{
    const char *shown;
    size_t bytes, at = 0, blank = 0;
    int width, all = 0;

    while (text[at] != '\0') {
        size_t n = next(text + at, utf8, &shown, &bytes, &width);
        all += width;
        if (all > cols) {
            if (text[at] == ' ') {
                return at;
            }
            return blank > 0 ? blank : at > 0 ? at : n;
        }
        if (text[at] == ' ') {
            blank = at;
        }
        at += n;
    }
    return at;
}
