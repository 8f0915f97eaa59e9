#include "radio/polarisation.h"

#include <stddef.h>
#include <strings.h>

static const struct {
    const char *text;
    enum polarisation polarisation;
} spellings[] = {
    {"V", POLARISATION_V},
    {"H", POLARISATION_H},
    {"circular", POLARISATION_CIRCULAR},
    {"vertical", POLARISATION_V},
    {"horizontal", POLARISATION_H},
    {"L", POLARISATION_CIRCULAR},
    {"R", POLARISATION_CIRCULAR},
    {"LHCP", POLARISATION_CIRCULAR},
    {"RHCP", POLARISATION_CIRCULAR},
};

const char *polarisation_name(enum polarisation polarisation)
{
    return spellings[polarisation].text;
}

bool polarisation_parse(const char *text, enum polarisation *ret_polarisation)
{
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++) {
        if (strcasecmp(text, spellings[i].text) == 0) {
            *ret_polarisation = spellings[i].polarisation;
            return true;
        }
    }
    return false;
}
