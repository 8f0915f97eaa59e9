#include "peaking/least.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "peaking/cholesky.h"
#include "peaking/robust.h"

static const int iterations = 30;
static const double settled = 1e-5;
/* With this many readings to spare the spread is known well enough to drop what lies far out. */
static const int last_rounds = 3, fewest_spare = 6;
static const double distrusted = 0.4;
/* The noise given counts as much as this many readings against what the residuals say. */
static const double noise_readings = 6.0;
/* What the bisquare's weights take off the sd of normal noise (its integral, by hand). */
static const double bisquare_loss = 1.059;
static const double least_noise = 1e-9;

typedef double matrix[LEAST_COLUMNS][LEAST_COLUMNS];

/* What is left of a row. */
static double residual(const struct least_row *row, const struct least_fit *fit, int columns)
{
    double left = row->value;

    for (int k = 0; k < columns; k++) {
        left -= row->column[k] * fit->value[k];
    }
    return left;
}

/* One round with the weights as they are. sd scales the beliefs against the readings. */
static int solve_weighted(const struct least_row *rows, size_t n,
                          const struct least_problem *problem, double sd, matrix normal,
                          struct least_fit *fit)
{
    int columns = problem->columns, failed;

    memset(normal, 0, sizeof(matrix));
    memset(fit->value, 0, sizeof fit->value);
    for (size_t i = 0; i < n; i++) {
        double w = rows[i].trust * rows[i].weight;
        for (int j = 0; j < columns; j++) {
            double part = w * rows[i].column[j];
            fit->value[j] += part * rows[i].value;
            for (int k = 0; k <= j; k++) {
                normal[j][k] += part * rows[i].column[k];
            }
        }
    }
    for (int b = 0; b < problem->belief_count; b++) {
        const struct least_belief *belief = &problem->beliefs[b];
        double w = sd * sd / (belief->sd * belief->sd);
        normal[belief->column][belief->column] += w;
        fit->value[belief->column] += w * belief->value;
    }
    failed = cholesky_factor(*normal, columns, LEAST_COLUMNS);
    if (failed) {
        return failed;
    }
    cholesky_solve(*normal, columns, LEAST_COLUMNS, fit->value);
    return 0;
}

/* Sd of one reading: the residuals' spread, held against the noise given. `spare` = readings left
 * after the unknowns. */
static double reading_sd(const struct least_row *rows, size_t n,
                         const struct least_problem *problem, const struct least_fit *fit,
                         int spare)
{
    double sizes[LEAST_ROWS], found;

    if (spare < 1) {
        return problem->noise;
    }
    for (size_t i = 0; i < n; i++) {
        sizes[i] = residual(&rows[i], fit, problem->columns) * sqrt(rows[i].trust);
    }
    found = robust_spread(sizes, n) * sqrt((double)n / spare);
    if (!isfinite(problem->noise)) {
        return found;
    }
    return sqrt((noise_readings * problem->noise * problem->noise + spare * found * found) /
                (noise_readings + spare));
}

static double reweigh(struct least_row *rows, size_t n, const struct least_problem *problem,
                      const struct least_fit *fit, double sd,
                      double (*weigh)(double residual, double sd))
{
    double change = 0.0;

    for (size_t i = 0; i < n; i++) {
        double size = residual(&rows[i], fit, problem->columns) * sqrt(rows[i].trust);
        double weight = weigh(size, sd);
        change = fmax(change, fabs(weight - rows[i].weight));
        rows[i].weight = weight;
    }
    return change;
}

/* Sd of one reading from all that still count: steadier than the median of the sizes. */
static double weighted_sd(const struct least_row *rows, size_t n,
                          const struct least_problem *problem, const struct least_fit *fit)
{
    double sum = 0.0, weights = 0.0, spare;

    for (size_t i = 0; i < n; i++) {
        double left = residual(&rows[i], fit, problem->columns);
        sum += rows[i].trust * rows[i].weight * left * left;
        weights += rows[i].weight;
    }
    spare = fmax(weights + problem->belief_count - problem->columns, 1.0);
    if (isfinite(problem->noise)) {
        sum =
            bisquare_loss * bisquare_loss * sum + noise_readings * problem->noise * problem->noise;
        return sqrt(sum / (spare + noise_readings));
    }
    return bisquare_loss * sqrt(sum / spare);
}

/* A noise that was taken from few readings is itself uncertain: the scatter of Student's t. */
static double scatter_factor(const struct least_problem *problem, int spare)
{
    double free = fmax(spare, 3.0);

    return isfinite(problem->noise) ? 1.0 : sqrt(free / (free - 2.0));
}

static void fill_covariance(matrix lower, int columns, double sd, struct least_fit *fit)
{
    for (int j = 0; j < columns; j++) {
        double unit[LEAST_COLUMNS] = {0};
        unit[j] = 1.0;
        cholesky_solve(*lower, columns, LEAST_COLUMNS, unit);
        for (int k = 0; k < columns; k++) {
            fit->covariance[j][k] = sd * sd * unit[k];
        }
    }
}

int least_solve(struct least_row *rows, size_t n, const struct least_problem *problem,
                struct least_fit *ret)
{
    struct least_fit fit = {0};
    matrix normal;
    int spare = (int)n + problem->belief_count - problem->columns;
    double sd = isfinite(problem->noise) ? problem->noise : least_noise;

    if (n == 0 || spare < 0) {
        return -ENODATA;
    }
    for (size_t i = 0; i < n; i++) {
        rows[i].weight = 1.0;
    }
    for (int round = 0; round < iterations; round++) {
        int failed = solve_weighted(rows, n, problem, fmax(sd, least_noise), normal, &fit);
        if (failed) {
            return failed;
        }
        sd = reading_sd(rows, n, problem, &fit, spare);
        if (!isfinite(sd) ||
            reweigh(rows, n, problem, &fit, fmax(sd, least_noise), robust_weight) < settled) {
            break;
        }
    }
    for (int round = 0; round < last_rounds && spare >= fewest_spare; round++) {
        reweigh(rows, n, problem, &fit, fmax(sd, least_noise), robust_last_weight);
        solve_weighted(rows, n, problem, fmax(sd, least_noise), normal, &fit);
        sd = weighted_sd(rows, n, problem, &fit);
    }
    fit.spread = spare >= 1 ? sd : NAN;
    fill_covariance(normal, problem->columns, sd * scatter_factor(problem, spare), &fit);
    for (size_t i = 0; i < n; i++) {
        fit.rejected += rows[i].weight < distrusted;
    }
    *ret = fit;
    return 0;
}
