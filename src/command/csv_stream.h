/*
 * csv_stream.h - a table with commas read row by row from a file or a pipe, of any length in the
 * same memory.
 */
#ifndef COMMAND_CSV_STREAM_H
#define COMMAND_CSV_STREAM_H

#include <stdbool.h>
#include <stddef.h>

enum { CSV_STREAM_ROW = 65536, CSV_STREAM_BUFFER = 4 * CSV_STREAM_ROW };

struct csv_stream {
    int fd;          /* borrowed */
    size_t at, full; /* in the buffer: the next row, the end of what was read */
    bool ended;      /* the file is */
    char buffer[CSV_STREAM_BUFFER];
};

struct csv_stream_row {
    char *text; /* borrowed from the stream until the next call; not terminated */
    size_t length;
    const char *line_end; /* "\n", "\r\n", or "" at the file's end */
};

void csv_stream_init(struct csv_stream *stream, int fd);

/*
 * The next row. Line ends within quotes belong to it; a quote that is not closed within
 * CSV_STREAM_ROW bytes or to the file's end counts as an ordinary letter: the row ends with its
 * first line and the caller's csv_row_split() refuses it.
 *
 *   returns  1; 0 = no more; -EFBIG the row is longer than CSV_STREAM_ROW, it was passed over and
 *            reading may go on; another -errno when the file can't be read
 */
int csv_stream_next(struct csv_stream *stream, struct csv_stream_row *ret);

#endif
