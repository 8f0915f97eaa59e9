/*
 * log_lines.h - a file line by line, in memory that does not grow with it: a line beyond what a log
 * can hold is refused, not kept.
 */
#ifndef SESSION_LOG_LINES_H
#define SESSION_LOG_LINES_H

#include <stddef.h>

enum { LOG_LINES_LONGEST = 65536 };

struct log_lines {
    int fd;
    char *room; /* owned; NULL = closed */
    size_t start, end;
    unsigned long number; /* of the line given last, 1-based */
};

/* 0; -errno, it is closed then. */
int log_lines_open(struct log_lines *lines, const char *path);

/*
 * The next line, without its end (a carriage return before it belongs to it) and, on line 1,
 * without a byte order mark; a NUL stands behind it.
 *
 *   ret_line  room for it until the next call
 *   returns   1; 0 at the end, or before a last line without an end; -EMSGSIZE it is longer than
 *             LOG_LINES_LONGEST; -errno of read
 */
int log_lines_next(struct log_lines *lines, const char **ret_line, size_t *ret_size);

void log_lines_close(struct log_lines *lines);

#endif
