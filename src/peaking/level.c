#include "peaking/level.h"

#include <stddef.h>
#include <strings.h>

static const struct {
    const char *name, *symbol, *symbol_utf8;
    bool is_db;
} units[LEVEL_UNIT_COUNT] = {
    [LEVEL_DB] = {"dB", "dB", "dB", true},
    [LEVEL_DBM] = {"dBm", "dBm", "dBm", true},
    [LEVEL_DBUV] = {"dBuV", "dBuV", "dB\u00b5V", true},
    [LEVEL_PERCENT] = {"percent", "%", "%", false},
    [LEVEL_VOLT] = {"V", "V", "V", false},
    [LEVEL_RAW] = {"raw", "", "", false},
};

const char *level_unit_name(enum level_unit unit)
{
    return units[unit].name;
}

const char *level_unit_symbol(enum level_unit unit, bool utf8)
{
    return utf8 ? units[unit].symbol_utf8 : units[unit].symbol;
}

bool level_unit_parse(const char *text, enum level_unit *ret_unit)
{
    for (int i = 0; i < LEVEL_UNIT_COUNT; i++) {
        if (strcasecmp(text, units[i].name) == 0 || strcasecmp(text, units[i].symbol_utf8) == 0) {
            *ret_unit = (enum level_unit)i;
            return true;
        }
    }
    return false;
}

bool level_unit_is_db(enum level_unit unit)
{
    return units[unit].is_db;
}
