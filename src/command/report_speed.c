#include "command/report_speed.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "record/speed_test.h"

static const double most_mbps = 1e6;

void report_speed_init(struct report_speed *speed)
{
    *speed = (struct report_speed){.down_mbps = NAN, .up_mbps = NAN};
}

int report_speed_type(struct report_speed *speed, const char *flag, const char *text,
                      double *ret_mbps)
{
    double mbps;

    if (text_parse_double(text, &mbps) < 0 || mbps < 0.0 || mbps > most_mbps) {
        char why[128] = "";
        text_append(why, sizeof why, _("%s is no number of Mbit/s"), text);
        command_complain(flag, why, _("give one from 0 to 1000000, such as 42.5"));
        return -EINVAL;
    }
    *ret_mbps = mbps;
    speed->typed = true;
    return 0;
}

int report_speed_read(struct report_speed *speed, const char *path)
{
    struct speed_test test;
    char why[RECORD_TEXT_SIZE];

    if (speed_test_read(path, &test, why) < 0) {
        command_complain(path, why, _("give what iperf3 wrote with its flag --json"));
        return -EINVAL;
    }
    if (isfinite(test.down_mbps)) {
        speed->down_mbps = test.down_mbps;
    }
    if (isfinite(test.up_mbps)) {
        speed->up_mbps = test.up_mbps;
    }
    speed->udp = test.udp;
    speed->tested = true;
    return 0;
}

void report_speed_put(const struct report_speed *speed, struct handover *handover)
{
    if (!speed->tested && !speed->typed) {
        return;
    }
    handover->speed.down_mbps = speed->down_mbps;
    handover->speed.up_mbps = speed->up_mbps;
    if (speed->tested) {
        handover->speed.origin = HANDOVER_MEASURED;
        snprintf(handover->speed.how, sizeof handover->speed.how,
                 _("an iperf3 test over %s, what arrived"), speed->udp ? "UDP" : "TCP");
    } else {
        handover->speed.origin = HANDOVER_READ;
        text_copy(handover->speed.how, sizeof handover->speed.how,
                  _("a speed test, typed in when this record was made"));
    }
}
