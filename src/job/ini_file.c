#include "job/ini_file.h"

#include <errno.h>
#include <ini.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"

/* Reads lines for the library and counts them: its handler is not told the number. */
struct lines {
    FILE *file;       /* or */
    const char *text; /* what is left of a text */
    int number;
    const char *wrong; /* about the line itself */
    ini_file_handler *handler;
    void *self;
    int wrong_line; /* of the first error */
    char why[INI_FILE_WHY];
};

static char *next_of_text(char *line, int size, struct lines *lines)
{
    int n = 0;

    while (lines->text[n] != '\0' && n < size - 1) {
        line[n] = lines->text[n];
        if (line[n++] == '\n') {
            break;
        }
    }
    lines->text += n;
    line[n] = '\0';
    return n > 0 ? line : NULL;
}

static void complain(struct lines *lines, const char *why)
{
    if (lines->wrong_line == 0) {
        lines->wrong_line = lines->number;
        text_copy(lines->why, sizeof lines->why, why);
    }
}

static char *next_line(char *line, int size, void *stream)
{
    struct lines *lines = stream;
    size_t n;

    if (lines->wrong_line != 0) {
        return NULL; /* one error is enough */
    }
    line[size - 2] = '\0';
    if (!(lines->file ? fgets(line, size, lines->file) : next_of_text(line, size, lines))) {
        return NULL;
    }
    lines->number++;
    n = strlen(line);
    if (n > 0 && line[n - 1] != '\n' && n == (size_t)size - 1) {
        complain(lines, "the line is too long");
        return NULL;
    }
    if (lines->file && n > 0 && line[n - 1] != '\n' && !feof(lines->file)) {
        complain(lines, "the line holds a NUL byte: this is no text file");
        return NULL;
    }
    for (size_t i = 0; i < n;) {
        size_t length = text_utf8_length(line + i, n - i);
        if (length == 0 || ((unsigned char)line[i] < 0x20 && !strchr("\t\r\n", line[i]))) {
            complain(lines, "the line holds bytes that are no text");
            return NULL;
        }
        i += length;
    }
    return line;
}

static int on_key(void *user, const char *section, const char *key, const char *value)
{
    struct lines *lines = user;
    char why[INI_FILE_WHY] = "";

    if (lines->wrong_line == 0 && lines->handler(lines->self, section, key, value, why) < 0) {
        complain(lines, why);
    }
    return lines->wrong_line == 0;
}

static int finish(const char *name, struct lines *lines, int parsed, char why[INI_FILE_WHY])
{
    if (parsed > 0 && (lines->wrong_line == 0 || parsed < lines->wrong_line)) {
        lines->wrong_line = parsed;
        text_copy(lines->why, sizeof lines->why, "not a [section] and not key = value");
    }
    if (lines->wrong_line == 0) {
        return 0;
    }
    why[0] = '\0';
    text_append(why, INI_FILE_WHY, "%s:%d: %s", name, lines->wrong_line, lines->why);
    return -EINVAL;
}

int ini_file_read_text(const char *name, const char *text, ini_file_handler *handler, void *self,
                       char why[INI_FILE_WHY])
{
    struct lines lines = {.text = text, .handler = handler, .self = self};

    return finish(name, &lines, ini_parse_stream(next_line, &lines, on_key, &lines), why);
}

int ini_file_read(const char *path, ini_file_handler *handler, void *self, char why[INI_FILE_WHY])
{
    struct lines lines = {.handler = handler, .self = self};
    struct stat status;
    int r = 0;

    lines.file = fopen(path, "re");
    if (!lines.file) {
        r = -errno;
    } else if (fstat(fileno(lines.file), &status) == 0 && S_ISDIR(status.st_mode)) {
        r = -EISDIR;
    }
    if (r < 0) {
        why[0] = '\0';
        text_append(why, INI_FILE_WHY, "%s: can't be read: %s", path, strerror(-r));
    } else {
        r = finish(path, &lines, ini_parse_stream(next_line, &lines, on_key, &lines), why);
    }
    if (lines.file) {
        fclose(lines.file);
    }
    return r;
}
