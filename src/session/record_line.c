#include "session/record_line.h"

#include <stdint.h>
#include <string.h>

#include "base/text.h"

/* --- a line as record_format() writes it ---------------------------------------------------- */

enum { MOST_DIGITS = 15 };

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/*
 * -12.5. Fewer than 2^53 over a power of ten below 10^23: both are exact, and so their quotient is
 * the double nearest to the decimal, which is what strtod() gives.
 *   Source: Clinger, How to Read Floating Point Numbers Accurately, PLDI 1990, from memory.
 */
static const char *take_number(const char *p, struct record_value *ret)
{
    static const double powers[MOST_DIGITS + 1] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                   1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    bool minus = *p == '-';
    uint64_t digits = 0;
    const char *first = p += minus, *point;
    size_t places = 0;

    while (is_digit(*p) && p - first <= MOST_DIGITS) {
        digits = 10 * digits + (uint64_t)(*p++ - '0');
    }
    if (p == first || (*first == '0' && p - first > 1)) {
        return NULL;
    }
    ret->whole = *p != '.';
    if (!ret->whole) {
        point = p++;
        while (is_digit(*p) && p - first <= MOST_DIGITS + 1) {
            digits = 10 * digits + (uint64_t)(*p++ - '0');
        }
        places = (size_t)(p - point - 1);
        if (places == 0) {
            return NULL;
        }
    }
    if (p - first - !ret->whole > MOST_DIGITS || (ret->whole && minus && digits == 0)) {
        return NULL;
    }
    ret->kind = VALUE_NUMBER;
    ret->number = places > 0 ? (double)digits / powers[places] : (double)digits;
    ret->number = minus ? -ret->number : ret->number;
    return p;
}

static bool is_utf8(const char *text, size_t n)
{
    while (n > 0) {
        size_t length = text_utf8_length(text, n);
        if (length == 0) {
            return false;
        }
        text += length;
        n -= length;
    }
    return true;
}

/* "text", from its quote on, without escapes. */
static const char *take_text(const char *p, const char **ret_text, size_t *ret_size)
{
    const char *first = ++p;
    unsigned char all = 0;

    while (*p != '"') {
        unsigned char c = (unsigned char)*p++;
        if (c < 0x20 || c == '\\') {
            return NULL;
        }
        all |= c;
    }
    *ret_text = first;
    *ret_size = (size_t)(p - first);
    return all < 0x80 || is_utf8(first, *ret_size) ? p + 1 : NULL;
}

static const char *take_word(const char *p, const char *word)
{
    size_t n = strlen(word);

    return strncmp(p, word, n) == 0 ? p + n : NULL;
}

static const char *take_value(const char *p, struct record_value *ret)
{
    switch (*p) {
    case '"':
        ret->kind = VALUE_TEXT;
        return take_text(p, &ret->text, &ret->size);
    case 't':
        ret->kind = VALUE_TRUE;
        return take_word(p, "true");
    case 'f':
        ret->kind = VALUE_FALSE;
        return take_word(p, "false");
    default:
        return take_number(p, ret);
    }
}

static bool same(const char *a, size_t a_size, const char *b, size_t b_size)
{
    return a_size == b_size && memcmp(a, b, a_size) == 0;
}

/* "key":value into the next field. */
static const char *take_field(const char *p, struct record_line *line)
{
    struct record_field *field = &line->fields[line->field_count];

    if (*p != '"' || line->field_count == RECORD_FIELDS) {
        return NULL;
    }
    p = take_text(p, &field->key, &field->key_size);
    if (!p || *p != ':') {
        return NULL;
    }
    for (size_t i = 0; i < line->field_count; i++) {
        if (same(line->fields[i].key, line->fields[i].key_size, field->key, field->key_size)) {
            return NULL;
        }
    }
    line->field_count++;
    return take_value(p + 1, &field->value);
}

/* {"key":value,...} */
static const char *take_object(const char *p, struct record_line *line)
{
    if (*p++ != '{') {
        return NULL;
    }
    if (*p == '}') {
        return p + 1;
    }
    while ((p = take_field(p, line)) != NULL && *p == ',') {
        p++;
    }
    return p && *p == '}' ? p + 1 : NULL;
}

bool record_line_cut(const char *line, size_t n, struct record_line *ret)
{
    const char *p = take_word(line, "{\"t\":");

    ret->json = NULL;
    ret->field_count = ret->next = 0;
    p = p ? take_number(p, &ret->t) : NULL;
    p = p ? take_word(p, ",\"") : NULL;
    p = p ? take_text(p - 1, &ret->kind, &ret->kind_size) : NULL;
    if (!p || *p != ':' || record_line_spells(ret->kind, ret->kind_size, "t")) {
        return false;
    }
    p = take_object(p + 1, ret);
    return p && *p == '}' && p + 1 == line + n;
}

/* --- any JSON -------------------------------------------------------------------------------- */

static struct record_value from_json(const json_t *json)
{
    struct record_value value = {.kind = VALUE_NONE};

    if (json_is_number(json)) {
        value.kind = VALUE_NUMBER;
        value.whole = json_is_integer(json);
        value.number = json_number_value(json);
    } else if (json_is_string(json)) {
        value.kind = VALUE_TEXT;
        value.text = json_string_value(json);
        value.size = json_string_length(json);
    } else if (json_is_boolean(json)) {
        value.kind = json_is_true(json) ? VALUE_TRUE : VALUE_FALSE;
    } else if (json) {
        value.kind = VALUE_OTHER;
    }
    return value;
}

void record_line_from_json(const json_t *root, const char *kind, struct record_line *ret)
{
    ret->t = from_json(json_object_get(root, "t"));
    ret->kind = kind;
    ret->kind_size = strlen(kind);
    ret->json = json_object_get(root, kind);
    ret->field_count = ret->next = 0;
}

/* --- either ---------------------------------------------------------------------------------- */

const struct record_value *record_line_get(struct record_line *line, const char *key)
{
    static const struct record_value none = {.kind = VALUE_NONE};

    if (line->json) {
        line->asked = from_json(json_object_get(line->json, key));
        return &line->asked;
    }
    for (size_t tried = 0, i = line->next; tried < line->field_count; tried++, i++) {
        i = i < line->field_count ? i : 0;
        if (record_line_spells(line->fields[i].key, line->fields[i].key_size, key)) {
            line->next = i + 1;
            return &line->fields[i].value;
        }
    }
    return &none;
}
