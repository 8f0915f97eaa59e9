/*
 * elements.h - mean elements of a satellite's orbit, as lists of two-line elements and CCSDS orbit
 * mean-elements messages (OMM) hand them out. They are made for SGP4 and SDP4 (sgp4.h) and mean
 * little without it. Pure.
 */
#ifndef SKY_ELEMENTS_H
#define SKY_ELEMENTS_H

#include <stdbool.h>
#include <stddef.h>

#include "sky/figure_eight.h"

enum {
    ELEMENTS_NAME = 32,
    ELEMENTS_ID = 16,
    ELEMENTS_WHY = 240,
};

struct elements {
    char name[ELEMENTS_NAME];     /* "" = none given */
    char designator[ELEMENTS_ID]; /* international designator, as written; "" = none */
    char catalogue[ELEMENTS_ID];  /* catalogue number without leading zeros; "" = none */
    double epoch_s;               /* UTC in seconds since 1970 */
    double mean_motion_rev_day;   /* by Kozai's definition, > 0 */
    double eccentricity;          /* [0, 1) */
    double inclination_deg;       /* [0, 180]; this and the next in TEME of date */
    double node_deg;              /* right ascension of the ascending node, [0, 360] */
    double perigee_deg;           /* argument of perigee, [0, 360] */
    double anomaly_deg;           /* mean anomaly, [0, 360] */
    double drag;                  /* B*, per earth radius */
};

/*
 * Read one satellite's elements from the text of a file: two-line elements with or without a line
 * of name before each pair, or OMMs in KVN, one after the other.
 *
 *   wanted   name or catalogue number, letters' case and leading zeros of no account; NULL or "" =
 *            the only one there is. Of several sets of it the one with the latest epoch is taken.
 *   why      on failure a sentence: line, key or field, what is wrong
 *   returns  0; -EINVAL the text is wrong somewhere, also in a set not wanted; -ENOENT what is
 *            wanted is not in it, or nothing is; -ENOTUNIQ several satellites and none was wanted
 *   Source: two-line elements as in Hoots and Roehrich, Spacetrack Report No. 3 (1980), section 2;
 *   CCSDS 502.0-B, Orbit Data Messages, section 4.
 */
int elements_parse(const char *text, const char *wanted, struct elements *ret,
                   char why[ELEMENTS_WHY]);

/*
 * The same as a figure of eight, where sgp4.h is more than is needed.
 *
 *   returns   0; -EDOM when the satellite does not keep up with the earth: it drifts by more than 5
 *             degrees a day
 *   Accuracy: the pull of moon and sun is left out, 0.06 degrees at most within three days of the
 *   epoch (tests, 14 satellites with up to 25 degrees of inclination).
 */
int elements_figure_eight(const struct elements *elements, struct figure_eight *ret);

/* --- for readers of files ------------------------------------------------------------------- */

/* One satellite out of many sets. */
struct elements_choice {
    const char *wanted; /* borrowed; NULL or "" = the only one */
    struct elements best;
    size_t sets, matches;
    bool several; /* satellites differ though none was wanted */
};

void elements_choose(struct elements_choice *choice, const struct elements *elements);

/* As elements_parse(): 0, -ENOENT, -ENOTUNIQ and why. */
int elements_chosen(const struct elements_choice *choice, struct elements *ret,
                    char why[ELEMENTS_WHY]);

#endif
