#include "session/log_lines.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { ROOM = 2 * LOG_LINES_LONGEST };

int log_lines_open(struct log_lines *lines, const char *path)
{
    int fd = open(path, O_RDONLY | O_CLOEXEC);

    *lines = (struct log_lines){.fd = fd};
    if (fd < 0) {
        return -errno;
    }
    lines->room = malloc(ROOM);
    if (!lines->room) {
        close(fd);
        return -ENOMEM;
    }
    return 0;
}

/* More bytes behind those at hand: how many, 0 at the end, -EMSGSIZE, -errno. */
static ssize_t fill(struct log_lines *lines)
{
    ssize_t n;

    if (lines->end - lines->start >= LOG_LINES_LONGEST) {
        return -EMSGSIZE;
    }
    memmove(lines->room, lines->room + lines->start, lines->end - lines->start);
    lines->end -= lines->start;
    lines->start = 0;
    do {
        n = read(lines->fd, lines->room + lines->end, ROOM - lines->end);
    } while (n < 0 && errno == EINTR);
    if (n < 0) {
        return -errno;
    }
    lines->end += (size_t)n;
    return n;
}

int log_lines_next(struct log_lines *lines, const char **ret_line, size_t *ret_size)
{
    static const char mark[] = "\xef\xbb\xbf";
    size_t looked = 0, size;
    char *line, *end;

    while ((end = memchr(lines->room + lines->start + looked, '\n',
                         lines->end - lines->start - looked)) == NULL) {
        looked = lines->end - lines->start;
        ssize_t n = fill(lines);
        if (n <= 0) {
            lines->number += n == -EMSGSIZE;
            return (int)n;
        }
    }
    line = lines->room + lines->start;
    size = (size_t)(end - line);
    lines->start += size + 1;
    if (lines->number++ == 0 && size >= 3 && memcmp(line, mark, 3) == 0) {
        line += 3;
        size -= 3;
    }
    size -= size > 0 && line[size - 1] == '\r';
    line[size] = '\0';
    *ret_line = line;
    *ret_size = size;
    return size > LOG_LINES_LONGEST ? -EMSGSIZE : 1;
}

void log_lines_close(struct log_lines *lines)
{
    if (lines->room) {
        close(lines->fd);
        free(lines->room);
        lines->room = NULL;
    }
}
