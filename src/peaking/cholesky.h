/*
 * cholesky.h - normal equations of a few unknowns. Pure: no I/O, no memory.
 *
 * A symmetric positive matrix of n rows lies row by row, `stride` apart, in its lower half.
 *   Source: Golub and Van Loan, Matrix Computations, section 4.2.
 */
#ifndef PEAKING_CHOLESKY_H
#define PEAKING_CHOLESKY_H

/* Its lower factor, in place. 0, or -EDOM: the matrix is singular, or nearly. */
int cholesky_factor(double *matrix, int n, int stride);

/* Solves with a factor: x goes in as the right-hand side and comes out as the solution. */
void cholesky_solve(const double *lower, int n, int stride, double *x);

#endif
