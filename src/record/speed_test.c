#include "record/speed_test.h"

#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "job/json_fault.h"

static const double bits_a_megabit = 1e6;

static double number(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);

    return json_is_number(value) ? json_number_value(value) : NAN;
}

/* Mbit/s of a sum; NaN when it has none, or none that can be. */
static double rate_mbps(const json_t *end, const char *key)
{
    double bits = number(json_object_get(end, key), "bits_per_second");

    return bits >= 0.0 ? bits / bits_a_megabit : NAN;
}

static int refuse(char why[RECORD_TEXT_SIZE], const char *phrase)
{
    text_copy(why, RECORD_TEXT_SIZE, phrase);
    return -EINVAL;
}

static int take(const json_t *root, struct speed_test *ret, char why[RECORD_TEXT_SIZE])
{
    const json_t *end = json_object_get(root, "end");
    const json_t *begun = json_object_get(json_object_get(root, "start"), "test_start");
    const json_t *error = json_object_get(root, "error");
    const char *protocol = json_string_value(json_object_get(begun, "protocol"));
    struct speed_test test = {.down_mbps = NAN, .up_mbps = NAN};
    double forward, back;

    if (json_is_string(error)) {
        char clean[RECORD_TEXT_SIZE / 2];
        text_sanitize(clean, sizeof clean, json_string_value(error), json_string_length(error));
        snprintf(why, RECORD_TEXT_SIZE, _("the test failed: %s"), clean);
        return -EINVAL;
    }
    if (!json_is_object(end) || !json_is_object(begun)) {
        return refuse(why, _("no result of iperf3 --json: start.test_start or end is missing"));
    }
    forward = rate_mbps(end, "sum_received");
    back = rate_mbps(end, "sum_received_bidir_reverse");
    if (!isfinite(forward)) {
        return refuse(why, _("the result has no end.sum_received.bits_per_second: was the test cut "
                             "off, or made by a very old iperf3?"));
    }
    test.udp = protocol && strcmp(protocol, "UDP") == 0;
    test.seconds = number(begun, "duration");
    if (number(begun, "reverse") == 1.0) {
        test.down_mbps = forward;
    } else {
        test.up_mbps = forward;
        test.down_mbps = back;
    }
    *ret = test;
    return 0;
}

int speed_test_read(const char *path, struct speed_test *ret, char why[RECORD_TEXT_SIZE])
{
    FILE *file = fopen(path, "re");
    char fault[JSON_FAULT_SIZE];
    json_error_t error;
    json_t *root;
    int r;

    if (!file) {
        r = -errno;
        text_copy(why, RECORD_TEXT_SIZE, fault_words(-r));
        return r;
    }
    root = json_loadf(file, 0, &error);
    fclose(file);
    if (!root) {
        snprintf(why, RECORD_TEXT_SIZE, _("line %d is no JSON: %s"), error.line,
                 json_fault_say(&error, fault));
        return -EINVAL;
    }
    r = take(root, ret, why);
    json_decref(root);
    return r;
}
