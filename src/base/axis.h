/* axis.h - the three axes a technician turns, and the words for turning them. */
#ifndef BASE_AXIS_H
#define BASE_AXIS_H

#include <stdbool.h>

enum axis { AXIS_AZIMUTH, AXIS_ELEVATION, AXIS_SKEW, AXIS_COUNT, AXIS_NONE = AXIS_COUNT };

/* "azimuth", "elevation", "skew"; "" for AXIS_NONE. */
const char *axis_name(enum axis axis);

/* The axis of a name, or AXIS_NONE. Accepts the short forms "az" and "el". */
enum axis axis_parse(const char *name);

/*
 * The English word for turning an axis, as seen from behind the antenna looking toward the
 * satellite: right/left (azimuth grows to the right), up/down, clockwise/anticlockwise.
 *
 *   sign     > 0 towards growing angle, < 0 the other way
 *   returns  a word of the table; "" for AXIS_NONE
 */
const char *axis_way(enum axis axis, double sign);

/* The same in the language that is spoken: the axis; the way; the way as it begins a sentence. */
const char *axis_word(enum axis axis);
const char *axis_way_word(enum axis axis, double sign);
const char *axis_way_word_first(enum axis axis, double sign);

/* The way once more, as short as it can be understood: for a narrow column beside a number. */
const char *axis_way_label(enum axis axis, double sign);

/*
 * The axis and sign of an English word for turning.
 *
 *   returns  true and both outputs; false, outputs untouched, when the word is none of the six
 */
bool axis_parse_way(const char *word, enum axis *ret_axis, int *ret_sign);

#endif
