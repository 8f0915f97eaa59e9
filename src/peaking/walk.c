#include "peaking/walk.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "peaking/cholesky.h"
#include "peaking/robust.h"

enum { CENTRE, PEAK, CURVE, SLIPS, UNKNOWNS = SLIPS + WALK_STOPS };

/* A real lobe leaves the parabola: by a share of the drop that grows with it (docs/peaking.md). */
static const double shape = 0.04, shape_further = 0.1, unknown_shape = 0.08;
/* Where nothing is known of it the curve is free within this, 1 sd of its logarithm. */
static const double free_curve_sd = 1.0;
/* Further down than this share of the fall at one width a level only says "far". */
static const double skirt = 0.5;
static const double grid_step = 0.1, beyond = 1.0; /* widths */
enum { STARTS = 3, ROUNDS = 40 };
static const double first_damping = 0.03, least_damping = 1e-8, most_damping = 1e4;
static const double settled = 1e-4; /* of the cost */
static const double tiny_sd = 1e-6; /* widths */
static const double huber = 1.345;  /* robust.h */

/* --- the walk ------------------------------------------------------------------------------- */

void walk_begin(struct walk *walk)
{
    *walk = (struct walk){.count = 1, .stop = {{.level = NAN, .level_error = NAN}}};
}

static struct walk_stop *next_stop(struct walk *walk)
{
    if (walk->count == WALK_STOPS) {
        walk->given_up_deg += walk->stop[1].told_deg;
        memmove(walk->stop, walk->stop + 1, sizeof walk->stop - sizeof *walk->stop);
        walk->count--;
    }
    walk->stop[walk->count] = (struct walk_stop){.level = NAN, .level_error = NAN};
    return &walk->stop[walk->count++];
}

void walk_turn(struct walk *walk, double told_deg, const struct walk_hand *hand)
{
    int way = told_deg > 0.0 ? 1 : -1;
    struct walk_stop *stop = &walk->stop[walk->count - 1];
    double lost = 0.0, lost_sd = 0.0;

    if (told_deg == 0.0) {
        return;
    }
    if (way != walk->way || walk->count == 1 || isfinite(stop->level)) {
        stop = next_stop(walk);
    }
    if (walk->way == 0) {
        lost = lost_sd = 0.5 * hand->play_deg;
    } else if (way != walk->way) {
        lost = hand->play_deg;
        lost_sd = hand->play_share_sd * hand->play_deg;
    }
    stop->told_deg += told_deg - way * fmin(lost, fabs(told_deg));
    stop->slip_variance += told_deg * told_deg * hand->share * hand->share +
                           hand->step_deg * hand->step_deg + lost_sd * lost_sd;
    walk->way = way;
}

void walk_read(struct walk *walk, double level, double error)
{
    walk->stop[walk->count - 1].level = level;
    walk->stop[walk->count - 1].level_error = error;
}

/* --- what it rests on ----------------------------------------------------------------------- */

struct basis {
    const struct walk *walk;
    const struct walk_prior *prior;
    double sd[WALK_STOPS];  /* of each level about the parabola */
    bool least[WALK_STOPS]; /* clipped: at least so much */
    bool far[WALK_STOPS];   /* out in the skirt: no nearer than this */
    double centre;          /* prior, from the first stop */
    double curve, curve_sd; /* prior of its logarithm; NaN, sd: where the start finds it */
};

static bool was_read(const struct basis *basis, int i)
{
    return isfinite(basis->walk->stop[i].level);
}

static double highest(const struct walk *walk)
{
    double most = -INFINITY;

    for (int i = 0; i < walk->count; i++) {
        most = fmax(most, walk->stop[i].level);
    }
    return most;
}

/* Before any fit, so that a fit can't make a misfit cheap by going far away. */
static struct basis lay_basis(const struct walk *walk, const struct walk_prior *prior)
{
    bool known = isfinite(prior->fall);
    struct basis basis = {
        .walk = walk,
        .prior = prior,
        .centre = prior->centre_deg - walk->given_up_deg,
        .curve = known ? log(prior->fall / (prior->width_deg * prior->width_deg)) : NAN,
        .curve_sd =
            known ? hypot(2.0 * prior->width_share_sd, prior->fall_share_sd) : free_curve_sd,
    };
    double top = fmax(highest(walk), isfinite(prior->peak) ? prior->peak : -INFINITY);

