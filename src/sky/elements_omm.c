#include "sky/elements_omm.h"

#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/utc.h"

enum kind { NUMBER, BELOW, TEXT, TIME, WORD };

/* A number lies within [a, b], for BELOW within [a, b); a word is one of the names. */
struct key {
    const char *name;
    enum kind kind;
    bool needed;
    double a, b;
    size_t offset, size;
    const char *names; /* parted by blanks */
};

#define PLACE(member) offsetof(struct elements, member), sizeof((struct elements *)0)->member

static const struct key keys[] = {
    {"OBJECT_NAME", TEXT, false, 0, 0, PLACE(name), NULL},
    {"OBJECT_ID", TEXT, false, 0, 0, PLACE(designator), NULL},
    {"NORAD_CAT_ID", TEXT, false, 0, 0, PLACE(catalogue), NULL},
    {"CENTER_NAME", WORD, true, 0, 0, 0, 0, "EARTH"},
    {"REF_FRAME", WORD, true, 0, 0, 0, 0, "TEME"},
    {"TIME_SYSTEM", WORD, true, 0, 0, 0, 0, "UTC"},
    {"MEAN_ELEMENT_THEORY", WORD, true, 0, 0, 0, 0, "SGP4 SGP/SGP4"},
    {"EPHEMERIS_TYPE", WORD, false, 0, 0, 0, 0, "0 2"},
    {"EPOCH", TIME, true, 0, 0, PLACE(epoch_s), NULL},
    {"MEAN_MOTION", NUMBER, true, 1e-3, 20.0, PLACE(mean_motion_rev_day), NULL},
    {"ECCENTRICITY", BELOW, true, 0.0, 1.0, PLACE(eccentricity), NULL},
    {"INCLINATION", NUMBER, true, 0.0, 180.0, PLACE(inclination_deg), NULL},
    {"RA_OF_ASC_NODE", NUMBER, true, 0.0, 360.0, PLACE(node_deg), NULL},
    {"ARG_OF_PERICENTER", NUMBER, true, 0.0, 360.0, PLACE(perigee_deg), NULL},
    {"MEAN_ANOMALY", NUMBER, true, 0.0, 360.0, PLACE(anomaly_deg), NULL},
    {"BSTAR", NUMBER, false, -10.0, 10.0, PLACE(drag), NULL},
};

enum { KEYS = sizeof keys / sizeof *keys, VALUE_SIZE = 80 };

void elements_omm_start(struct elements_omm *omm)
{
    *omm = (struct elements_omm){.seen = 0};
}

/* The value without blanks around it and without its unit. False: too long. */
static bool tidy(const char *value, char ret[VALUE_SIZE])
{
    const char *bracket;
    size_t n;

    value = text_skip_blanks(value);
    n = strlen(value);
    bracket = strrchr(value, '[');
    if (bracket && bracket > value && text_is_blank(bracket[-1]) && value[n - 1] == ']') {
        n = (size_t)(bracket - value);
    }
    while (n > 0 && text_is_blank(value[n - 1])) {
        n--;
    }
    if (n >= VALUE_SIZE) {
        return false;
    }
    memcpy(ret, value, n);
    ret[n] = '\0';
    return true;
}

static bool is_among(const char *value, const char *names)
{
    size_t n = strlen(value);

    while (n > 0 && *names) {
        size_t length = strcspn(names, " ");
        if (length == n && strncasecmp(names, value, n) == 0) {
            return true;
        }
        names += length + (names[length] == ' ');
    }
    return false;
}

/* "00123" as "123": the same number in every list. */
static void copy_text(const struct key *key, const char *value, char *place)
{
    if (key->offset == offsetof(struct elements, catalogue)) {
        value += strspn(value, "0");
    }
    text_sanitize(place, key->size, value, strlen(value));
}

static int refuse(const struct key *key, const char *value, char why[ELEMENTS_WHY])
{
    char shown[VALUE_SIZE];

    text_sanitize(shown, sizeof shown, value, strlen(value));
    why[0] = '\0';
    switch (key->kind) {
    case NUMBER:
        text_append(why, ELEMENTS_WHY, _("%s: \"%s\": allowed is a number from %g to %g"),
                    key->name, shown, key->a, key->b);
        break;
    case BELOW:
        text_append(why, ELEMENTS_WHY, _("%s: \"%s\": allowed is a number from %g to below %g"),
                    key->name, shown, key->a, key->b);
        break;
    case TIME:
        text_append(why, ELEMENTS_WHY,
                    _("%s: \"%s\": allowed is a time such as 2026-11-25T14:32:06.5"), key->name,
                    shown);
        break;
    case WORD:
        text_append(why, ELEMENTS_WHY, _("%s: \"%s\": only %s is understood"), key->name, shown,
                    key->names);
        break;
    case TEXT:
        break;
    }
    return -EINVAL;
}

static bool take(const struct key *key, const char *value, void *place)
{
    double number;

    switch (key->kind) {
    case TEXT:
        copy_text(key, value, place);
        return true;
    case WORD:
        return is_among(value, key->names);
    case TIME:
        return utc_parse(value, place) == 0;
    case NUMBER:
    case BELOW:
        break;
    }
    if (text_parse_double(value, &number) < 0 || number < key->a || number > key->b ||
        (key->kind == BELOW && number >= key->b)) {
        return false;
    }
    *(double *)place = number;
    return true;
}

int elements_omm_set(struct elements_omm *omm, const char *key, const char *value,
                     char why[ELEMENTS_WHY])
{
    char tidied[VALUE_SIZE];

    for (unsigned i = 0; i < KEYS; i++) {
        if (strcmp(key, keys[i].name) != 0) {
            continue;
        }
        if (omm->seen & 1u << i) {
            snprintf(why, ELEMENTS_WHY, _("%s is given twice"), key);
            return -EINVAL;
        }
        if (!tidy(value, tidied)) {
            snprintf(why, ELEMENTS_WHY, _("%s: the value is too long"), key);
            return -EINVAL;
        }
        if (!take(&keys[i], tidied, (char *)&omm->elements + keys[i].offset)) {
            return refuse(&keys[i], tidied, why);
        }
        omm->seen |= 1u << i;
        return 0;
    }
    return 0;
}

int elements_omm_finish(const struct elements_omm *omm, struct elements *ret,
                        char why[ELEMENTS_WHY])
{
    for (unsigned i = 0; i < KEYS; i++) {
        if (keys[i].needed && !(omm->seen & 1u << i)) {
            snprintf(why, ELEMENTS_WHY, _("%s is missing"), keys[i].name);
            return -EINVAL;
        }
    }
    *ret = omm->elements;
    return 0;
}
