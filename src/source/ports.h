/* ports.h - the serial ports of this computer, for people who look for the right one. */
#ifndef SOURCE_PORTS_H
#define SOURCE_PORTS_H

enum { PORTS_MOST = 32 };

struct ports_entry {
    char device[64];       /* "/dev/ttyUSB0" */
    char description[160]; /* what the port says of itself, safe to show; "" = nothing */
};

/* How many there are, at most `most`; -ENOSYS or -ENOMEM when they can't be listed. */
int ports_list(struct ports_entry *ret_ports, int most);

enum { PORTS_LINES = 6, PORTS_LINE_SIZE = 128 };

/*
 * The lines that a port sends within some seconds (8N1), for a person to look at.
 *
 *   ret_lines  the newest last, safe to show
 *   returns    how many; -errno when it can't be opened
 */
int ports_listen(const char *device, int baud, double seconds,
                 char ret_lines[PORTS_LINES][PORTS_LINE_SIZE]);

#endif
