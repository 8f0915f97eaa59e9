#include "peaking/skew.h"

#include <errno.h>
#include <math.h>

#include "peaking/least.h"
#include "peaking/lobe.h"
#include "peaking/robust.h"
#include "sky/angle.h"

static const double db_per_neper = 4.342944819; /* 10 / ln 10 */
/* Unknowns are scaled to about one. */
static const double turn_unit_deg = 10.0, floor_unit_db = 10.0;
static const double settled = 1e-6, unsettled = 0.1;
/* A floor this near to the top: the level does not depend on skew. */
static const double highest_floor_db = -3.0;
enum { ROUNDS = 40, START_ANGLES = 60 };

/* Which port is read, and what is known of it. */
struct port {
    bool cross;
    double floor_db, floor_sd_db; /* leakage beforehand, against the co-polar top */
    double most_step_deg;
    double reached_deg, most_error_deg;
    double bracket_width_deg;
};

static const struct port copolar = {false, -20.0, 10.0, 10.0, 10.0, 15.0, 90.0};
static const struct port crosspolar = {true, -30.0, 10.0, 2.0, 1.0, 5.0, 10.0};

struct model {
    double top, skew_deg, floor_db;
};

struct work {
    const struct port *port;
    const struct skew_prior *prior;
    struct skew_reading kept[SKEW_READINGS];
    struct least_row rows[LEAST_ROWS];
    size_t count;
};

/* Level under the top, and its derivatives by skew (per degree) and by the floor (per dB). */
static double shape(const struct work *work, const struct model *model, double skew_deg,
                    double *ret_by_skew, double *ret_by_floor)
{
    double d = (skew_deg - model->skew_deg) * ANGLE_RAD_PER_DEG;
    double share = work->port->cross ? sin(d) * sin(d) : cos(d) * cos(d);
    double leak = pow(10.0, model->floor_db / 10.0);
    double slope = (work->port->cross ? -1.0 : 1.0) * sin(2.0 * d);

    *ret_by_skew = db_per_neper * slope / (share + leak) * ANGLE_RAD_PER_DEG;
    *ret_by_floor = leak / (share + leak);
    return db_per_neper * log(share + leak);
}

static void take(struct work *work, const struct skew_reading *readings, size_t n)
{
    for (size_t i = n > SKEW_READINGS ? n - SKEW_READINGS : 0; i < n; i++) {
        if (isfinite(readings[i].skew_deg) && isfinite(readings[i].level) &&
            !(readings[i].level >= work->prior->saturation)) {
            work->kept[work->count++] = readings[i];
        }
    }
}

static double place_range(const struct work *work, double *ret_low)
{
    double low = INFINITY, high = -INFINITY;

    for (size_t i = 0; i < work->count; i++) {
        low = fmin(low, work->kept[i].skew_deg);
        high = fmax(high, work->kept[i].skew_deg);
    }
    *ret_low = low;
    return high - low;
}

/* Sum of the sizes of what a model leaves, its top set to suit. */
static double misfit(const struct work *work, struct model *model)
{
    double left[SKEW_READINGS], sum = 0.0, by_skew, by_floor;

    for (size_t i = 0; i < work->count; i++) {
        left[i] =
            work->kept[i].level - shape(work, model, work->kept[i].skew_deg, &by_skew, &by_floor);
    }
    model->top = robust_median(left, work->count);
    for (size_t i = 0; i < work->count; i++) {
        sum += fabs(left[i] - model->top);
    }
    return sum;
}

/* Where to begin: the best of a grid over a little more than what was read. */
static struct model find_start(const struct work *work)
{
    static const double floors_db[] = {-10.0, -20.0, -30.0, -40.0};
    struct model best = {0};
    double least = INFINITY, low, range = place_range(work, &low);

    for (int i = 0; i <= START_ANGLES; i++) {
        for (size_t k = 0; k < sizeof floors_db / sizeof *floors_db; k++) {
            struct model model = {
                .skew_deg = low + range * (1.4 * i / START_ANGLES - 0.2),
                .floor_db = floors_db[k],
            };
            double found = misfit(work, &model);
            if (found < least) {
                least = found;
                best = model;
            }
        }
    }
    return best;
}

