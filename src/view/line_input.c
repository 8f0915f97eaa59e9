#include "view/line_input.h"

#include <errno.h>
#include <poll.h>
#include <string.h>
#include <unistd.h>

void line_input_init(struct line_input *input, int fd)
{
    *input = (struct line_input){.fd = fd};
}

/* Read what there is: true when bytes came. */
static bool fill(struct line_input *input)
{
    struct pollfd poller = {.fd = input->fd, .events = POLLIN};
    ssize_t n;

    if (input->ended || poll(&poller, 1, 0) <= 0) {
        return false;
    }
    memmove(input->buffer, input->buffer + input->taken, input->used - input->taken);
    input->used -= input->taken;
    input->taken = 0;
    n = read(input->fd, input->buffer + input->used, sizeof input->buffer - input->used);
    if (n > 0) {
        input->used += (size_t)n;
        return true;
    }
    if (n == 0 || (errno != EINTR && errno != EAGAIN)) {
        input->ended = true;
    }
    return false;
}

/* Give out n bytes of the buffer as a line and go on after `skip` more. */
static int give(struct line_input *input, size_t n, size_t skip, char line[FACE_WORDS_SIZE])
{
    const char *from = input->buffer + input->taken;
    bool fits = n < FACE_WORDS_SIZE && !input->too_long;

    if (fits) {
        for (size_t i = 0; i < n; i++) {
            line[i] = from[i] ? from[i] : '?';
        }
        line[n] = '\0';
    }
    input->taken += n + skip;
    input->too_long = false;
    return fits ? 1 : -EMSGSIZE;
}

int line_input_next(struct line_input *input, char line[FACE_WORDS_SIZE])
{
    for (;;) {
        size_t n = input->used - input->taken;
        const char *end = memchr(input->buffer + input->taken, '\n', n);

        if (end) {
            return give(input, (size_t)(end - input->buffer) - input->taken, 1, line);
        }
        if (n >= FACE_WORDS_SIZE) {
            input->too_long = true;
            input->used = input->taken = 0;
        }
        if (!fill(input)) {
            break;
        }
    }
    if (!input->ended) {
        return 0;
    }
    if (input->used > input->taken || input->too_long) {
        return give(input, input->used - input->taken, 0, line);
    }
    return -EPIPE;
}