    for (int i = 0; i < walk->count; i++) {
        const struct walk_stop *stop = &walk->stop[i];
        double drop = top - stop->level;
        double share = known ? shape + shape_further * drop / prior->fall : unknown_shape;
        basis.sd[i] = hypot(stop->level_error, share * drop);
        basis.far[i] = known && drop > skirt * prior->fall;
        basis.least[i] = isfinite(prior->saturation) && stop->level >= prior->saturation;
    }
    return basis;
}

static void places(const struct walk *walk, const double *value, double *ret_x)
{
    ret_x[0] = 0.0;
    for (int i = 1; i < walk->count; i++) {
        ret_x[i] = ret_x[i - 1] + walk->stop[i].told_deg + value[SLIPS + i];
    }
}

/* What the parabola leaves of a level. A clipped one may be higher, and out in the skirt a floor or
 * a side lobe may make it so. */
static double level_left(const struct basis *basis, int i, const double *value, double x)
{
    double off = x - value[CENTRE];
    double left = basis->walk->stop[i].level - value[PEAK] + exp(value[CURVE]) * off * off;

    return (basis->least[i] && left < 0.0) || (basis->far[i] && left > 0.0) ? 0.0 : left;
}

static double square(double x)
{
    return x * x;
}

/* Huber's loss: the square of a small one, the size of a large one. */
static double slip_cost(double slip, double sd)
{
    double size = fabs(slip) / sd;

    return size <= huber ? size * size : huber * (2.0 * size - huber);
}

static double cost_of(const struct basis *basis, const double *value)
{
    const struct walk_prior *prior = basis->prior;
    double x[WALK_STOPS], cost = square((value[CURVE] - basis->curve) / basis->curve_sd);

    places(basis->walk, value, x);
    for (int i = 0; i < basis->walk->count; i++) {
        if (was_read(basis, i)) {
            cost += square(level_left(basis, i, value, x[i]) / basis->sd[i]);
        }
        if (i > 0) {
            cost += slip_cost(value[SLIPS + i], sqrt(basis->walk->stop[i].slip_variance));
        }
    }
    if (isfinite(basis->centre)) {
        cost += square((value[CENTRE] - basis->centre) / prior->centre_error_deg);
    }
    if (isfinite(prior->peak)) {
        cost += square((value[PEAK] - prior->peak) / prior->peak_error);
    }
    return cost;
}

/* --- where to start ------------------------------------------------------------------------- */

/* Sums of a straight line: levels over the squares of their distance from a centre. */
struct line {
    double w, wq, wqq, wl, wlq;
};

static struct line line_about(const struct basis *basis, const double *x, double centre)
{
    struct line line = {0};

    for (int i = 0; i < basis->walk->count; i++) {
        double q = square(x[i] - centre), w = 1.0 / square(basis->sd[i]);
        double level = basis->walk->stop[i].level;
        if (was_read(basis, i) && !basis->least[i]) {
            line.w += w;
            line.wq += w * q;
            line.wqq += w * q * q;
            line.wl += w * level;
            line.wlq += w * q * level;
        }
    }
    return line;
}

/* With the centre given and the places as told: peak and curve, and how badly that fits. */
static double try_centre(const struct basis *basis, const double *x, double *value)
{
    const struct walk_prior *prior = basis->prior;
    struct line line = line_about(basis, x, value[CENTRE]);
    double curve = exp(basis->curve), variance = 0.0, cost = 0.0;

    if (!isfinite(curve)) {
        double spread = line.w * line.wqq - line.wq * line.wq;
        curve = spread > 0.0 ? (line.wq * line.wl - line.w * line.wlq) / spread : 0.0;
    }
    if (isfinite(prior->peak)) {
        double w = 1.0 / square(prior->peak_error);
        line.w += w;
        line.wl += w * prior->peak;
    }
    if (!(curve > 0.0) || line.w == 0.0) {
        return INFINITY;
    }
    value[CURVE] = log(curve);
    value[PEAK] = (line.wl + curve * line.wq) / line.w;
    for (int i = 0; i < basis->walk->count; i++) {
        double blurred = 2.0 * curve * (x[i] - value[CENTRE]);
        variance += basis->walk->stop[i].slip_variance;
        if (was_read(basis, i)) {
            cost += square(level_left(basis, i, value, x[i])) /
                    (square(basis->sd[i]) + square(blurred) * variance);
        }
    }
    if (isfinite(prior->peak)) {
        cost += square((value[PEAK] - prior->peak) / prior->peak_error);
    }
    return isfinite(basis->centre)
               ? cost + square((value[CENTRE] - basis->centre) / prior->centre_error_deg)
               : cost;
}

