/*
 * chance.h - a seeded generator of random numbers for tests: the same on every machine.
 * splitmix64 (Steele, Lea, Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014,
 * constants from memory); normal numbers by Box and Muller (Ann. Math. Statist. 29, 1958).
 */
#ifndef TESTS_CHANCE_H
#define TESTS_CHANCE_H

#include <math.h>
#include <stdint.h>

struct chance {
    uint64_t state;
};

static inline uint64_t chance_bits(struct chance *chance)
{
    uint64_t z = (chance->state += 0x9e3779b97f4a7c15u);

    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

/* Even in [low, high). */
static inline double chance_even(struct chance *chance, double low, double high)
{
    return low + (high - low) * (double)(chance_bits(chance) >> 11) * 0x1p-53;
}

static inline double chance_normal(struct chance *chance, double sd)
{
    double u = chance_even(chance, 0x1p-53, 1.0), v = chance_even(chance, 0.0, 1.0);

    return sd * sqrt(-2.0 * log(u)) * cos(6.283185307179586 * v);
}

#endif
