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

#endif