struct start {
    double value[UNKNOWNS];
    double cost;
};

/* Keep the best few, the best first. */
static void rank(struct start *starts, int *count, const struct start *one)
{
    int at = *count;

    while (at > 0 && one->cost < starts[at - 1].cost) {
        at--;
    }
    if (at == STARTS) {
        return;
    }
    *count += *count < STARTS;
    for (int i = *count - 1; i > at; i--) {
        starts[i] = starts[i - 1];
    }
    starts[at] = *one;
}

/* The valleys along a row of centres, the places taken as told. */
static int find_starts(const struct basis *basis, struct start *ret)
{
    double x[WALK_STOPS], low = 0.0, high = 0.0, width = basis->prior->width_deg;
    struct start before = {.cost = INFINITY}, here = {.cost = INFINITY}, next;
    int count = 0;

    places(basis->walk, here.value, x);
    for (int i = 1; i < basis->walk->count; i++) {
        low = fmin(low, x[i]);
        high = fmax(high, x[i]);
    }
    for (double at = low - beyond * width; at <= high + (beyond + 2.0 * grid_step) * width;
         at += grid_step * width) {
        next = (struct start){.value = {[CENTRE] = at}};
        next.cost = at <= high + beyond * width ? try_centre(basis, x, next.value) : INFINITY;
        if (here.cost <= before.cost && here.cost <= next.cost && isfinite(here.cost)) {
            rank(ret, &count, &here);
        }
        before = here;
        here = next;
    }
    return count;
}

/* --- least squares -------------------------------------------------------------------------- */

struct normal {
    double matrix[UNKNOWNS * UNKNOWNS];
    double pull[UNKNOWNS];
};

static void add(struct normal *normal, const double *row, int n, double left, double sd)
{
    for (int j = 0; j < n; j++) {
        double part = row[j] / (sd * sd);
        if (part == 0.0) {
            continue;
        }
        normal->pull[j] += part * left;
        for (int k = 0; k <= j; k++) {
            normal->matrix[j * UNKNOWNS + k] += part * row[k];
        }
    }
}

static void add_known(struct normal *normal, int unknown, double left, double sd)
{
    normal->pull[unknown] += left / (sd * sd);
    normal->matrix[unknown * UNKNOWNS + unknown] += 1.0 / (sd * sd);
}

static void add_levels(const struct basis *basis, const double *value, struct normal *normal)
{
    double x[WALK_STOPS], curve = exp(value[CURVE]);
    int n = basis->walk->count;

    places(basis->walk, value, x);
    for (int i = 0; i < n; i++) {
        double row[UNKNOWNS] = {[PEAK] = 1.0}, off = x[i] - value[CENTRE], left;
        left = was_read(basis, i) ? level_left(basis, i, value, x[i]) : 0.0;
        if (!was_read(basis, i) || ((basis->least[i] || basis->far[i]) && left == 0.0)) {
            continue;
        }
        row[CENTRE] = 2.0 * curve * off;
        row[CURVE] = -curve * off * off;
        for (int j = 1; j <= i; j++) {
            row[SLIPS + j] = -2.0 * curve * off;
        }
        add(normal, row, SLIPS + n, left, basis->sd[i]);
    }
}

static void build(const struct basis *basis, const double *value, struct normal *ret)
{
    const struct walk_prior *prior = basis->prior;

    memset(ret, 0, sizeof *ret);
    add_levels(basis, value, ret);
    /* the first stop has no slip: held, so that stops and slips share their numbers */
    add_known(ret, SLIPS, -value[SLIPS], tiny_sd * prior->width_deg);
    for (int i = 1; i < basis->walk->count; i++) {
        double sd = sqrt(basis->walk->stop[i].slip_variance), slip = value[SLIPS + i];
        add_known(ret, SLIPS + i, -slip, sd / sqrt(robust_weight(slip, sd)));
    }
    add_known(ret, CURVE, basis->curve - value[CURVE], basis->curve_sd);
    if (isfinite(basis->centre)) {
        add_known(ret, CENTRE, basis->centre - value[CENTRE], prior->centre_error_deg);
    }
    if (isfinite(prior->peak)) {
        add_known(ret, PEAK, prior->peak - value[PEAK], prior->peak_error);
    }
}

