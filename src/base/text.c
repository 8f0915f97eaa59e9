#include "base/text.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

size_t text_utf8_length(const char *s, size_t n)
{
    const unsigned char *u = (const unsigned char *)s;
    size_t length;
    uint32_t code, least;

    if (n == 0) {
        return 0;
    }
    if (u[0] < 0x80) {
        return 1;
    } else if ((u[0] & 0xe0) == 0xc0) {
        length = 2, code = u[0] & 0x1fu, least = 0x80;
    } else if ((u[0] & 0xf0) == 0xe0) {
        length = 3, code = u[0] & 0x0fu, least = 0x800;
    } else if ((u[0] & 0xf8) == 0xf0) {
        length = 4, code = u[0] & 0x07u, least = 0x10000;
    } else {
        return 0;
    }
    if (length > n) {
        return 0;
    }
    for (size_t i = 1; i < length; i++) {
        if ((u[i] & 0xc0) != 0x80) {
            return 0;
        }
        code = code << 6 | (u[i] & 0x3fu);
    }
    if (code < least || code > 0x10ffff || (code >= 0xd800 && code <= 0xdfff)) {
        return 0;
    }
    return length;
}

/* The longest prefix of at most `most` bytes that does not split a character. */
static size_t whole_characters(const char *s, size_t n, size_t most)
{
    size_t used = 0;

    while (used < n) {
        size_t length = text_utf8_length(s + used, n - used);
        if (length == 0) {
            length = 1;
        }
        if (used + length > most) {
            break;
        }
        used += length;
    }
    return used;
}

void text_copy(char *dst, size_t size, const char *src)
{
    size_t n = strlen(src);
    size_t used = n < size ? n : whole_characters(src, n, size - 1);

    memmove(dst, src, used);
    dst[used] = '\0';
}

bool text_append(char *dst, size_t size, const char *format, ...)
{
    size_t used = strlen(dst);
    va_list arguments;
    int n;

    va_start(arguments, format);
    n = vsnprintf(dst + used, size - used, format, arguments);
    va_end(arguments);
    if (n < 0) {
        dst[used] = '\0';
        return false;
    }
    if ((size_t)n >= size - used) {
        size_t kept = strlen(dst), lead = kept;
        /* vsnprintf may have cut a character: drop its first bytes */
        while (lead > 0 && ((unsigned char)dst[lead - 1] & 0xc0) == 0x80) {
            lead--;
        }
        if (lead > 0 && text_utf8_length(dst + lead - 1, kept - lead + 1) == 0) {
            kept = lead - 1;
        }
        dst[kept] = '\0';
        return false;
    }
    return true;
}

bool text_is_blank(char c)
{
    return c == ' ' || c == '\t';
}

const char *text_skip_blanks(const char *text)
{
    while (text_is_blank(*text)) {
        text++;
    }
    return text;
}

void text_capitalise(char *text)
{
    if (text[0] >= 'a' && text[0] <= 'z') {
        text[0] = (char)(text[0] - 'a' + 'A');
    }
}

void text_end_sentence(char *text, size_t size)
{
    size_t n = strlen(text);

    if (n > 0 && !strchr(".!?", text[n - 1])) {
        text_append(text, size, ".");
    }
}

int text_parse_double(const char *text, double *ret_value)
{
    char *end;
    double value;

    /* strtod also reads hexadecimal and words; a meter or a form never means those */
    for (const char *p = text; *p; p++) {
        if (isalpha((unsigned char)*p) && *p != 'e' && *p != 'E') {
            return -EINVAL;
        }
    }
    value = strtod(text, &end);
    if (end == text || !isfinite(value)) {
        return -EINVAL;
    }
    while (isspace((unsigned char)*end)) {
        end++;
    }
    if (*end != '\0') {
        return -EINVAL;
    }
    *ret_value = value;
    return 0;
}

/* The character at s as it may be shown: its bytes; 0 = a control, or no UTF-8. */
static size_t harmless(const char *s, size_t n)
{
    size_t length = text_utf8_length(s, n);
    unsigned char first = (unsigned char)s[0];
    bool control = first < 0x20 || first == 0x7f ||
                   (length == 2 && first == 0xc2 && (unsigned char)s[1] < 0xa0);

    return control ? 0 : length;
}

bool text_is_clean(const char *text)
{
    size_t n = strlen(text);

    for (size_t i = 0; i < n;) {
        size_t length = harmless(text + i, n - i);
        if (length == 0) {
            return false;
        }
        i += length;
    }
    return true;
}

/* How many bytes from the first on are printable ASCII. */
static size_t plain_run(const char *s, size_t n)
{
    size_t i = 0;

    while (i < n && s[i] >= 0x20 && s[i] < 0x7f) {
        i++;
    }
    return i;
}

size_t text_sanitize(char *dst, size_t size, const char *src, size_t n)
{
    size_t used = plain_run(src, n < size - 1 ? n : size - 1), replaced = 0;

    memcpy(dst, src, used);
    for (size_t i = used; i < n;) {
        size_t length = text_utf8_length(src + i, n - i);
        bool shown = harmless(src + i, n - i) > 0;

        if (used + (length > 1 ? length : 1) >= size) {
            break;
        }
        if (!shown) {
            dst[used++] = '?';
            replaced++;
            i += length > 0 ? length : 1;
        } else {
            memcpy(dst + used, src + i, length);
            used += length;
            i += length;
        }
    }
    dst[used] = '\0';
    return replaced;
}
