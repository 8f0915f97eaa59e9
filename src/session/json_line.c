#include "session/json_line.h"

#include <errno.h>
#include <math.h>

int json_line(json_t *root, char *line, size_t size)
{
    /* 15 digits: a double nearest to a short decimal is written as that decimal */
    size_t n = json_dumpb(root, line, size, JSON_COMPACT | JSON_REAL_PRECISION(15));

    json_decref(root);
    if (n == 0) {
        return -EINVAL;
    }
    if (n >= size) {
        return -ENOSPC;
    }
    line[n] = '\0';
    return (int)n;
}

json_t *json_line_number(double value)
{
    /* more than any angle, level or time here is good for */
    return isfinite(value) ? json_real(round(value * 1e4) / 1e4) : json_null();
}