/* One step that makes it no worse. False: there is none. */
static bool step(const struct basis *basis, struct start *at, double *damping)
{
    int n = SLIPS + basis->walk->count;
    struct normal normal;

    for (; *damping < most_damping; *damping *= 10.0) {
        struct start next = *at;
        build(basis, at->value, &normal);
        for (int j = 0; j < n; j++) {
            normal.matrix[j * UNKNOWNS + j] *= 1.0 + *damping;
        }
        if (cholesky_factor(normal.matrix, n, UNKNOWNS) < 0) {
            continue;
        }
        cholesky_solve(normal.matrix, n, UNKNOWNS, normal.pull);
        for (int j = 0; j < n; j++) {
            next.value[j] += normal.pull[j];
        }
        next.cost = cost_of(basis, next.value);
        if (next.cost <= at->cost) {
            *at = next;
            *damping = fmax(0.1 * *damping, least_damping);
            return true;
        }
    }
    return false;
}

static void refine(struct basis *basis, struct start *at)
{
    double damping = first_damping, before;
    int round = 0;

    if (!isfinite(basis->prior->fall)) {
        basis->curve = at->value[CURVE];
    }
    at->cost = cost_of(basis, at->value);
    do {
        before = at->cost;
    } while (step(basis, at, &damping) && before - at->cost > settled && ++round < ROUNDS);
}

/* --- the answer ----------------------------------------------------------------------------- */

/* sd of a sum of unknowns. */
static double error_of(const struct normal *normal, int n, const double *parts)
{
    double solved[UNKNOWNS], sum = 0.0;

    memcpy(solved, parts, sizeof solved);
    cholesky_solve(normal->matrix, n, UNKNOWNS, solved);
    for (int j = 0; j < n; j++) {
        sum += parts[j] * solved[j];
    }
    return sqrt(fmax(sum, 0.0));
}

static int look(const struct basis *basis, const double *value, struct walk_fit *ret)
{
    const struct walk *walk = basis->walk;
    double x[WALK_STOPS], parts[UNKNOWNS] = {[CENTRE] = 1.0}, top[UNKNOWNS] = {[PEAK] = 1.0};
    int n = SLIPS + walk->count;
    struct normal normal;

    build(basis, value, &normal);
    if (cholesky_factor(normal.matrix, n, UNKNOWNS) < 0) {
        return -EDOM;
    }
    for (int i = 1; i < walk->count; i++) {
        parts[SLIPS + i] = -1.0;
    }
    *ret = (struct walk_fit){.peak = value[PEAK],
                             .peak_error = error_of(&normal, n, top),
                             .to_go_error_deg = error_of(&normal, n, parts),
                             .curve = exp(value[CURVE]),
                             .low_deg = INFINITY,
                             .high_deg = -INFINITY};
    places(walk, value, x);
    ret->to_go_deg = value[CENTRE] - x[walk->count - 1];
    for (int i = 0; i < walk->count; i++) {
        ret->place_deg[i] = x[i] - value[CENTRE];
        if (was_read(basis, i)) {
            ret->worst = fmax(ret->worst, fabs(level_left(basis, i, value, x[i])) / basis->sd[i]);
        }
        if (was_read(basis, i) && !basis->least[i]) {
            ret->low_deg = fmin(ret->low_deg, ret->place_deg[i]);
            ret->high_deg = fmax(ret->high_deg, ret->place_deg[i]);
        }
    }
    return 0;
}

static int levels_read(const struct walk *walk)
{
    int n = 0;

    for (int i = 0; i < walk->count; i++) {
        n += isfinite(walk->stop[i].level);
    }
    return n;
}

int walk_fit(const struct walk *walk, const struct walk_prior *prior, struct walk_fit *ret)
{
    struct basis basis = lay_basis(walk, prior);
    struct start starts[STARTS];
    int count, best = 0;

    if (levels_read(walk) + isfinite(prior->peak) < (isfinite(prior->fall) ? 2 : 3)) {
        return -ENODATA;
    }
    count = find_starts(&basis, starts);
    for (int i = 0; i < count; i++) {
        refine(&basis, &starts[i]);
        best = starts[i].cost < starts[best].cost ? i : best;
    }
    return count > 0 ? look(&basis, starts[best].value, ret) : -EDOM;
}
