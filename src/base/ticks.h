/* ticks.h - round numbers for the axes of a graph. Pure. */
#ifndef BASE_TICKS_H
#define BASE_TICKS_H

/* The smallest of 1, 2, 5 times a power of ten that cuts a span into at most `most` parts. */
double ticks_round_step(double span, int most);

/*
 * Edges for values from low to high: at least `least` apart, on round numbers, with the step
 * between ticks; so that they stay where they are while the values move a little.
 */
void ticks_round_edges(double low, double high, double least, int most_ticks, double *ret_low,
                       double *ret_high, double *ret_step);

/* Decimals that a multiple of a step is written with. */
int ticks_decimals(double step);

#endif
