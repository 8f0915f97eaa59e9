/*
 * random.h - the simulator's dice: one integer seeds everything, the same on every machine.
 * Pure: no clock, no globals. Not for secrets.
 */
#ifndef SIM_RANDOM_H
#define SIM_RANDOM_H

#include <stdbool.h>
#include <stdint.h>

struct sim_random {
    uint64_t state;
    double spare; /* the second half of a normal pair */
    bool has_spare;
};

/*
 * Start a sequence.
 *
 *   seed    what the user gave
 *   stream  one number for each use, so that one more reading of the compass does not change what
 *           the meter's noise will be
 */
void random_seed(struct sim_random *random, uint64_t seed, uint64_t stream);

/* 64 evenly spread bits. Source: SplitMix64, Steele, Lea and Flood, OOPSLA 2014 (constants from
 * memory; the test has the published first outputs). */
uint64_t random_bits(struct sim_random *random);

/* [0, 1). */
double random_uniform(struct sim_random *random);

/* Mean 0, standard deviation 1. Source: Box and Muller, 1958. */
double random_normal(struct sim_random *random);

#endif
