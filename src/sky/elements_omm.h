/*
 * elements_omm.h - an orbit mean-elements message (OMM), key by key: however it is wrapped, KVN or
 * JSON, its keywords and values are those of CCSDS 502.0-B, section 4. Pure.
 */
#ifndef SKY_ELEMENTS_OMM_H
#define SKY_ELEMENTS_OMM_H

#include "sky/elements.h"

struct elements_omm {
    struct elements elements;
    unsigned seen; /* a bit for each known key */
};

void elements_omm_start(struct elements_omm *omm);

/*
 * Take one key. Keys that SGP4 doesn't need are passed over.
 *
 *   value    as in KVN: a unit in brackets behind it is allowed
 *   why      on failure a phrase: key, value, what is allowed
 *   returns  0; -EINVAL
 */
int elements_omm_set(struct elements_omm *omm, const char *key, const char *value,
                     char why[ELEMENTS_WHY]);

/* 0; -EINVAL and why, a phrase: a key is missing */
int elements_omm_finish(const struct elements_omm *omm, struct elements *ret,
                        char why[ELEMENTS_WHY]);

#endif
