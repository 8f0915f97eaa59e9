#include "base/axis.h"

#include <string.h>

static const struct {
    const char *name, *abbreviation, *positive, *negative;
} axes[AXIS_COUNT] = {
    [AXIS_AZIMUTH] = {"azimuth", "az", "right", "left"},
    [AXIS_ELEVATION] = {"elevation", "el", "up", "down"},
    [AXIS_SKEW] = {"skew", "skew", "clockwise", "anticlockwise"},
};

const char *axis_name(enum axis axis)
{
    return axis < AXIS_COUNT ? axes[axis].name : "";
}

enum axis axis_parse(const char *name)
{
    for (int i = 0; i < AXIS_COUNT; i++) {
        if (strcmp(name, axes[i].name) == 0 || strcmp(name, axes[i].abbreviation) == 0) {
            return (enum axis)i;
        }
    }
    return AXIS_NONE;
}

const char *axis_way(enum axis axis, double sign)
{
    if (axis >= AXIS_COUNT) {
        return "";
    }
    return sign < 0 ? axes[axis].negative : axes[axis].positive;
}

bool axis_parse_way(const char *word, enum axis *ret_axis, int *ret_sign)
{
    for (int i = 0; i < AXIS_COUNT; i++) {
        int sign = (strcmp(word, axes[i].positive) == 0) - (strcmp(word, axes[i].negative) == 0);
        if (sign != 0) {
            *ret_axis = (enum axis)i;
            *ret_sign = sign;
            return true;
        }
    }
    return false;
}
