/*
 * robust.h - middle and spread of values of which a few may be wild. Pure: no I/O, no memory.
 */
#ifndef PEAKING_ROBUST_H
#define PEAKING_ROBUST_H

#include <stddef.h>

/*
 * The median. Reorders values[n]; finite values only.
 *
 *   returns  the middle one, or the mean of the middle two; NaN with none
 */
double robust_median(double *values, size_t n);

/*
 * Standard deviation as the median of the sizes of values[n] says it: 1.4826 median |value|, which
 * is the sd of normal values about zero and bears 50 % of wild ones. Reorders values and drops
 * their signs. NaN with none.
 *   Source: Huber and Ronchetti, Robust Statistics (2009), section 5.1 (median absolute deviation).
 */
double robust_spread(double *values, size_t n);

/* The same from the median of the sizes, where it is known. */
double robust_sd(double median_size);

/* The middle one of three; finite ones. */
double robust_middle(double a, double b, double c);

/*
 * Huber's weight of a residual: 1 up to 1.345 sd, beyond that falling as 1.345 sd / |residual|, so
 * that a wild reading pulls no harder than one at 1.345 sd. 95 % efficient with normal noise.
 *   Source: Huber, Robust Estimation of a Location Parameter, Ann. Math. Statist. 35 (1964); the
 *   constant as tabulated by Holland and Welsch, Commun. Statist. A6 (1977), from memory.
 */
double robust_weight(double residual, double sd);

/*
 * Tukey's bisquare weight with 6 sd, for the last rounds from a robust start: what lies further out
 * has no pull left, and normal noise costs only 2 %.
 *   Source: Beaton and Tukey, Technometrics 16 (1974), from memory; last rounds from a robust
 * start: Huber and Ronchetti, Robust Statistics (2009), section 6.7.
 */
double robust_last_weight(double residual, double sd);

#endif