static int improve(struct work *work, struct model *model, struct least_fit *ret, double *ret_step)
{
    struct least_problem problem = {
        .columns = 3,
        .noise = work->prior->noise,
        .belief_count = 1,
        .beliefs = {{.column = 2,
                     .value = (work->port->floor_db - model->floor_db) / floor_unit_db,
                     .sd = work->port->floor_sd_db / floor_unit_db}},
    };
    double turn, by_skew, by_floor;
    int failed;

    for (size_t i = 0; i < work->count; i++) {
        double under = shape(work, model, work->kept[i].skew_deg, &by_skew, &by_floor);
        work->rows[i] = (struct least_row){
            .column = {1.0, by_skew * turn_unit_deg, by_floor * floor_unit_db},
            .value = work->kept[i].level - model->top - under,
            .trust = 1.0,
        };
    }
    failed = least_solve(work->rows, work->count, &problem, ret);
    if (failed) {
        return failed;
    }
    turn = ret->value[1] * turn_unit_deg;
    turn = fmin(fmax(turn, -work->port->most_step_deg), work->port->most_step_deg);
    model->top += ret->value[0];
    model->skew_deg += turn;
    model->floor_db += fmin(fmax(ret->value[2] * floor_unit_db, -6.0), 6.0);
    *ret_step = fabs(turn);
    return 0;
}

static void fill_sides(const struct work *work, struct skew_fit *fit)
{
    for (size_t i = 0; i < work->count; i++) {
        double off = work->kept[i].skew_deg - fit->skew_deg;
        fit->low_reached = fit->low_reached || off <= -work->port->reached_deg;
        fit->high_reached = fit->high_reached || off >= work->port->reached_deg;
    }
}

/* Any unit that grows with the signal: the middle between equal levels. */
static int bracket(struct work *work, struct skew_fit *ret)
{
    struct lobe_reading readings[LOBE_READINGS];
    struct lobe_prior prior = {
        .width_deg = work->port->bracket_width_deg, .noise = work->prior->noise, .saturation = NAN};
    double sign = work->port->cross ? -1.0 : 1.0;
    struct lobe_fit found;
    int failed;

    for (size_t i = 0; i < work->count; i++) {
        readings[i] = (struct lobe_reading){work->kept[i].skew_deg, sign * work->kept[i].level};
    }
    failed = lobe_bracket(readings, work->count, &prior, &found);
    if (failed) {
        return failed;
    }
    *ret = (struct skew_fit){
        .skew_deg = found.centre_deg,
        .error_deg = found.centre_error_deg,
        .level = sign * found.peak,
        .depth_db = NAN,
        .residual = found.residual,
        .bracket = true,
        .used = found.used,
        .rejected = found.rejected,
    };
    fill_sides(work, ret);
    return 0;
}

static int fit_port(const struct port *port, const struct skew_reading *readings, size_t n,
                    const struct skew_prior *prior, struct skew_fit *ret)
{
    struct work work = {.port = port, .prior = prior};
    struct model model;
    struct least_fit found;
    struct skew_fit fit;
    double low, by_skew, by_floor, step = INFINITY;

    take(&work, readings, n);
    if (work.count < 3 || !(place_range(&work, &low) > 0.0)) {
        return -ENODATA;
    }
    if (!prior->is_db) {
        return bracket(&work, ret);
    }
    model = find_start(&work);
    for (int round = 0; round < ROUNDS && step > settled; round++) {
        int failed = improve(&work, &model, &found, &step);
        if (failed) {
            return failed;
        }
    }
    fit = (struct skew_fit){
        .skew_deg = model.skew_deg,
        .error_deg = turn_unit_deg * sqrt(found.covariance[1][1]),
        .level = model.top + shape(&work, &model, model.skew_deg, &by_skew, &by_floor),
        .depth_db = -model.floor_db,
        .residual = found.spread,
        .used = (int)work.count,
        .rejected = found.rejected,
    };
    fill_sides(&work, &fit);
    if (step > unsettled || model.floor_db > highest_floor_db ||
        fit.error_deg > port->most_error_deg) {
        return -EDOM;
    }
    *ret = fit;
    return 0;
}

int skew_fit_copolar(const struct skew_reading *readings, size_t n, const struct skew_prior *prior,
                     struct skew_fit *ret)
{
    return fit_port(&copolar, readings, n, prior, ret);
}

int skew_fit_null(const struct skew_reading *readings, size_t n, const struct skew_prior *prior,
                  struct skew_fit *ret)
{
    return fit_port(&crosspolar, readings, n, prior, ret);
}
