#include "source/ports.h"

#include <errno.h>
#include <fcntl.h>
#include <libserialport.h>
#include <math.h>
#include <poll.h>
#include <string.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"
#include "source/line.h"

static void copy_safe(char *dst, size_t size, const char *src)
{
    text_sanitize(dst, size, src ? src : "", src ? strlen(src) : 0);
}

int ports_list(struct ports_entry *ret_ports, int most)
{
    struct sp_port **ports = NULL;
    enum sp_return r = sp_list_ports(&ports);
    int n = 0;

    if (r != SP_OK) {
        return r == SP_ERR_MEM ? -ENOMEM : -ENOSYS;
    }
    for (; n < most && ports[n]; n++) {
        struct ports_entry *entry = &ret_ports[n];
        copy_safe(entry->device, sizeof entry->device, sp_get_port_name(ports[n]));
        copy_safe(entry->description, sizeof entry->description, sp_get_port_description(ports[n]));
    }
    sp_free_port_list(ports);
    return n;
}

static int open_port(const char *device, int baud)
{
    int fd = open(device, O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC), r = 0;
    struct termios settings;

    if (fd < 0) {
        return -errno;
    }
    if (tcgetattr(fd, &settings) < 0) {
        r = -errno;
    } else {
        cfmakeraw(&settings);
        settings.c_cflag |= CLOCAL | CREAD;
        if (cfsetspeed(&settings, (speed_t)baud) < 0 || tcsetattr(fd, TCSANOW, &settings) < 0) {
            r = -errno;
        }
    }
    if (r < 0) {
        close(fd);
        return r;
    }
    return fd;
}

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Keep a line; the oldest falls off. Returns how many there are. */
static int keep_line(char lines[PORTS_LINES][PORTS_LINE_SIZE], int n, const struct line *line)
{
    if (n == PORTS_LINES) {
        memmove(lines[0], lines[1], (PORTS_LINES - 1) * PORTS_LINE_SIZE);
        n--;
    }
    text_sanitize(lines[n], PORTS_LINE_SIZE, line->text, line->length);
    return n + 1;
}

int ports_listen(const char *device, int baud, double seconds,
                 char ret_lines[PORTS_LINES][PORTS_LINE_SIZE])
{
    double until = now_s() + seconds;
    char room[PORTS_LINE_SIZE], bytes[256];
    int fd = open_port(device, baud), n = 0;
    bool first = true; /* it may lack its head */
    struct line line;

    if (fd < 0) {
        return fd;
    }
    line_init(&line, room, sizeof room);
    while (now_s() < until) {
        struct pollfd poller = {.fd = fd, .events = POLLIN};
        ssize_t got;
        size_t at = 0, used;
        enum line_result result;
        poll(&poller, 1, (int)ceil(fmax(until - now_s(), 0.0) * 1e3));
        got = read(fd, bytes, sizeof bytes);
        if (got == 0 || (got < 0 && errno != EAGAIN && errno != EINTR)) {
            break;
        }
        while (got > 0 &&
               (result = line_feed(&line, bytes + at, (size_t)got - at, &used)) != LINE_MORE) {
            at += used;
            if (!first && result == LINE_WHOLE) {
                n = keep_line(ret_lines, n, &line);
            }
            first = false;
        }
    }
    close(fd);
    return n;
}
