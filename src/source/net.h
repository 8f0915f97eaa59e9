/* net.h - TCP addresses and connecting without waiting. */
#ifndef SOURCE_NET_H
#define SOURCE_NET_H

#include <sys/socket.h>

#include "session/record.h"

enum { NET_SHOWN_SIZE = 80 };

struct net_address {
    struct sockaddr_storage storage;
    socklen_t length;
    char shown[NET_SHOWN_SIZE]; /* "localhost:2947" */
};

/*
 * HOST, HOST:PORT, [V6]:PORT, with or without // in front; an empty host is localhost.
 *
 * Numbers and localhost are known without asking anybody. Another name is looked up here, once, and
 * that may take as long as the resolver likes: so this is called at start, before the screen is up,
 * and a laptop at a mount without a network better gives the number.
 *
 *   port     the default; NULL = it must be given
 *   returns  0; -EINVAL and why
 */
int net_resolve(const char *text, const char *port, struct net_address *ret_address,
                char why[RECORD_TEXT_SIZE]);

/* Begin to connect: a non-blocking descriptor, or -errno and why. */
int net_connect(const struct net_address *address, char why[RECORD_TEXT_SIZE]);

/* Is it connected: 1, 0 = not yet, -errno and why. */
int net_ready(const struct net_address *address, int fd, char why[RECORD_TEXT_SIZE]);

#endif
