/*
 * speed_test.h - the result of a speed test that iperf3 wrote with its flag --json. Pure.
 *
 *   {"start":{...,"test_start":{"protocol":"TCP",...,"reverse":1}},
 *    "end":{...,"sum_received":{...,"bits_per_second":40368419.97}}}
 *
 * What arrived counts, not what was sent: the receiver's sum. With "reverse":1 the other end sent,
 * so that it is the way down to the site; else the way up from it. A test of both ways at once has
 * the reverse one in "sum_received_bidir_reverse".
 *   Source: files written by iperf3 3.12 (tests/end-to-end/speed).
 */
#ifndef RECORD_SPEED_TEST_H
#define RECORD_SPEED_TEST_H

#include "session/record.h"

struct speed_test {
    double down_mbps, up_mbps; /* NaN = that way was not tested */
    bool udp;                  /* else TCP */
    double seconds;            /* how long it ran; NaN = not said */
};

/*
 * Read a file of it.
 *
 *   why      on failure a phrase
 *   returns  0; -EINVAL it is no such file, or the test did not end well; -errno of reading
 */
int speed_test_read(const char *path, struct speed_test *ret, char why[RECORD_TEXT_SIZE]);

#endif
