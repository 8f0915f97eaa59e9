#include "peaking/skew.h"

#include <errno.h>
#include <math.h>

#include "peaking/least.h"
#include "peaking/lobe.h"
#include "peaking/robust.h"
#include "sky/angle.h"

static const double db_per_neper = 4.342944819; /* 10 / ln 10 */
/* Unknowns are scaled to about one. */
static const double turn_unit_deg = 10.0, floor_unit_db = 10.0, gain_unit_db = 10.0;
static const double settled = 1e-6, unsettled = 0.1;
/* A floor this near to the top: the level does not depend on skew. */
static const double highest_floor_db = -3.0;
/* Readings within this share of the whole range stand at one place. */
static const double one_place = 0.05;
enum { ROUNDS = 40, START_ANGLES = 60, BRACKET_PLACES = 5 };

/* Which port is read, and what is known of it. */
struct port {
    bool cross;
    double depth_db, depth_sd_db; /* beforehand, where the caller does not know it */
    double most_step_deg;
    double reached_deg, most_error_deg;
    double bracket_width_deg;
};

static const struct port copolar = {false, 20.0, 10.0, 10.0, 10.0, 15.0, 90.0};
static const struct port crosspolar = {true, 30.0, 10.0, 2.0, 1.0, 5.0, 10.0};

struct model {
    double top, skew_deg, floor_db;
    double gain; /* of the meter's unit for a dB */
};

struct work {
    const struct port *port;
    const struct skew_prior *prior;
    struct skew_reading kept[SKEW_READINGS];
    struct least_row rows[LEAST_ROWS];
    size_t count;
};

/* dB under the top, and their derivatives by skew (per degree) and by the floor (per dB). */
struct shape {
    double db, by_skew, by_floor;
};

/* What leaks is noise, most of it: it does not fade with the wave. */
static struct shape shape_at(const struct work *work, const struct model *model, double skew_deg,
                             double fade_db)
{
    double d = (skew_deg - model->skew_deg) * ANGLE_RAD_PER_DEG;
    double wave = pow(10.0, fade_db / 10.0), leak = pow(10.0, model->floor_db / 10.0);
    double share = wave * (work->port->cross ? sin(d) * sin(d) : cos(d) * cos(d));
    double slope = wave * (work->port->cross ? -1.0 : 1.0) * sin(2.0 * d);

    return (struct shape){
        .db = db_per_neper * log(share + leak),
        .by_skew = db_per_neper * slope / (share + leak) * ANGLE_RAD_PER_DEG,
        .by_floor = leak / (share + leak),
    };
}

static struct shape shape_of(const struct work *work, const struct model *model, size_t i)
{
    return shape_at(work, model, work->kept[i].skew_deg, work->kept[i].fade_db);
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

/* Readings at many places, not in a few clusters. */
static bool is_spread(const struct work *work)
{
    double low, near = one_place * place_range(work, &low), places[BRACKET_PLACES];
    int count = 0;

    for (size_t i = 0; i < work->count && count < BRACKET_PLACES; i++) {
        int k = 0;
        while (k < count && fabs(places[k] - work->kept[i].skew_deg) > near) {
            k++;
        }
        if (k == count) {
            places[count++] = work->kept[i].skew_deg;
        }
    }
    return count == BRACKET_PLACES;
}

/* The gain that suits a model best: least squares about the means. 0 = none. */
static double find_gain(const struct work *work, const struct model *model)
{
    double n = (double)work->count, db = 0.0, level = 0.0, both = 0.0, squares = 0.0;

    for (size_t i = 0; i < work->count; i++) {
        db += shape_of(work, model, i).db / n;
        level += work->kept[i].level / n;
    }
    for (size_t i = 0; i < work->count; i++) {
        double off = shape_of(work, model, i).db - db;
        both += off * (work->kept[i].level - level);
        squares += off * off;
    }
    return squares > 0.0 ? fmax(both / squares, 0.0) : 0.0;
}

/* Sum of the sizes of what a model leaves, its top set to suit, and its gain where that is open. */
static double misfit(const struct work *work, struct model *model)
{
    double left[SKEW_READINGS], sum = 0.0;

    model->gain = work->prior->is_db ? 1.0 : find_gain(work, model);
    for (size_t i = 0; i < work->count; i++) {
        left[i] = work->kept[i].level - model->gain * shape_of(work, model, i).db;
    }
    model->top = robust_median(left, work->count);
    for (size_t i = 0; i < work->count; i++) {
        sum += fabs(left[i] - model->top);
    }
    return sum;
}

static double depth_db(const struct work *work)
{
    return isfinite(work->prior->depth_db) ? work->prior->depth_db : work->port->depth_db;
}

static double depth_sd_db(const struct work *work)
{
    return isfinite(work->prior->depth_db) ? work->prior->depth_sd_db : work->port->depth_sd_db;
}

/* Where to begin: the best of a grid over a little more than what was read. */
static struct model find_start(const struct work *work)
{
    static const double depths[] = {-1.0, 0.0, 1.0, 2.0};
    struct model best = {0};
    double least = INFINITY, low, range = place_range(work, &low);

