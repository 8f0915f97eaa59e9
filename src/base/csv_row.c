#include "base/csv_row.h"

#include <errno.h>
#include <string.h>

#include "base/text.h"

/* Where the quoted text that begins at p ends: behind its closing quote; NULL = it is open. */
static const char *skip_quoted(const char *p, const char *end)
{
    for (p++; p < end; p++) {
        if (*p == '"') {
            if (p + 1 < end && p[1] == '"') {
                p++;
            } else {
                return p + 1;
            }
        }
    }
    return NULL;
}

/* Where the field that begins at p ends: at its comma or the row's end; NULL = it is no field. */
static const char *skip_field(const char *p, const char *end)
{
    const char *first = p, *comma;

    while (first < end && text_is_blank(*first)) {
        first++;
    }
    if (first < end && *first == '"') {
        p = skip_quoted(first, end);
        while (p && p < end && text_is_blank(*p)) {
            p++;
        }
        return p && (p == end || *p == ',') ? p : NULL;
    }
    comma = memchr(p, ',', (size_t)(end - p));
    return comma ? comma : end;
}

size_t csv_row_split(const char *text, size_t n, struct csv_row_field *ret, size_t room)
{
    const char *p = text, *end = text + n;
    size_t count = 0;

    for (;;) {
        const char *stop = skip_field(p, end);
        if (!stop) {
            return 0;
        }
        if (count < room) {
            ret[count] = (struct csv_row_field){p, (size_t)(stop - p)};
        }
        count++;
        if (stop == end) {
            return count;
        }
        p = stop + 1;
    }
}

int csv_row_copy(const struct csv_row_field *field, char *ret_text, size_t size)
{
    const char *p = field->text, *end = field->text + field->length;
    size_t n = 0;
    bool quoted;

    ret_text[0] = '\0';
    while (p < end && text_is_blank(*p)) {
        p++;
    }
    while (end > p && text_is_blank(end[-1])) {
        end--;
    }
    quoted = p < end && *p == '"';
    if (quoted) {
        p++;
        end--;
    }
    if (memchr(p, '\0', (size_t)(end - p))) {
        return -EINVAL;
    }
    for (; p < end; p++) {
        if (n + 1 >= size) {
            ret_text[0] = '\0';
            return -ENAMETOOLONG;
        }
        ret_text[n++] = *p;
        p += quoted && *p == '"'; /* a doubled one */
    }
    ret_text[n] = '\0';
    return 0;
}
