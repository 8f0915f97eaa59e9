#include "sim/program/cable.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <termios.h>
#include <unistd.h>

void cable_init(struct cable *cable)
{
    *cable = (struct cable){.meter = -1, .door = -1};
    for (int i = 0; i < CABLE_LISTENERS; i++) {
        cable->listeners[i] = -1;
    }
}

static int refuse(char why[CABLE_WHY_SIZE], const char *what, int error)
{
    snprintf(why, CABLE_WHY_SIZE, "%s: %s", what, strerror(error));
    return -error;
}

/* --- the meter ------------------------------------------------------------------------------ */

/* The line says bytes as they are, and does not say back what it hears. */
static int make_raw(const char *path)
{
    int fd = open(path, O_RDWR | O_NOCTTY | O_CLOEXEC);
    struct termios line;

    if (fd < 0) {
        return -errno;
    }
    if (tcgetattr(fd, &line) == 0) {
        cfmakeraw(&line);
        tcsetattr(fd, TCSANOW, &line);
    }
    close(fd);
    return 0;
}

static int make_link(struct cable *cable, const char *link, char why[CABLE_WHY_SIZE])
{
    struct stat there;

    if (strlen(link) >= sizeof cable->link_path) {
        return refuse(why, link, ENAMETOOLONG);
    }
    if (lstat(link, &there) == 0 && S_ISLNK(there.st_mode)) {
        unlink(link);
    }
    if (symlink(cable->meter_path, link) < 0) {
        return refuse(why, link, errno);
    }
    strcpy(cable->link_path, link);
    return 0;
}

int cable_open_meter(struct cable *cable, const char *link, char why[CABLE_WHY_SIZE])
{
    int r;

    cable->meter = posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (cable->meter < 0 || grantpt(cable->meter) < 0 || unlockpt(cable->meter) < 0 ||
        ptsname_r(cable->meter, cable->meter_path, sizeof cable->meter_path) != 0) {
        return refuse(why, "no pseudo-terminal", errno);
    }
    r = make_raw(cable->meter_path);
    if (r < 0) {
        return refuse(why, cable->meter_path, -r);
    }
    return link ? make_link(cable, link, why) : 0;
}

void cable_say_meter(struct cable *cable, const char *bytes, size_t n)
{
    struct pollfd line = {.fd = cable->meter, .events = POLLOUT};

    /* hung up = no one has it open; what was said then would wait for the next one */
    if (poll(&line, 1, 0) == 1 && !(line.revents & POLLHUP) && (line.revents & POLLOUT)) {
        ssize_t sent = write(cable->meter, bytes, n);
        (void)sent;
    }
}

/* --- the receiver --------------------------------------------------------------------------- */

int cable_open_receiver(struct cable *cable, int port, char why[CABLE_WHY_SIZE])
{
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    socklen_t size = sizeof address;
    char what[40];
    int on = 1;

    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    snprintf(what, sizeof what, "127.0.0.1:%d", port);
    cable->door = socket(AF_INET, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0);
    if (cable->door < 0) {
        return refuse(why, what, errno);
    }
    setsockopt(cable->door, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
    if (bind(cable->door, (const struct sockaddr *)&address, sizeof address) < 0 ||
        listen(cable->door, CABLE_LISTENERS) < 0 ||
        getsockname(cable->door, (struct sockaddr *)&address, &size) < 0) {
        return refuse(why, what, errno);
    }
    cable->port = ntohs(address.sin_port);
    return 0;
}

static void let_go(int *fd)
{
    if (*fd >= 0) {
        close(*fd);
        *fd = -1;
    }
}

void cable_say_receiver(struct cable *cable, const char *bytes, size_t n)
{
    for (int i = 0; i < CABLE_LISTENERS; i++) {
        if (cable->listeners[i] >= 0 &&
            send(cable->listeners[i], bytes, n, MSG_NOSIGNAL | MSG_DONTWAIT) < 0 &&
            errno != EAGAIN) {
            let_go(&cable->listeners[i]);
        }
    }
}

static void let_in(struct cable *cable)
{
    int on = 1;

    for (int i = 0; i < CABLE_LISTENERS; i++) {
        if (cable->listeners[i] < 0) {
            cable->listeners[i] = accept4(cable->door, NULL, NULL, SOCK_NONBLOCK | SOCK_CLOEXEC);
            if (cable->listeners[i] < 0) {
                return;
            }
            setsockopt(cable->listeners[i], IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
        }
    }
}

/* --- both ----------------------------------------------------------------------------------- */

void cable_tend(struct cable *cable)
{
    char heard[256];

    if (cable->door >= 0) {
        let_in(cable);
    }
    for (int i = 0; i < CABLE_LISTENERS; i++) {
        ssize_t n = 1;
        while (cable->listeners[i] >= 0 && n > 0) {
            n = read(cable->listeners[i], heard, sizeof heard);
            if (n == 0 || (n < 0 && errno != EAGAIN && errno != EINTR)) {
                let_go(&cable->listeners[i]);
            }
        }
    }
    while (cable->meter >= 0 && read(cable->meter, heard, sizeof heard) > 0) {
    }
}

void cable_close(struct cable *cable)
{
    for (int i = 0; i < CABLE_LISTENERS; i++) {
        let_go(&cable->listeners[i]);
    }
    let_go(&cable->door);
    let_go(&cable->meter);
    if (cable->link_path[0] != '\0') {
        unlink(cable->link_path);
        cable->link_path[0] = '\0';
    }
}
