/* tcp.c - a meter or a sensor behind a TCP port: a serial-to-network converter, or a receiver that
 * prints its level on one. Lines as on a serial port. */
#include <errno.h>
#include <stdlib.h>

#include "base/text.h"
#include "base/tongue.h"
#include "source/lines.h"
#include "source/net.h"

struct tcp {
    struct lines lines;
    struct net_address address;
};

static int tcp_begin(const void *where, char why[RECORD_TEXT_SIZE])
{
    return net_connect(where, why);
}

static int tcp_ready(const void *where, int fd, char why[RECORD_TEXT_SIZE])
{
    return net_ready(where, fd, why);
}

static const struct feed_ops feed_ops = {
    .open = tcp_begin,
    .ready = tcp_ready,
    .gone = N_("the other end closed the connection"),
    .silent = N_("connected, but no line that is understood"),
    .is_socket = true,
};

static int tcp_open(const char *address, const struct source_setup *setup, void **ret_self,
                    char why[RECORD_TEXT_SIZE])
{
    struct tcp *self = calloc(1, sizeof *self);
    int r;

    if (!self) {
        text_copy(why, RECORD_TEXT_SIZE, _("out of memory"));
        return -ENOMEM;
    }
    r = net_resolve(address, NULL, &self->address, why);
    if (r == 0) {
        r = lines_init(&self->lines, &feed_ops, &self->address, setup, why);
    }
    if (r < 0) {
        free(self);
        return r;
    }
    *ret_self = self;
    return 0;
}

static int tcp_fd(const void *self)
{
    return lines_fd(&((const struct tcp *)self)->lines);
}

static double tcp_wake(const void *self)
{
    return lines_wake(&((const struct tcp *)self)->lines);
}

static int tcp_read(void *self, double t, struct record *ret)
{
    return lines_read(&((struct tcp *)self)->lines, t, ret);
}

static void tcp_close(void *self)
{
    struct tcp *tcp = self;

    if (tcp) {
        lines_finish(&tcp->lines);
        free(tcp);
    }
}

const struct source_ops source_tcp = {
    .scheme = "tcp",
    .open = tcp_open,
    .fd = tcp_fd,
    .wake = tcp_wake,
    .read = tcp_read,
    .close = tcp_close,
};
