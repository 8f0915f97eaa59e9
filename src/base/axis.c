#include "base/axis.h"

#include <string.h>

#include "base/tongue.h"

static const struct {
    const char *name, *abbreviation, *positive, *negative;
} axes[AXIS_COUNT] = {
    [AXIS_AZIMUTH] = {"azimuth", "az", "right", "left"},
    [AXIS_ELEVATION] = {"elevation", "el", "up", "down"},
    [AXIS_SKEW] = {"skew", "skew", "clockwise", "anticlockwise"},
};

/* TRANSLATORS: an axis of the mount, within a sentence. Skew is the turn of the polarisation about
 * the direction of view. */
static const char *const words[AXIS_COUNT] = {N_("azimuth"), N_("elevation"), N_("skew")};

/* TRANSLATORS: which way to turn, as seen from behind the antenna; within a sentence, before or
 * without a number of degrees. */
static const char *const ways[AXIS_COUNT][2] = {
    {N_("left"), N_("right")}, {N_("down"), N_("up")}, {N_("anticlockwise"), N_("clockwise")}};

/* TRANSLATORS: the same at the start of a sentence: "Right 0.46°, one and a quarter turns." */
static const char *const first_ways[AXIS_COUNT][2] = {
    {N_("Left"), N_("Right")}, {N_("Down"), N_("Up")}, {N_("Anticlockwise"), N_("Clockwise")}};

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

const char *axis_word(enum axis axis)
{
    return axis < AXIS_COUNT ? _(words[axis]) : "";
}

const char *axis_way_word(enum axis axis, double sign)
{
    return axis < AXIS_COUNT ? _(ways[axis][sign < 0 ? 0 : 1]) : "";
}

const char *axis_way_word_first(enum axis axis, double sign)
{
    return axis < AXIS_COUNT ? _(first_ways[axis][sign < 0 ? 0 : 1]) : "";
}

const char *axis_way_label(enum axis axis, double sign)
{
    bool grows = sign >= 0;

    /* TRANSLATORS: which way to turn, in a column of 13 beside a number; as seen from behind the
     * antenna */
    switch (axis) {
    case AXIS_AZIMUTH:
        return grows ? tongue_say_in("label", "right") : tongue_say_in("label", "left");
    case AXIS_ELEVATION:
        return grows ? tongue_say_in("label", "up") : tongue_say_in("label", "down");
    case AXIS_SKEW:
        return grows ? tongue_say_in("label", "clockwise")
                     : tongue_say_in("label", "anticlockwise");
    default:
        return "";
    }
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
