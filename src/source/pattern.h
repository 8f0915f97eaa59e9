/*
 * pattern.h - the shape of a meter's lines, so that any meter can be read. Pure: no I/O, no clock,
 * no memory; compiled once, matched without allocation.
 *
 *   SNR = {level} [dB]                     "SNR=12.1dB", "SNR =  12.1"
 *   {level},{lock},{id}                    "12.1,1,HUT-TV"
 *   LVL {level} LOCK {lock CARRIER}        "LVL -43.2 LOCK CARRIER"; any other word is no lock
 *   az{azimuth} el{elevation} {skip}       "az143.2 el31.05 t=21 ok"
 *   C/N {level}|C/N --{skip}|LOCK {lock}   lines of three kinds; the second says nothing
 *
 * The whole line must fit, blanks at its ends aside. A pattern is made of
 *
 *   text       stands for itself, upper and lower case differ
 *   blank      any number of blanks and tabs, none too
 *   {FIELD}    a value, see below
 *   [...]      may be missing; taken when it fits. Not inside another, and no {skip} in it
 *   |          between alternatives: the first that fits counts
 *   \          before { } [ ] | \ or a blank: that character itself
 *
 * and the fields are
 *
 *   {level}                  the reading, in the unit of the meter's profile
 *   {lock} {lock WORD ...}   a word: one of the WORDs (by default 1 yes on true ok lock locked, in
 * any case) says locked, any other that it is not {id}                     a word: what the
 * receiver is locked to; only beside {lock} {azimuth} {elevation} {skew}   degrees, azimuth from
 * true north; {compass} from magnetic north {aux NAME} {aux NAME UNIT}     another number worth
 * keeping: {aux temperature C} {number} {word}          a number, a word that does not matter
 *   {skip}                   anything, up to the first place where what follows (as far as the next
 *                            {skip}) fits
 *
 * A number is decimal with '.', blanks before it allowed, exponent allowed; it ends at a character
 * that can't belong to it. A word has no blanks and also ends at the character that follows it in
 * the pattern.
 */
#ifndef SOURCE_PATTERN_H
#define SOURCE_PATTERN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/axis.h"
#include "session/record.h"

enum {
    PATTERN_TEXT_SIZE = 160,
    PATTERN_ELEMENTS = 64,
    PATTERN_AUX = 4, /* in one alternative */
};

enum pattern_op {
    PATTERN_TEXT,
    PATTERN_BLANK,
    PATTERN_OPTION, /* the next `length` elements may be missing */
    PATTERN_NUMBER,
    PATTERN_WORD,
    PATTERN_SKIP,
    PATTERN_OR,
};

enum pattern_field {
    PATTERN_FIELD_LEVEL,
    PATTERN_FIELD_LOCK,
    PATTERN_FIELD_ID,
    PATTERN_FIELD_AZIMUTH,
    PATTERN_FIELD_COMPASS,
    PATTERN_FIELD_ELEVATION,
    PATTERN_FIELD_SKEW,
    PATTERN_FIELD_AUX,
    PATTERN_FIELD_IGNORED_NUMBER,
    PATTERN_FIELD_IGNORED_WORD,
    PATTERN_FIELD_SKIP,
    PATTERN_FIELD_COUNT,
    PATTERN_NO_FIELD = PATTERN_FIELD_COUNT
};

struct pattern {
    char text[PATTERN_TEXT_SIZE]; /* what the elements point into */
    struct pattern_element {
        enum pattern_op op;
        enum pattern_field field;
        size_t start, length; /* TEXT: the text; a field: its arguments; OPTION: see above */
    } elements[PATTERN_ELEMENTS];
    size_t count; /* 0 = no pattern: nothing fits */
};

/* What one line said. */
struct pattern_reading {
    double level;           /* NaN = nothing */
    double deg[AXIS_COUNT]; /* NaN = nothing; not range-checked */
    bool magnetic;          /* the azimuth came from {compass} */
    bool lock_said, locked;
    char id[RECORD_NAME_SIZE];
    struct record_aux aux[PATTERN_AUX];
    size_t aux_count;
};

/*
 *   text          the pattern, fewer than PATTERN_TEXT_SIZE bytes
 *   ret_position  on failure where: bytes from the start
 *   why           on failure a phrase
 *   returns       0; -EINVAL wrong; -ENOSPC too long; the pattern is empty then
 */
int pattern_compile(struct pattern *ret_pattern, const char *text, size_t *ret_position,
                    char why[RECORD_TEXT_SIZE]);

/* True when the line fits; the output is untouched when not. Words are made safe to show. */
bool pattern_match(const struct pattern *pattern, const char *line,
                   struct pattern_reading *ret_reading);

/* True when some alternative can only fit lines that start with this character. */
bool pattern_starts_with(const struct pattern *pattern, char first);

#endif
