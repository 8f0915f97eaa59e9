#include "command/csv_stream.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

void csv_stream_init(struct csv_stream *stream, int fd)
{
    stream->fd = fd;
    stream->at = stream->full = 0;
    stream->ended = false;
}

/* More bytes behind those that are left. 0, or -errno. */
static int fill(struct csv_stream *s)
{
    ssize_t n;

    memmove(s->buffer, s->buffer + s->at, s->full - s->at);
    s->full -= s->at;
    s->at = 0;
    do {
        n = read(s->fd, s->buffer + s->full, sizeof s->buffer - s->full);
    } while (n < 0 && errno == EINTR);
    if (n < 0) {
        return -errno;
    }
    s->ended = n == 0;
    s->full += (size_t)n;
    return 0;
}

static bool odd_quotes(const char *from, const char *to)
{
    bool odd = false;

    while ((from = memchr(from, '"', (size_t)(to - from))) != NULL) {
        odd = !odd;
        from++;
    }
    return odd;
}

/* The line end that closes the row at the stream's place; NULL = not in the buffer. */
static char *find_end(struct csv_stream *s, bool mind_quotes)
{
    char *from = s->buffer + s->at, *end;
    bool open = false;

    while ((end = memchr(from, '\n', s->full - (size_t)(from - s->buffer))) != NULL) {
        open ^= mind_quotes && odd_quotes(from, end);
        if (!open) {
            return end;
        }
        from = end + 1;
    }
    return NULL;
}

static void take(struct csv_stream *s, char *end, struct csv_stream_row *ret)
{
    ret->text = s->buffer + s->at;
    ret->length = (size_t)((end ? end : s->buffer + s->full) - ret->text);
    ret->line_end = end ? "\n" : "";
    if (end && ret->length > 0 && end[-1] == '\r') {
        ret->length--;
        ret->line_end = "\r\n";
    }
    s->at = end ? (size_t)(end + 1 - s->buffer) : s->full;
}

/* Past the end of a line that fills the buffer. -EFBIG, or why it can't be read. */
static int pass_over(struct csv_stream *s)
{
    char *end;
    int r;

    while ((end = memchr(s->buffer + s->at, '\n', s->full - s->at)) == NULL) {
        s->at = s->full;
        if (s->ended) {
            return -EFBIG;
        }
        if ((r = fill(s)) < 0) {
            return r;
        }
    }
    s->at = (size_t)(end + 1 - s->buffer);
    return -EFBIG;
}

int csv_stream_next(struct csv_stream *s, struct csv_stream_row *ret)
{
    char *end;
    int r;

    while ((end = find_end(s, true)) == NULL && !s->ended && s->full - s->at <= CSV_STREAM_ROW) {
        if ((r = fill(s)) < 0) {
            return r;
        }
    }
    if (s->at == s->full) {
        return 0;
    }
    if (!end && odd_quotes(s->buffer + s->at, s->buffer + s->full)) {
        end = find_end(s, false); /* a quote is open: the line alone */
    }
    if ((size_t)((end ? end : s->buffer + s->full) - s->buffer) - s->at > CSV_STREAM_ROW) {
        return pass_over(s);
    }
    take(s, end, ret);
    return 1;
}
