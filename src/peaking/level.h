/* level.h - the units a meter reports. Pure. */
#ifndef PEAKING_LEVEL_H
#define PEAKING_LEVEL_H

#include <stdbool.h>

enum level_unit {
    LEVEL_DB, /* a ratio: SNR, C/N, Es/N0, Eb/N0 */
    LEVEL_DBM,
    LEVEL_DBUV,
    LEVEL_PERCENT,
    LEVEL_VOLT,
    LEVEL_RAW,
    LEVEL_UNIT_COUNT
};

/* As written in files and words: "dB", "dBm", "dBuV", "percent", "V", "raw". */
const char *level_unit_name(enum level_unit unit);

/* As shown: "dB", "dBm", "dBµV" (or "dBuV"), "%", "V", "". */
const char *level_unit_symbol(enum level_unit unit, bool utf8);

bool level_unit_parse(const char *text, enum level_unit *ret_unit);

/* True where a difference is a ratio; percent, volts and raw are monotone only. */
bool level_unit_is_db(enum level_unit unit);

#endif
