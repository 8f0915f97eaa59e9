/* outcome.h - how an install ended, against what really is. */
#ifndef BENCH_OUTCOME_H
#define BENCH_OUTCOME_H

#include <stdbool.h>

#include "coach/procedure.h"
#include "family.h"
#include "sim/world.h"

/* After so many simulated seconds it is given up. */
enum { OUTCOME_LIMIT_S = 1800, OUTCOME_NAME_SIZE = 32 };

enum outcome_where { ON_TARGET, ON_SIDE_LOBE, ON_NEIGHBOUR, ON_NOTHING };

struct outcome {
    bool finished;
    bool sure; /* called the target; one who works alone always does */
    enum outcome_where where;
    char satellite[SCENARIO_NAME_SIZE]; /* a neighbour's name */
    double loss_db;                     /* of pointing alone, at the end */
    double off_beams[2];                /* the target off the boresight, right and up, in widths */
    double skew_deg;                    /* >= 0; 0 for circular polarisation */
    double pointing_s;                  /* from the first angle set to the last bolt tight */
    double total_s;                     /* with the cautions before and the record after */
    double meter_top_db; /* loss where the meter itself, free of noise, shows the most: neighbours
                            pull a meter of carrier over interference aside */
    double unseen_db; /* a draw of the loss by what no sensor shows: the last turn and the bolts */
    double bound_db;  /* loss of the best estimate that the noise of the readings taken allows, one
                        draw of it; NaN = too few readings */
};

/* Where the antenna stands: within 1 half-power width of a satellite it is on its main lobe, within
 * 3 of the target on one of the target's side lobes. */
void outcome_look(const struct world *world, struct outcome *ret);

/* One step of the procedure: how long it took, all its turns together, and where the antenna stood
 * when it was left last. */
struct outcome_step {
    char name[OUTCOME_NAME_SIZE]; /* "" = none */
    int turns;                    /* how often it was begun; 0 = never */
    double entered_t;             /* NaN = it is not under way */
    double took_s;
    double loss_db, off_beams[2]; /* as in struct outcome; NaN = never left */
};

void outcome_begin_steps(const struct procedure *procedure,
                         struct outcome_step ret[PROCEDURE_STEPS]);

/* A step was entered or left, at t. */
void outcome_pass_step(const struct world *world, double t, bool enters, struct outcome_step *step);

/*
 * A draw of the loss in dB that is left where everything is known but what no sensor shows: the
 * axis was read a tenth of a width before the top, the last turn errs by the hand's share, and
 * then its bolts are fastened and nothing more is done. Axes with a sensor leave nothing.
 */
double outcome_unseen_db(const struct world *world, double hand_error, struct sim_random *random);

/*
 * What the readings could give. Fisher's matrix of a lobe's centre and height for normal noise:
 * y = P - 12 |u - c|^2 (u in half-power widths), derivatives 24 (u - c) and 1. The noise of a
 * reading in dB follows from the meter's own; lag, fading and the lobe's shape are left out.
 * Source: Kay, Fundamentals of Statistical Signal Processing: Estimation Theory (1993), chapter 3.
 */
struct bound {
    double noise_db;
    double fisher[3][3];
};

void bound_init(struct bound *bound, const struct scenario *scenario);

/* A reading has been taken with the antenna as it stands. */
void bound_add(struct bound *bound, const struct world *world);

/* A draw of the loss in dB that the best unbiased estimate ends with; NaN = not enough readings. */
double bound_loss_db(const struct bound *bound, struct sim_random *random);

#endif
