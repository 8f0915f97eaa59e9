#include "sim/random.h"

#include <math.h>

static const double two_pi = 6.28318530717958647692;

void random_seed(struct sim_random *random, uint64_t seed, uint64_t stream)
{
    *random = (struct sim_random){.state = seed};
    if (stream > 0) {
        random->state = random_bits(random) ^ (stream * 0xD1342543DE82EF95u);
    }
}

uint64_t random_bits(struct sim_random *random)
{
    uint64_t z = random->state += 0x9E3779B97F4A7C15u;

    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

double random_uniform(struct sim_random *random)
{
    return (double)(random_bits(random) >> 11) * 0x1p-53;
}

double random_normal(struct sim_random *random)
{
    if (random->has_spare) {
        random->has_spare = false;
        return random->spare;
    }
    double radius = sqrt(-2.0 * log(1.0 - random_uniform(random)));
    double turn = two_pi * random_uniform(random);
    random->spare = radius * sin(turn);
    random->has_spare = true;
    return radius * cos(turn);
}
