/*
 * cable.h - the far ends of the technician's cables: a pseudo-terminal on which a meter speaks, and
 * a loopback TCP port on which a receiver does. Nothing here blocks; what no one listens to is
 * lost, as it is on a real line.
 */
#ifndef SIM_PROGRAM_CABLE_H
#define SIM_PROGRAM_CABLE_H

#include <stdbool.h>
#include <stddef.h>

enum { CABLE_PATH_SIZE = 256, CABLE_WHY_SIZE = 512, CABLE_LISTENERS = 4 };

struct cable {
    int meter;                        /* owned: the pseudo-terminal's master side; -1 = none */
    char meter_path[CABLE_PATH_SIZE]; /* of the side that a program opens */
    char link_path[CABLE_PATH_SIZE];  /* "" = no symbolic link */
    int door;                         /* owned: the listening socket; -1 = none */
    int listeners[CABLE_LISTENERS];   /* owned: who has connected; -1 = free */
    int port;
};

/* Everything closed. */
void cable_init(struct cable *cable);

/*
 * Open the pseudo-terminal.
 *
 *   link     a symbolic link to make to it, or NULL; one that is there is replaced, another file
 *            is not
 *   returns  0; -errno and why
 */
int cable_open_meter(struct cable *cable, const char *link, char why[CABLE_WHY_SIZE]);

/* Listen on 127.0.0.1. port 0 = any that is free; cable->port says which. 0; -errno and why. */
int cable_open_receiver(struct cable *cable, int port, char why[CABLE_WHY_SIZE]);

/* Say bytes to whoever listens. */
void cable_say_meter(struct cable *cable, const char *bytes, size_t n);
void cable_say_receiver(struct cable *cable, const char *bytes, size_t n);

/* Let in who knocks, throw away what is sent here, forget who left. */
void cable_tend(struct cable *cable);

/* Close everything and remove the link. */
void cable_close(struct cable *cable);

#endif
