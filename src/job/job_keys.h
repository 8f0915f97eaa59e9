/*
 * job_keys.h - the table of all keys of a job file: one row each, in the order of the manual. The
 * row is all there is to know about a key: what may be set, where it goes and what an error says.
 */
#ifndef JOB_JOB_KEYS_H
#define JOB_JOB_KEYS_H

#include <stddef.h>

#include "job/job.h"

enum job_key_type {
    KEY_TEXT,   /* copied; a to b bytes */
    KEY_NUMBER, /* double within [a, b] */
    KEY_WHOLE,  /* int within [a, b] */
    KEY_CHOICE, /* enum that counts from 0, in the order of the names */
    KEY_SENSE,  /* int, 1 or -1 */
    KEY_LATITUDE,
    KEY_LONGITUDE,
    KEY_POLARISATION,
    KEY_UNIT,
    KEY_FRAMING,
    KEY_POINT,  /* skyline: azimuth and elevation */
    KEY_OBJECT, /* skyline: azimuth, distance, height of the top, width */
    KEY_KIT,    /* the name of a section of the kit file */
};

/* Whose memory the offset counts from. */
enum job_key_home { HOME_JOB, HOME_NEIGHBOUR, HOME_METER, HOME_SOURCE };

struct job_key {
    const char *section, *key;
    enum job_key_type type;
    double a, b;       /* range; a text's least and most bytes */
    const char *names; /* choices, parted by blanks */
    enum job_key_home home;
    size_t offset;
};

enum { JOB_ALLOWED_SIZE = 240 };

/* Ended by a row whose section is NULL. */
extern const struct job_key job_keys[];

/* The row of a key, by its section without the name ("meter"), or NULL. */
const struct job_key *job_keys_find(const char *section, const char *key);

/* What a key accepts, in words that follow "allowed is". */
void job_key_allowed(const struct job_key *row, char ret_text[JOB_ALLOWED_SIZE]);

/*
 * Read a value into its place (the home's memory plus the row's offset).
 *
 *   returns  0; -EINVAL and why: key, value, what is allowed; the place is untouched then
 */
int job_key_set(const struct job_key *row, void *place, const char *value,
                char why[JOB_ERROR_SIZE]);

/* What is wrong, as printf() says it. Returns the error. */
int job_refuse(char why[JOB_ERROR_SIZE], int error, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The phrase that refuses a value. Returns -EINVAL. */
int job_key_refuse(const struct job_key *row, const char *value, char why[JOB_ERROR_SIZE]);

/* "140 25 8" or "140 25 8 4". 0 or -EINVAL. */
int job_key_parse_object(const char *value, struct skyline_object *ret);

/* "140 12.5". 0 or -EINVAL. */
int job_key_parse_point(const char *value, double *ret_azimuth_deg, double *ret_elevation_deg);

#endif
