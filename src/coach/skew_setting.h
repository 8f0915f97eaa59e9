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

enum { SKEW_STATIONS = 2, SKEW_ROUNDS = 2 };

enum skew_phase {
    SKEW_RUNUP,   /* below the first station, so that play is taken up */
    SKEW_STATION, /* to a station */
    SKEW_READ,    /* at a station */
    SKEW_BELOW,   /* below the middle, for the same reason */
    SKEW_MIDDLE,  /* to the middle */
    SKEW_STAYS,   /* nothing to be gained by turning it */
};

struct skew_setting {
    enum skew_phase phase;
    bool by_null;    /* the other polarisation is read, else the wanted one */
    double middle_x; /* expected, then found; an axis coordinate */
    double begun_x;  /* where it stood at first */
    double off_deg;  /* stations stand so far to each side */
    int station, round;
    struct skew_reading readings[SKEW_ROUNDS * SKEW_STATIONS * DWELL_READINGS];
    int count;
    double error_deg;                   /* standard error of what was found; NaN = nothing was */
    char why_not[RECORD_TEXT_SIZE / 2]; /* it stays, or was not found, for this reason */
};

#endif
