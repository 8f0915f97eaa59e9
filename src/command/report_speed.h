/* report_speed.h - a speed test that is given when the record is made, by flags. */
#ifndef COMMAND_REPORT_SPEED_H
#define COMMAND_REPORT_SPEED_H

#include <stdbool.h>

#include "record/handover.h"

struct report_speed {
    double down_mbps, up_mbps; /* NaN = not told */
    bool typed, tested;
    bool udp;
};

/* Nothing told yet. */
void report_speed_init(struct report_speed *speed);

/* A number typed behind a flag, to go to *ret_mbps. 0, or -EINVAL after complaining. */
int report_speed_type(struct report_speed *speed, const char *flag, const char *text,
                      double *ret_mbps);

/* A file of iperf3's; a second one may have the other way. 0, or -EINVAL after complaining. */
int report_speed_read(struct report_speed *speed, const char *path);

/* What was told here goes before what the log has. */
void report_speed_put(const struct report_speed *speed, struct handover *handover);

#endif
