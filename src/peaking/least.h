/*
 * least.h - weighted least squares with few unknowns, made robust. Pure: no I/O, no memory.
 *
 * Model: value = sum over k of column[k] * coefficient[k] + noise. Solved by iteratively reweighted
 * least squares with Huber's weights (robust.h); the noise is taken from the residuals, from the
 * caller, or from both.
 *   Source: Huber and Ronchetti, Robust Statistics (2009), chapter 7.
 */
#ifndef PEAKING_LEAST_H
#define PEAKING_LEAST_H

#include <stddef.h>

enum { LEAST_COLUMNS = 6, LEAST_ROWS = 512, LEAST_BELIEFS = 2 };

struct least_row {
    double column[LEAST_COLUMNS];
    double value;
    double trust;  /* > 0: how many readings this one counts for; 1 = one */
    double weight; /* set by the fit: Huber's weight, 0 to 1 */
};

/* What is known of a coefficient beforehand, as a normal distribution. */
struct least_belief {
    int column;
    double value, sd;
};

struct least_problem {
    int columns;
    double noise; /* sd of one reading; NaN = from the residuals alone */
    int belief_count;
    struct least_belief beliefs[LEAST_BELIEFS];
};

struct least_fit {
    double value[LEAST_COLUMNS];
    double covariance[LEAST_COLUMNS][LEAST_COLUMNS]; /* wider by Student's t where the
                                                         noise is from few residuals; NaN where
                                                         it is not known */
    double spread; /* sd of one reading about the fit; NaN with as many unknowns as readings */
    int rejected;  /* rows with a weight below 0.4: beyond 3.4 sd */
};

/*
 *   rows     n of them, at most LEAST_ROWS; columns of about the same size (scale them)
 *   returns  0; -ENODATA fewer rows and beliefs than unknowns; -EDOM the rows do not tell the
 *            unknowns apart
 */
int least_solve(struct least_row *rows, size_t n, const struct least_problem *problem,
                struct least_fit *ret);

#endif
