/* job_keys.h - the table of all keys of a job file: one row each, in the order of the manual. */
#ifndef JOB_JOB_KEYS_H
#define JOB_JOB_KEYS_H

#include <stddef.h>

#include "job/job.h"

enum job_key_type {
    KEY_TEXT,    /* copied; a = room */
    KEY_NUMBER,  /* double within [a, b] */
    KEY_INTEGER, /* int, one of the names, or within [a, b] */
    KEY_CHOICE,  /* enum, one of the names in order */
    KEY_LATITUDE,
    KEY_LONGITUDE,
    KEY_POLARISATION,
    KEY_UNIT,
    KEY_FRAMING,
    KEY_POINT, /* skyline: azimuth and elevation */
    KEY_KIT,   /* a section of the kit file */
};

struct job_key {
    const char *section, *key;
    enum job_key_type type;
    size_t offset;     /* into struct job, or into the element of the section's array */
    double a, b;       /* range, or room of a text */
    const char *names; /* choices, parted by blanks */
};

/* Ended by a row whose section is NULL. */
extern const struct job_key job_keys[];

#endif
