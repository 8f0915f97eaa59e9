#include "peaking/cross.h"

#include <errno.h>
#include <math.h>

#include "peaking/least.h"
#include "sky/angle.h"

static const double full_curvature = 12.0;
static const double top_db = 5.0;
static const double flattest = 0.6, steepest = 1.4, scale_sd = 0.25;
static const double beyond_widths = 0.6, reached_widths = 0.15;
static const double no_scale = 0.25, certain = 2.5;
static const double settled = 1e-5;
static const size_t fewest = 8;
enum { ROUNDS = 8, MOST_COLUMNS = 6 };

/* In widths of the cuts along either axis: Q has ones on its diagonal and `c` beside it. */
struct work {
    const struct cross_prior *prior;
    double width_x, width_y, c;
    double origin_x, origin_y;
    struct cross_reading kept[CROSS_READINGS];
    size_t count;
    struct least_row rows[LEAST_ROWS];
    size_t used;
};

/* Columns: 1, u, v, then -12 (uu + 2 c uv + vv) for s, or -12 uu, -12 vv, -24 uv for Q. */
struct shape {
    int columns;
    double scale; /* HELD: s; else unused */
    bool held;
    struct least_fit fit;
    double u, v;       /* centre */
    double xx, yy, xy; /* Q */
};

static void take(struct work *work, const struct cross_reading *readings, size_t n)
{
    double low_x = INFINITY, high_x = -INFINITY, low_y = INFINITY, high_y = -INFINITY;

    for (size_t i = n > CROSS_READINGS ? n - CROSS_READINGS : 0; i < n; i++) {
        const struct cross_reading *r = &readings[i];
        if (!isfinite(r->x_deg) || !isfinite(r->y_deg) || !isfinite(r->level) ||
            r->level >= work->prior->saturation) {
            continue;
        }
        work->kept[work->count++] = *r;
        low_x = fmin(low_x, r->x_deg);
        high_x = fmax(high_x, r->x_deg);
        low_y = fmin(low_y, r->y_deg);
        high_y = fmax(high_y, r->y_deg);
    }
    work->origin_x = 0.5 * (low_x + high_x);
    work->origin_y = 0.5 * (low_y + high_y);
}

static double place_u(const struct work *work, const struct cross_reading *r)
{
    return (r->x_deg - work->origin_x) / work->width_x;
}

static double place_v(const struct work *work, const struct cross_reading *r)
{
    return (r->y_deg - work->origin_y) / work->width_y;
}

/* A level that few wild readings exceed: of every 20 readings one may be wild. */
static double robust_top(const struct work *work)
{
    size_t above = work->count < 10 ? 1 : 1 + work->count / 20 + 1;
    double top = INFINITY;

    for (size_t k = 0; k < above; k++) {
        double next = -INFINITY;
        for (size_t i = 0; i < work->count; i++) {
            if (work->kept[i].level < top) {
                next = fmax(next, work->kept[i].level);
            }
        }
        top = isfinite(next) ? next : top;
    }
    return top;
}

static struct least_row row_of(const struct work *work, const struct cross_reading *r,
                               const struct shape *shape)
{
    double u = place_u(work, r), v = place_v(work, r);
    double bend = -full_curvature * (u * u + 2.0 * work->c * u * v + v * v);
    struct least_row row = {.column = {1.0, u, v, bend}, .value = r->level, .trust = 1.0};

    if (shape->held) {
        row.value -= shape->scale * bend;
    }
    if (shape->columns == MOST_COLUMNS) {
        row.column[3] = -full_curvature * u * u;
        row.column[4] = -full_curvature * v * v;
        row.column[5] = -2.0 * full_curvature * u * v;
    }
    return row;
}

/* How far the curve lies below its top at a reading, dB. */
static double loss_at(const struct work *work, const struct shape *shape,
                      const struct cross_reading *r)
{
    double u = place_u(work, r) - shape->u, v = place_v(work, r) - shape->v;

    return full_curvature * (shape->xx * u * u + 2.0 * shape->xy * u * v + shape->yy * v * v);
}

static void choose_by_level(struct work *work, const struct shape *shape)
{
    double least = robust_top(work) - top_db - 1.0;

    work->used = 0;
    for (size_t i = 0; i < work->count; i++) {
        if (work->count <= fewest || work->kept[i].level >= least) {
            work->rows[work->used++] = row_of(work, &work->kept[i], shape);
        }
    }
}

