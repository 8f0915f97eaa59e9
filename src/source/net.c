#include "source/net.h"

#include <errno.h>
#include <netdb.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <string.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"

/* HOST and PORT of the text, cut to fit; an empty port is none. */
static int split(const char *text, char *host, size_t host_size, char *port, size_t port_size)
{
    const char *end, *colon;

    if (strncmp(text, "//", 2) == 0) {
        text += 2;
    }
    if (text[0] == '[') {
        text++;
        end = strchr(text, ']');
        if (!end || (end[1] != '\0' && end[1] != ':')) {
            return -EINVAL;
        }
        colon = end[1] == ':' ? end + 1 : NULL;
    } else {
        colon = strchr(text, ':');
        end = colon ? colon : text + strlen(text);
    }
    if ((size_t)(end - text) >= host_size || (colon && strlen(colon + 1) >= port_size)) {
        return -EINVAL;
    }
    memcpy(host, text, (size_t)(end - text));
    host[end - text] = '\0';
    text_copy(port, port_size, colon ? colon + 1 : "");
    return 0;
}

static bool port_is_good(const char *port)
{
    double number;

    return strspn(port, "0123456789") == strlen(port) && text_parse_double(port, &number) == 0 &&
           number >= 1.0 && number <= 65535.0;
}

static int look_up(const char *host, const char *port, int flags, struct net_address *address)
{
    struct addrinfo hints = {.ai_socktype = SOCK_STREAM, .ai_flags = flags | AI_NUMERICSERV};
    struct addrinfo *found = NULL;
    int r = getaddrinfo(host, port, &hints, &found);

    if (r == 0) {
        memcpy(&address->storage, found->ai_addr, found->ai_addrlen);
        address->length = found->ai_addrlen;
        freeaddrinfo(found);
    }
    return r;
}

static const char *lookup_words(int error)
{
    switch (error) {
    case EAI_NONAME:
        return _("no such name");
    case EAI_AGAIN:
        return _("no name server answers");
    case EAI_SYSTEM:
        return fault_words(errno);
    default:
        return gai_strerror(error);
    }
}

int net_resolve(const char *text, const char *port, struct net_address *ret_address,
                char why[RECORD_TEXT_SIZE])
{
    struct net_address address = {.length = 0};
    char host[64], given_port[16];
    int r;

    why[0] = '\0';
    if (split(text, host, sizeof host, given_port, sizeof given_port) < 0) {
        text_append(why, RECORD_TEXT_SIZE, _("'%s' is not HOST:PORT or [IPV6]:PORT"), text);
        return -EINVAL;
    }
    if (given_port[0] == '\0' && port) {
        text_copy(given_port, sizeof given_port, port);
    }
    if (!port_is_good(given_port)) {
        text_append(why, RECORD_TEXT_SIZE, _("'%s': the port must be a number from 1 to 65535"),
                    text);
        return -EINVAL;
    }
    if (host[0] == '\0') {
        text_copy(host, sizeof host, "localhost");
    }
    r = look_up(strcmp(host, "localhost") == 0 ? "127.0.0.1" : host, given_port, AI_NUMERICHOST,
                &address);
    if (r != 0) {
        r = look_up(host, given_port, 0, &address);
    }
    if (r != 0) {
        text_append(why, RECORD_TEXT_SIZE,
                    _("can't find host '%s' (%s): give its number, like 192.0.2.7"), host,
                    lookup_words(r));
        return -EINVAL;
    }
    text_append(address.shown, sizeof address.shown, strchr(host, ':') ? "[%s]:%s" : "%s:%s", host,
                given_port);
    *ret_address = address;
    return 0;
}

static int refuse(const struct net_address *address, int error, char why[RECORD_TEXT_SIZE])
{
    why[0] = '\0';
    if (error == ECONNREFUSED) {
        text_append(why, RECORD_TEXT_SIZE, _("nothing listens at %s"), address->shown);
    } else {
        text_append(why, RECORD_TEXT_SIZE, "%s: %s", address->shown, fault_words(error));
    }
    return -error;
}

/* A peer that lost its power says no goodbye: have the kernel ask, so that the loss is noticed
 * within some 20 s. Where it can't be set the connection works all the same. */
static void keep_alive(int fd)
{
    static const int on = 1, idle_s = 5, interval_s = 5, probes = 3;

    setsockopt(fd, SOL_SOCKET, SO_KEEPALIVE, &on, sizeof on);
    setsockopt(fd, IPPROTO_TCP, TCP_KEEPIDLE, &idle_s, sizeof idle_s);
    setsockopt(fd, IPPROTO_TCP, TCP_KEEPINTVL, &interval_s, sizeof interval_s);
    setsockopt(fd, IPPROTO_TCP, TCP_KEEPCNT, &probes, sizeof probes);
    setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
}

int net_connect(const struct net_address *address, char why[RECORD_TEXT_SIZE])
{
    int fd = socket(address->storage.ss_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);

    if (fd < 0) {
        return refuse(address, errno, why);
    }
    keep_alive(fd);
    if (connect(fd, (const struct sockaddr *)&address->storage, address->length) < 0 &&
        errno != EINPROGRESS && errno != EINTR) {
        int r = refuse(address, errno, why);
        close(fd);
        return r;
    }
    return fd;
}

int net_ready(const struct net_address *address, int fd, char why[RECORD_TEXT_SIZE])
{
    struct pollfd wanted = {.fd = fd, .events = POLLOUT};
    int error = 0;
    socklen_t size = sizeof error;

    if (poll(&wanted, 1, 0) <= 0) {
        return 0;
    }
    if (getsockopt(fd, SOL_SOCKET, SO_ERROR, &error, &size) < 0) {
        error = errno;
    }
    return error == 0 ? 1 : refuse(address, error, why);
}
