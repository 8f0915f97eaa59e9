/*
 * handover_trend.h - the level of a whole job in a fixed number of pieces: when they run out, two
 * become one and each counts for twice as long. Pure.
 */
#ifndef RECORD_HANDOVER_TREND_H
#define RECORD_HANDOVER_TREND_H

#include "record/handover.h"

void handover_trend_init(struct handover_trend *trend);

/* A reading at t >= 0, and the filtered level with it. */
void handover_trend_add(struct handover_trend *trend, double t, double level, double filtered);

/* A step began. */
void handover_trend_mark(struct handover_trend *trend, double t, int step);

#endif