/* Readings where the curve lies within 5 dB of its top; deeper ones while they are too few. */
static void choose_by_curve(struct work *work, const struct shape *last, const struct shape *shape)
{
    for (double depth = top_db;; depth *= 1.2) {
        work->used = 0;
        for (size_t i = 0; i < work->count; i++) {
            if (loss_at(work, last, &work->kept[i]) <= depth) {
                work->rows[work->used++] = row_of(work, &work->kept[i], shape);
            }
        }
        if (work->used == work->count || work->used >= fewest) {
            return;
        }
    }
}

/* Centre and Q from the coefficients; false where Q has no top. */
static bool find_centre(const struct work *work, struct shape *shape)
{
    const double *value = shape->fit.value;
    double determinant;

    if (shape->columns == MOST_COLUMNS) {
        shape->xx = value[3];
        shape->yy = value[4];
        shape->xy = value[5];
    } else {
        shape->xx = shape->yy = shape->held ? shape->scale : value[3];
        shape->xy = work->c * shape->xx;
    }
    determinant = shape->xx * shape->yy - shape->xy * shape->xy;
    if (!(shape->xx > 0.0) || !(determinant > 1e-6 * shape->xx * shape->yy)) {
        return false;
    }
    shape->u = (shape->yy * value[1] - shape->xy * value[2]) / (2.0 * full_curvature * determinant);
    shape->v = (shape->xx * value[2] - shape->xy * value[1]) / (2.0 * full_curvature * determinant);
    return true;
}

static int solve(struct work *work, struct shape *shape)
{
    struct least_problem problem = {.columns = shape->columns, .noise = work->prior->noise};
    int failed;

    if (shape->columns == 4 && (isfinite(problem.noise) || work->used > 5)) {
        problem.belief_count = 1;
        problem.beliefs[0] = (struct least_belief){.column = 3, .value = 1.0, .sd = scale_sd};
    }
    failed = least_solve(work->rows, work->used, &problem, &shape->fit);
    if (failed) {
        return failed;
    }
    return find_centre(work, shape) ? 0 : -EDOM;
}

/* Free between the bounds of the scale, else held at the nearer one. */
static int solve_bounded(struct work *work, const struct shape *last, struct shape *ret)
{
    const struct cross_prior *prior = work->prior;
    struct shape shape = {.columns = !prior->beam_known  ? 6
                                     : prior->beam_fixed ? 3
                                                         : 4,
                          .held = prior->beam_known && prior->beam_fixed,
                          .scale = 1.0};
    double bound;

    for (int round = 0; round < 2; round++) {
        int failed;
        if (last) {
            choose_by_curve(work, last, &shape);
        } else {
            choose_by_level(work, &shape);
        }
        failed = solve(work, &shape);
        if (failed && shape.columns != 4) {
            return failed;
        }
        bound = fmin(fmax(shape.fit.value[3], flattest), steepest);
        if (failed == -ENODATA) {
            bound = 1.0;
        }
        if (shape.columns != 4 || (!failed && bound == shape.fit.value[3])) {
            break;
        }
        shape = (struct shape){.columns = 3, .held = true, .scale = bound};
    }
    *ret = shape;
    return 0;
}

/* The readings alone, s free: is there any curvature at all? */
static bool shows_a_top(struct work *work, const struct shape *last)
{
    struct shape shape = {.columns = 4};
    struct least_problem problem = {.columns = 4, .noise = work->prior->noise};
    double error;

    if (last->columns == MOST_COLUMNS) {
        return true;
    }
    choose_by_curve(work, last, &shape);
    if (least_solve(work->rows, work->used, &problem, &shape.fit) < 0) {
        return true;
    }
    error = isfinite(shape.fit.covariance[3][3]) ? sqrt(shape.fit.covariance[3][3]) : 0.0;
    return shape.fit.value[3] + certain * error > no_scale;
}

/* Derivatives of the centre by each coefficient: Q dc = db / 24 - dQ c. */
static void derive(const struct shape *shape, int k, double c, double *ret_u, double *ret_v)
{
    double determinant = shape->xx * shape->yy - shape->xy * shape->xy;
    double a = 0.0, b = 0.0;

    if (k == 1) {
        a = 0.5 / full_curvature;
    } else if (k == 2) {
        b = 0.5 / full_curvature;
    } else if (k == 3 && shape->columns == 4) {
        a = -(shape->u + c * shape->v);
        b = -(c * shape->u + shape->v);
    } else if (k == 3) {
        a = -shape->u;
    } else if (k == 4) {
        b = -shape->v;
    } else if (k == 5) {
        a = -shape->v;
        b = -shape->u;
    }
    *ret_u = (shape->yy * a - shape->xy * b) / determinant;
    *ret_v = (shape->xx * b - shape->xy * a) / determinant;
}

