/* Whatever the line: the short way through it and the long one come to the same record, or both
 * refuse it; what is read is safe to show, and is read again as it was. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "session/log.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool good)
{
    if (!good) {
        abort();
    }
}

static void must_come_back(struct record *record)
{
    char line[LOG_LINE_SIZE], again[LOG_LINE_SIZE], why[RECORD_TEXT_SIZE];
    struct record back;

    record_round(record);
    if (record_format(record, line, sizeof line) < 0) {
        return;
    }
    must(text_is_clean(line) && record_parse(line, &back, why) == 0);
    must(record_format(&back, again, sizeof again) > 0 && strcmp(line, again) == 0);
}

static void try_line(const char *line, size_t n)
{
    char why_short[RECORD_TEXT_SIZE] = "", why_long[RECORD_TEXT_SIZE] = "";
    struct record by_short, by_long;
    int r;

    memset(&by_short, 0, sizeof by_short);
    memset(&by_long, 0, sizeof by_long);
    r = record_parse_line(line, n, &by_short, why_short);
    must(record_parse_any(line, n, &by_long, why_long) == r);
    must(strcmp(why_short, why_long) == 0 && text_is_clean(why_short));
    must((r < 0) == (why_short[0] != '\0'));
    /* unused room is zero in both */
    must(memcmp(&by_short, &by_long, sizeof by_short) == 0);
    if (r == 0) {
        must_come_back(&by_short);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1), *line = text;

    if (!text) {
        abort();
    }
    memcpy(text, data, size);
    text[size] = '\0';
    for (char *end; (end = memchr(line, '\n', (size_t)(text + size - line))); line = end + 1) {
        *end = '\0';
        try_line(line, (size_t)(end - line));
    }
    try_line(line, (size_t)(text + size - line));
    free(text);
    return 0;
}