    for (int i = 0; i <= START_ANGLES; i++) {
        for (size_t k = 0; k < sizeof depths / sizeof *depths; k++) {
            struct model model = {
                .skew_deg = low + range * (1.4 * i / START_ANGLES - 0.2),
                .floor_db = -fmax(depth_db(work) + depths[k] * depth_sd_db(work), 3.0),
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
        .columns = work->prior->is_db ? 3 : 4,
        .noise = work->prior->noise,
        .belief_count = 1,
        .beliefs = {{.column = 2,
                     .value = (-depth_db(work) - model->floor_db) / floor_unit_db,
                     .sd = depth_sd_db(work) / floor_unit_db}},
    };
    double turn;
    int failed;

    for (size_t i = 0; i < work->count; i++) {
        struct shape shape = shape_of(work, model, i);
        work->rows[i] = (struct least_row){
            .column = {1.0, model->gain * shape.by_skew * turn_unit_deg,
                       model->gain * shape.by_floor * floor_unit_db, shape.db / gain_unit_db},
            .value = work->kept[i].level - model->top - model->gain * shape.db,
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
    if (!work->prior->is_db) {
        model->gain = fmax(model->gain + ret->value[3] / gain_unit_db, 0.5 * model->gain);
    }
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

static int fit_model(struct work *work, struct skew_fit *ret)
{
    struct model model = find_start(work);
    struct least_fit found;
    struct skew_fit fit;
    double step = INFINITY;

    if (!(model.gain > 0.0)) {
        return -EDOM;
    }
    for (int round = 0; round < ROUNDS && step > settled; round++) {
        int failed = improve(work, &model, &found, &step);
        if (failed) {
            return failed;
        }
    }
    fit = (struct skew_fit){
        .skew_deg = model.skew_deg,
        .error_deg = turn_unit_deg * sqrt(found.covariance[1][1]),
        .level = model.top + model.gain * shape_at(work, &model, model.skew_deg, 0.0).db,
        .depth_db = work->prior->is_db ? -model.floor_db : NAN,
        .residual = found.spread,
        .used = (int)work->count,
        .rejected = found.rejected,
    };
    fill_sides(work, &fit);
    if (step > unsettled || model.floor_db > highest_floor_db ||
        fit.error_deg > work->port->most_error_deg) {
        return -EDOM;
    }
    *ret = fit;
    return 0;
}

static int fit_port(const struct port *port, const struct skew_reading *readings, size_t n,
                    const struct skew_prior *prior, struct skew_fit *ret)
{
    struct work work = {.port = port, .prior = prior};
    double low;

    take(&work, readings, n);
    if (work.count < 3 || !(place_range(&work, &low) > 0.0)) {
        return -ENODATA;
    }
    if (!prior->is_db && is_spread(&work)) {
        return bracket(&work, ret);
    }
    return fit_model(&work, ret);
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
