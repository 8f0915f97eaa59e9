/*
 * fleet.h - many jobs at a glance: a row each, how their loss is spread, and what stands out. In
 * memory that does not grow with their number. Pure but for the file that it writes to.
 *
 * The loss is the final level below the best, in dB; a job whose final level was not measured, or
 * not in decibels, has none. It is counted in steps of 0.01 dB up to 10 dB, and quantiles are told
 * as finely. A job stands out by Tukey's fence, the upper quartile and one and a half times the
 * distance of the quartiles (Tukey, Exploratory Data Analysis, 1977; from memory), or when a line
 * of its judgement is not met.
 */
#ifndef RECORD_FLEET_H
#define RECORD_FLEET_H

#include <stdio.h>

#include "record/handover.h"

enum { FLEET_STEPS = 1001, FLEET_WORST = 12, FLEET_NAME_SIZE = 256 };

struct fleet_job {
    char name[FLEET_NAME_SIZE]; /* the log's, without its folder */
    char why[HANDOVER_WORDS_SIZE];
    double loss_db; /* NaN = not measured */
    int not_met;
};

struct fleet {
    int jobs, practice, quizzes, unfinished, unconfirmed, refused;
    int met, not_met, not_measured; /* lines of judgement */
    int measured;                   /* jobs with a loss */
    int steps[FLEET_STEPS]; /* step i: from (i - 0.5) to (i + 0.5) hundredths, the last: more */
    struct fleet_job worst[FLEET_WORST]; /* greatest loss first */
    int worst_count;
    struct fleet_job failed[FLEET_WORST]; /* a line not met: the first ones */
    int failed_count, failed_jobs;
};

void fleet_init(struct fleet *fleet);

/* The table's head; a row each; a log that was refused is only counted. */
void fleet_begin(FILE *file);
void fleet_add(struct fleet *fleet, const struct handover *handover, FILE *file);
void fleet_refuse(struct fleet *fleet);

/* The loss that a share of the measured jobs (0 to 1) does not exceed, dB; NaN with none. */
double fleet_quantile_db(const struct fleet *fleet, double share);

/* What it comes to. 0 or -EIO. */
int fleet_finish(const struct fleet *fleet, FILE *file);

#endif
