#include "view/glyphs.h"

#include <string.h>
#include <wchar.h>

#include "base/text.h"

/* Terminals that know no UTF-8 whatever the locale says: the names begin like this. */
static const char *const old_terminals[] = {"vt1", "vt2", "vt3", "vt4", "vt5", "ansi", "dumb"};

/* What a sentence may hold beside ASCII. */
static const struct {
    uint32_t code;
    const char *ascii;
} likeness[] = {
    {0x00a0, " "}, {0x00b0, " deg"}, {0x00b1, "+/-"}, {0x00b2, "2"},   {0x00b3, "3"},
    {0x00b5, "u"}, {0x00b7, "-"},    {0x00bc, "1/4"}, {0x00bd, "1/2"}, {0x00be, "3/4"},
    {0x00d7, "x"}, {0x00df, "ss"},   {0x00f7, "/"},   {0x03bc, "u"},   {0x03c3, "sigma"},
    {0x2010, "-"}, {0x2011, "-"},    {0x2012, "-"},   {0x2013, "-"},   {0x2014, "-"},
    {0x2018, "'"}, {0x2019, "'"},    {0x201c, "\""},  {0x201e, "\""},  {0x201d, "\""},
    {0x2022, "*"}, {0x2026, "..."},  {0x2032, "'"},   {0x2033, "\""},  {0x2190, "<"},
    {0x2191, "^"}, {0x2192, ">"},    {0x2193, "v"},   {0x21ba, "<"},   {0x21bb, ">"},
    {0x2212, "-"}, {0x2248, "~"},    {0x2264, "<="},  {0x2265, ">="},  {0x2500, "-"},
    {0x2502, "|"}, {0x2713, "ok"},
};

/* U+00C0 to U+00FF without their accents. */
static const char latin[] = "AAAAAAACEEEEIIIIDNOOOOOxOUUUUYTsaaaaaaaceeeeiiiidnooooo/ouuuuyty";

enum glyphs glyphs_choose(const char *codeset, const char *term)
{
    if (strcmp(codeset, "UTF-8") != 0 || !term) {
        return GLYPHS_ASCII;
    }
    for (size_t i = 0; i < sizeof old_terminals / sizeof *old_terminals; i++) {
        if (strncmp(term, old_terminals[i], strlen(old_terminals[i])) == 0) {
            return GLYPHS_ASCII;
        }
    }
    return strncmp(term, "linux", 5) == 0 ? GLYPHS_BLOCKS : GLYPHS_FULL;
}

size_t glyphs_next(const char *s, uint32_t *ret_code)
{
    const unsigned char *u = (const unsigned char *)s;
    size_t length = text_utf8_length(s, strlen(s));

    switch (length) {
    case 1:
        *ret_code = u[0];
        return 1;
    case 2:
        *ret_code = (u[0] & 0x1fu) << 6 | (u[1] & 0x3fu);
        return 2;
    case 3:
        *ret_code = (u[0] & 0x0fu) << 12 | (u[1] & 0x3fu) << 6 | (u[2] & 0x3fu);
        return 3;
    case 4:
        *ret_code =
            (u[0] & 0x07u) << 18 | (u[1] & 0x3fu) << 12 | (u[2] & 0x3fu) << 6 | (u[3] & 0x3fu);
        return 4;
    default:
        *ret_code = '?';
        return 1;
    }
}

size_t glyphs_encode(char s[4], uint32_t code)
{
    if (code < 0x80) {
        s[0] = (char)code;
        return 1;
    }
    if (code < 0x800) {
        s[0] = (char)(0xc0 | code >> 6);
        s[1] = (char)(0x80 | (code & 0x3f));
        return 2;
    }
    if (code < 0x10000) {
        s[0] = (char)(0xe0 | code >> 12);
        s[1] = (char)(0x80 | (code >> 6 & 0x3f));
        s[2] = (char)(0x80 | (code & 0x3f));
        return 3;
    }
    s[0] = (char)(0xf0 | code >> 18);
    s[1] = (char)(0x80 | (code >> 12 & 0x3f));
    s[2] = (char)(0x80 | (code >> 6 & 0x3f));
    s[3] = (char)(0x80 | (code & 0x3f));
    return 4;
}

static const char *ascii_likeness(uint32_t code, char room[2])
{
    room[0] = '?';
    room[1] = '\0';
    if (code < 0x80) {
        room[0] = (char)code;
        return room;
    }
    for (size_t i = 0; i < sizeof likeness / sizeof *likeness; i++) {
        if (likeness[i].code == code) {
            return likeness[i].ascii;
        }
    }
    if (code >= 0xc0 && code <= 0xff) {
        room[0] = latin[code - 0xc0];
    }
    return room;
}

void glyphs_fold(char *dst, size_t size, const char *src)
{
    size_t used = 0;

    while (*src) {
        char room[2];
        const char *ascii;
        uint32_t code;
        size_t n;
        src += glyphs_next(src, &code);
        ascii = ascii_likeness(code, room);
        n = strlen(ascii);
        if (used + n >= size) {
            break;
        }
        memcpy(dst + used, ascii, n);
        used += n;
    }
    dst[used] = '\0';
}

int glyphs_width(uint32_t code)
{
    int width = code >= 0x20 && code < 0x7f ? 1 : wcwidth((wchar_t)code);

    return width < 0 ? 0 : width;
}

int glyphs_columns(const char *s)
{
    int columns = 0;

    while (*s) {
        uint32_t code;
        s += glyphs_next(s, &code);
        columns += glyphs_width(code);
    }
    return columns;
}
