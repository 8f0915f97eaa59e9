/* numbers.h - a handful of numbers and what stands at a share of them. */
#ifndef BENCH_NUMBERS_H
#define BENCH_NUMBERS_H

#include <stddef.h>

struct numbers {
    double *values; /* owned; NULL without memory */
    size_t n;
};

/* Room for so many. */
struct numbers numbers_create(size_t most);
void numbers_destroy(struct numbers *numbers);

/* What is not finite is left out. */
void numbers_add(struct numbers *numbers, double value);
void numbers_sort(struct numbers *numbers);

/* Nearest rank, sorted: the smallest that a share of them does not exceed. NaN without any. */
double numbers_at_share(const struct numbers *numbers, double share);

/* NaN without any. */
double numbers_mean(const struct numbers *numbers);

#endif
