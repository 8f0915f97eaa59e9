#include "job/ini_file.h"

#include <errno.h>
#include <ini.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/text_file.h"

/* Hands lines to the library and counts them: its handler is not told the number. */
struct lines {
    const char *next, *end;
    int number;
    int wrong_line; /* of the first error; 0 = none */
    ini_file_handler *handler;
    void *self;
    char why[INI_FILE_WHY];
};

static void complain(struct lines *lines, const char *why)
{
    if (lines->wrong_line == 0) {
        lines->wrong_line = lines->number;
        text_copy(lines->why, sizeof lines->why, why);
    }
}

/* --- a line --------------------------------------------------------------------------------- */

/* What is wrong with the bytes of a line, or NULL. */
static const char *find_fault(const char *line, size_t n)
{
    for (size_t i = 0; i < n;) {
        size_t length = text_utf8_length(line + i, n - i);
        unsigned char first = (unsigned char)line[i];

        if (first == '\0') {
            return _("a NUL byte: this is no text file");
        }
        if (first == '\r') {
            return _("a carriage return within the line");
        }
        if (length == 0) {
            return _("bytes that are no UTF-8 text");
        }
        if ((first < 0x20 && first != '\t') || first == 0x7f ||
            (first == 0xc2 && (unsigned char)line[i + 1] < 0xa0)) {
            return _("a control character");
        }
        i += length;
    }
    return NULL;
}

/* The library cuts a long section name, and drops what stands behind the bracket. */
static const char *find_section_fault(const char *line, size_t n)
{
    const char *close = memchr(line, ']', n);

    if (n == 0 || line[0] != '[' || !close) {
        return NULL; /* the library's own complaint will do */
    }
    if (close - line - 1 > INI_FILE_SECTION) {
        return _("the section's name is too long: allowed are at most 49 bytes");
    }
    do {
        close++;
    } while (close < line + n && (*close == ' ' || *close == '\t'));
    return close < line + n && *close != ';' && *close != '#'
               ? _("nothing may follow a [section] on its line")
               : NULL;
}

/* The reader of ini_parse_stream(): one line a call without its end, NULL = no more. */
static char *next_line(char *line, int size, void *stream)
{
    struct lines *lines = stream;
    const char *start = lines->next, *newline, *fault;
    size_t n;

    if (lines->wrong_line != 0 || start == lines->end) {
        return NULL; /* one error is enough */
    }
    newline = memchr(start, '\n', (size_t)(lines->end - start));
    n = (size_t)((newline ? newline : lines->end) - start);
    lines->next = newline ? newline + 1 : lines->end;
    lines->number++;
    if (n > 0 && start[n - 1] == '\r') {
        n--;
    }
    if (lines->number == 1 && n >= 3 && memcmp(start, "\xef\xbb\xbf", 3) == 0) {
        start += 3; /* byte order mark */
        n -= 3;
    }
    /* to the library a line that begins with a blank would go on with the value before */
    while (n > 0 && (*start == ' ' || *start == '\t')) {
        start++;
        n--;
    }
    fault = find_fault(start, n);
    fault = fault ? fault : find_section_fault(start, n);
    if (!fault && n + 1 > (size_t)size) {
        char why[INI_FILE_WHY];
        snprintf(why, sizeof why, _("the line has %zu bytes: allowed are at most %d"), n, size - 1);
        complain(lines, why);
        return NULL;
    }
    if (fault) {
        complain(lines, fault);
        return NULL;
    }
    for (size_t i = 0; i < n; i++) { /* a tab would jump on the screen */
        line[i] = start[i] == '\t' ? ' ' : start[i];
    }
    line[n] = '\0';
    return line;
}

/* "  meter   finder " -> "meter finder". The text has at most INI_FILE_SECTION bytes. */
static void tidy_section(char *tidy, const char *text)
{
    size_t n = 0;

    for (; *text; text++) {
        bool blank = *text == ' ' || *text == '\t';
        if (!blank) {
            tidy[n++] = *text;
        } else if (n > 0 && tidy[n - 1] != ' ') {
            tidy[n++] = ' ';
        }
    }
    while (n > 0 && tidy[n - 1] == ' ') {
        n--;
    }
    tidy[n] = '\0';
}

static int on_key(void *user, const char *section_text, const char *key, const char *value)
{
    struct lines *lines = user;
    char section[INI_FILE_SECTION + 1], why[INI_FILE_WHY] = "";

    if (lines->wrong_line != 0) {
        return 0;
    }
    tidy_section(section, section_text);
    if (section[0] == '\0') {
        text_append(why, sizeof why, _("%s stands before the first [section]"), key);
        complain(lines, why);
    } else if (lines->handler(lines->self, lines->number, section, key, value, why) < 0) {
        complain(lines, why);
    }
    return lines->wrong_line == 0;
}

/* --- a file --------------------------------------------------------------------------------- */

int ini_file_read_text(const char *name, const char *text, size_t n, ini_file_handler *handler,
                       void *self, char why[INI_FILE_WHY])
{
    struct lines lines = {.next = text, .end = text + n, .handler = handler, .self = self};
    int parsed = ini_parse_stream(next_line, &lines, on_key, &lines);

    why[0] = '\0';
    if (parsed < 0) {
        text_append(why, INI_FILE_WHY, "%s: %s", name, _("out of memory"));
        return -ENOMEM;
    }
    if (parsed > 0 && (lines.wrong_line == 0 || parsed < lines.wrong_line)) {
        lines.wrong_line = parsed;
        text_copy(lines.why, sizeof lines.why,
                  _("neither [section] nor key = value nor a ; comment"));
    }
    if (lines.wrong_line == 0) {
        return 0;
    }
    text_append(why, INI_FILE_WHY, "%s:%d: %s", name, lines.wrong_line, lines.why);
    return -EINVAL;
}

int ini_file_read(const char *path, ini_file_handler *handler, void *self, char why[INI_FILE_WHY])
{
    char *text;
    size_t n;
    int r = text_file_read(path, INI_FILE_MOST, _("more than 256 KiB, this is no file of settings"),
                           &text, &n, why, INI_FILE_WHY);

    if (r == 0) {
        r = ini_file_read_text(path, text, n, handler, self, why);
        free(text);
    }
    return r;
}