static void fill_errors(const struct work *work, const struct shape *shape, struct cross_fit *fit)
{
    double by_u[MOST_COLUMNS], by_v[MOST_COLUMNS], by_peak[MOST_COLUMNS];
    double uu = 0.0, vv = 0.0, uv = 0.0, pp = 0.0;
    double u = shape->u, v = shape->v;
    struct cross_reading top = {.x_deg = work->origin_x + u * work->width_x,
                                .y_deg = work->origin_y + v * work->width_y};
    struct least_row row = row_of(work, &top, shape);

    for (int k = 0; k < shape->columns; k++) {
        derive(shape, k, work->c, &by_u[k], &by_v[k]);
        by_peak[k] = row.column[k];
    }
    for (int j = 0; j < shape->columns; j++) {
        for (int k = 0; k < shape->columns; k++) {
            double cov = shape->fit.covariance[j][k];
            uu += by_u[j] * by_u[k] * cov;
            vv += by_v[j] * by_v[k] * cov;
            uv += by_u[j] * by_v[k] * cov;
            pp += by_peak[j] * by_peak[k] * cov;
        }
    }
    fit->x_error_deg = sqrt(uu) * work->width_x;
    fit->y_error_deg = sqrt(vv) * work->width_y;
    fit->correlation = uv / sqrt(uu * vv);
    fit->peak_error = sqrt(pp);
    fit->expected_loss_db =
        full_curvature * (shape->xx * uu + 2.0 * shape->xy * uv + shape->yy * vv);
}

static double peak_of(const struct shape *shape)
{
    const double *value = shape->fit.value;

    return value[0] + 0.5 * (value[1] * shape->u + value[2] * shape->v);
}

/* Are there readings to all sides? Also: how far beyond them all does the centre lie, in widths? */
static bool surrounded(const struct work *work, const struct shape *shape, double *ret_beyond)
{
    double left = -INFINITY, right = -INFINITY, below = -INFINITY, above = -INFINITY;

    for (size_t i = 0; i < work->count; i++) {
        double u = place_u(work, &work->kept[i]) - shape->u;
        double v = place_v(work, &work->kept[i]) - shape->v;
        left = fmax(left, -u);
        right = fmax(right, u);
        below = fmax(below, -v);
        above = fmax(above, v);
    }
    *ret_beyond = -fmin(fmin(left, right), fmin(below, above));
    return *ret_beyond < -reached_widths;
}

int cross_fit(const struct cross_reading *readings, size_t n, const struct cross_prior *prior,
              struct cross_fit *ret)
{
    struct work work = {.prior = prior,
                        .width_x = 1.0 / sqrt(prior->beam.xx),
                        .width_y = 1.0 / sqrt(prior->beam.yy)};
    struct shape shape, last;
    struct cross_fit fit;
    double beyond;
    int failed;

    work.c = prior->beam.xy * work.width_x * work.width_y;
    take(&work, readings, n);
    if (work.count < 3) {
        return -ENODATA;
    }
    failed = solve_bounded(&work, NULL, &shape);
    for (int round = 0; round < ROUNDS && !failed; round++) {
        last = shape;
        failed = solve_bounded(&work, &last, &shape);
        if (!failed && hypot(shape.u - last.u, shape.v - last.v) < settled) {
            break;
        }
    }
    if (failed) {
        return failed;
    }
    fit = (struct cross_fit){
        .x_deg = work.origin_x + shape.u * work.width_x,
        .y_deg = work.origin_y + shape.v * work.width_y,
        .peak = peak_of(&shape),
        .beam = {.xx = shape.xx / (work.width_x * work.width_x),
                 .yy = shape.yy / (work.width_y * work.width_y),
                 .xy = shape.xy / (work.width_x * work.width_y)},
        .scale_free = !shape.held,
        .residual = shape.fit.spread,
        .used = (int)work.used,
        .rejected = shape.fit.rejected,
    };
    fill_errors(&work, &shape, &fit);
    fit.bracketed = surrounded(&work, &shape, &beyond);
    if (beyond > beyond_widths || !shows_a_top(&work, &shape)) {
        return -EDOM;
    }
    *ret = fit;
    return 0;
}

double cross_elevation_deg(double azimuth_deg, double reference_deg, double elevation_deg)
{
    return angle_turn_deg(reference_deg, azimuth_deg) * cos(elevation_deg * ANGLE_RAD_PER_DEG);
}

double cross_azimuth_deg(double x_deg, double reference_deg, double elevation_deg)
{
    return angle_wrap_deg(reference_deg + x_deg / cos(elevation_deg * ANGLE_RAD_PER_DEG));
}
