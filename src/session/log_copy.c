#include "session/log_copy.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A line, with its end, that is no header: true when it is later than a time; -EINVAL in *ret. */
static bool is_later(const char *line, double t, int *ret)
{
    char why[RECORD_TEXT_SIZE];
    struct record record;

    if (strspn(line, " \t\r\n") == strlen(line)) {
        return false;
    }
    if (record_parse(line, &record, why) < 0) {
        *ret = -EINVAL;
        return false;
    }
    return record.t > t;
}

static int put_record(FILE *to, const struct record *record)
{
    char line[LOG_LINE_SIZE];
    int n = record_format(record, line, sizeof line);

    if (n < 0) {
        return n;
    }
    return fprintf(to, "%s\n", line) < 0 ? -errno : 0;
}

static int copy_lines(FILE *from, FILE *to, const struct record *extra)
{
    char *line = NULL;
    size_t size = 0;
    ssize_t n;
    int r = 0;

    for (unsigned long number = 1; r == 0 && (n = getline(&line, &size, from)) > 0; number++) {
        bool whole = line[n - 1] == '\n';
        if (extra && number > 1 && (!whole || is_later(line, extra->t, &r))) {
            r = r < 0 ? r : put_record(to, extra);
            extra = NULL;
        }
        if (r == 0 && fwrite(line, 1, (size_t)n, to) != (size_t)n) {
            r = -EIO;
        }
    }
    if (r == 0 && ferror(from)) {
        r = -EIO;
    }
    free(line);
    return r == 0 && extra ? put_record(to, extra) : r;
}

int log_copy(const char *from_path, const char *to_path, const struct record *extra)
{
    FILE *from = fopen(from_path, "re"), *to;
    int fd, r;

    if (!from) {
        return -errno;
    }
    fd = open(to_path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
    to = fd >= 0 ? fdopen(fd, "w") : NULL;
    if (!to) {
        r = -errno;
        fclose(from);
        return r;
    }
    r = copy_lines(from, to, extra);
    if (r == 0 && (fflush(to) != 0 || fsync(fd) < 0)) {
        r = -errno;
    }
    if (fclose(to) != 0 && r == 0) {
        r = -errno;
    }
    fclose(from);
    if (r < 0) {
        unlink(to_path);
    }
    return r;
}

int log_insert(const char *path, const struct record *extra)
{
    char *next;
    int r;

    if (asprintf(&next, "%s.new", path) < 0) {
        return -ENOMEM;
    }
    r = log_copy(path, next, extra);
    if (r == 0 && rename(next, path) < 0) {
        r = -errno;
        unlink(next);
    }
    free(next);
    return r;
}
