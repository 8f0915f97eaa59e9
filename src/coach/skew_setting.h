/*
 * skew_setting.h - bring skew to its angle by what the meter says: working memory of the step.
 * Pure.
 *
 * The level over skew is flat at its top and a null is flat at its bottom, so neither is looked
 * for: the level is read well to both sides, and the middle between them is gone to.
 */
#ifndef COACH_SKEW_SETTING_H
#define COACH_SKEW_SETTING_H

#include <stdbool.h>

#include "coach/dwell.h"
#include "peaking/skew.h"

enum { SKEW_STATIONS = 3, SKEW_ROUNDS = 2 };

enum skew_phase {
    SKEW_RUNUP,   /* below the first station, so that play is taken up */
    SKEW_STATION, /* to a station */
    SKEW_READ,    /* at a station */
    SKEW_BELOW,   /* below the middle, for the same reason */
    SKEW_MIDDLE,  /* to the middle */
    SKEW_CHECK,   /* there, by a sensor: does the hand leave it there? */
    SKEW_STAYS,   /* nothing to be gained by turning it */
};

/* Where it was read, and what. */
struct skew_place {
    double x;
    double wanted; /* level of the wanted polarisation meanwhile; NaN = not read beside it */
    int wanted_count;
    int first, count; /* of the readings */
};

struct skew_setting {
    enum skew_phase phase;
    bool by_null;    /* the other polarisation is read, else the wanted one */
    double middle_x; /* expected, then found; an axis coordinate */
    double begun_x;  /* where it stood at first */
    double off_deg;  /* stations stand so far to each side */
    double stands_x; /* where it stands at a station, as far as is known */
    int station, round, checks;
    struct dwell wanted; /* beside the other polarisation */
    struct skew_place places[SKEW_ROUNDS * SKEW_STATIONS];
    int place_count;
    struct skew_reading readings[SKEW_ROUNDS * SKEW_STATIONS * DWELL_READINGS];
    int count;
    double error_deg;                   /* standard error of what was found; NaN = nothing was */
    char why_not[RECORD_TEXT_SIZE / 2]; /* it stays, or was not found, for this reason */
};

/* The readings of a station, which stood at x. */
void skew_setting_take(struct skew_setting *skew, double x, const struct dwell *dwell);

/*
 * The peak, or the null, from all that was read. The wanted polarisation, read at the same time,
 * tells how much of a difference between two stations is fading.
 *
 *   returns  as skew_fit_copolar() and skew_fit_null()
 */
int skew_setting_fit(const struct skew_setting *skew, const struct state *state,
                     struct skew_fit *ret);

/*
 * What the meter says, weighed by its error against where a sensor or a scale has the target; not
 * where the two contradict each other: then the job may not know how the satellite is turned.
 *
 *   set_x  NaN = nothing but the meter tells it
 */
void skew_setting_weigh(struct skew_setting *skew, double set_x);

#endif
