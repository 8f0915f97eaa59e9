#include "peaking/lobe.h"

#include <errno.h>
#include <math.h>

#include "peaking/least.h"
#include "peaking/lobe_beside.h"

static const double top_db = 5.0;          /* where every lobe is a parabola within 0.3 dB */
static const double deep_db = 12.0;        /* where only a Gaussian one still is */
static const double full_curvature = 12.0; /* dB at one width off */
/* Curvature against the expected one: bounds, and how well it is known beforehand. */
static const double flattest = 0.6, steepest = 1.4;
static const double curvature_sd = 0.25;
/* Less than this is no lobe at all. */
static const double no_curvature = 0.25;
static const double beyond_widths = 0.6;
static const double reached_widths = 0.15;
static const double walk_widths = 0.9;
static const double certain = 2.5, doubtful = 3.5;
static const double least_db = 1e-6; /* of misfit that can matter */
static const size_t fewest = 5;
enum { ROUNDS = 8 };
/* Flanks that differ: looked at within this many widths, and how surely they must. */
static const double uneven_widths = 0.4, uneven_sd = 1.5, most_uneven = 0.15;
static const size_t uneven_fewest = 12;

/* u = (x - origin) / width: level = a + b u - 12 r u^2, r being 1 for the expected width. */
struct curve {
    double a, b, r;
    double cov[3][3]; /* of a, b, r */
    double sd;
    int rejected;
};

struct work {
    const struct lobe_prior *prior;
    struct lobe_readings kept;
    double origin;
    size_t first, last; /* the window: readings taken for the top */
    struct least_row rows[LOBE_READINGS];
};

enum freedom { FREE, DRAWN, HELD }; /* curvature: free, drawn to the expected one, held at `r` */

static double place(const struct work *work, size_t i)
{
    return (work->kept.at[i].x_deg - work->origin) / work->prior->width_deg;
}

static double centre_of(const struct curve *curve)
{
    return curve->b / (2.0 * full_curvature * curve->r);
}

static double curve_at(const struct curve *curve, double u)
{
    return curve->a + curve->b * u - full_curvature * curve->r * u * u;
}

/* Fits the window. */
static int fit_window(struct work *work, enum freedom freedom, double r, struct curve *ret)
{
    struct least_problem problem = {.columns = freedom == HELD ? 2 : 3,
                                    .noise = work->prior->noise};
    struct least_fit fit;
    size_t n = work->last - work->first + 1;
    double held = freedom == HELD ? r : 0.0;
    int failed;

    if (freedom == DRAWN) {
        problem.belief_count = 1;
        problem.beliefs[0] = (struct least_belief){.column = 2, .value = 1.0, .sd = curvature_sd};
    }
    for (size_t i = 0; i < n; i++) {
        double u = place(work, work->first + i);
        double bend = -full_curvature * u * u;
        work->rows[i] = (struct least_row){
            .column = {1.0, u, bend},
            .value = work->kept.at[work->first + i].level - held * bend,
            .trust = 1.0,
        };
    }
    failed = least_solve(work->rows, n, &problem, &fit);
    if (failed) {
        return failed;
    }
    *ret = (struct curve){.a = fit.value[0],
                          .b = fit.value[1],
                          .r = freedom == HELD ? r : fit.value[2],
                          .sd = fit.spread,
                          .rejected = fit.rejected};
    for (int j = 0; j < problem.columns; j++) {
        for (int k = 0; k < problem.columns; k++) {
            ret->cov[j][k] = fit.covariance[j][k];
        }
    }
    return 0;
}

/* --- the window ------------------------------------------------------------------------------- */

/* From the top outward until the level has fallen by 5 dB for good. */
static void walk_window(struct work *work)
{
    const struct lobe_readings *kept = &work->kept;
    size_t top = lobe_readings_top(kept);
    double least = lobe_readings_smooth(kept, top) - top_db;
    double reach = work->prior->width_known ? walk_widths : INFINITY;

    work->first = work->last = top;
    while (work->first > 0 && lobe_readings_smooth(kept, work->first - 1) >= least &&
           place(work, top) - place(work, work->first - 1) <= reach) {
        work->first--;
    }
    while (work->last + 1 < kept->count && lobe_readings_smooth(kept, work->last + 1) >= least &&
           place(work, work->last + 1) - place(work, top) <= reach) {
        work->last++;
    }
}

/* Readings within `half` of a centre; more of the nearest where those are too few to fit. */
static void set_window(struct work *work, double centre, double half)
{
    const struct lobe_readings *kept = &work->kept;
    size_t first = 0, last = kept->count - 1;

    while (first < last && place(work, first) < centre - half) {
        first++;
    }
    while (last > first && place(work, last) > centre + half) {
        last--;
    }
    while ((last - first + 1 < fewest ||
            lobe_readings_places(kept, first, last, work->prior->width_deg) < 3) &&
           (first > 0 || last + 1 < kept->count)) {
        double left = first > 0 ? centre - place(work, first - 1) : INFINITY;
        double right = last + 1 < kept->count ? place(work, last + 1) - centre : INFINITY;
        if (left < right) {
            first--;
        } else {
            last++;
        }
    }
    work->first = first;
    work->last = last;
}

/* How far from its centre a curve has fallen by `depth` dB, in widths. */
static double half_window(const struct work *work, const struct curve *curve, double depth)
{
    double r = curve->r;

    if (work->prior->width_known) {
        r = fmin(fmax(r, flattest), steepest);
    }
    return sqrt(depth / (full_curvature * r));
}

/* --- the curvature ---------------------------------------------------------------------------- */

static enum freedom freedom_of(const struct work *work)
{
    const struct lobe_prior *prior = work->prior;
    size_t n = work->last - work->first + 1;

    if (prior->width_fixed) {
        return HELD;
    }
    /* how hard to draw follows from the noise: where that can't be known, not at all */
    if (prior->width_known && (isfinite(prior->noise) || n > 4)) {
        return DRAWN;
    }
    if (prior->width_known &&
        lobe_readings_places(&work->kept, work->first, work->last, prior->width_deg) < 3) {
        return HELD;
    }
    return FREE;
}

/* The constrained fit: free between the bounds, else held at the nearer one. */
static int fit_bounded(struct work *work, struct curve *ret, bool *ret_free)
{
    enum freedom freedom = freedom_of(work);
    int failed = fit_window(work, freedom, 1.0, ret);
    double bound;

    *ret_free = freedom != HELD;
    if (failed || freedom == HELD || !work->prior->width_known) {
        return failed;
    }
    bound = fmin(fmax(ret->r, flattest), steepest);
    if (bound == ret->r) {
        return 0;
    }
    *ret_free = false;
    failed = fit_window(work, HELD, bound, ret);
    ret->cov[2][2] = curvature_sd * curvature_sd;
    return failed;
}

/* Where the readings further down still lie on the curve, they are used, too. */
static bool deeper_holds(const struct work *work, const struct curve *curve, size_t from, size_t to)
{
    double sum = 0.0, error = 0.0;
    double n = (double)(to - from);

    for (size_t i = from; i < to; i++) {
        double left = work->kept.at[i].level - curve_at(curve, place(work, i));
        sum += fmin(fmax(left, -3.0 * curve->sd), 3.0 * curve->sd);
    }
    if (n > 0.0) {
        double u = 0.5 * (place(work, from) + place(work, to - 1));
        double by[3] = {1.0, u, -full_curvature * u * u};
        for (int j = 0; j < 3; j++) {
            for (int k = 0; k < 3; k++) {
                error += by[j] * by[k] * curve->cov[j][k];
            }
        }
    }
    return n == 0.0 ||
           fabs(sum / n) <= doubtful * sqrt(curve->sd * curve->sd / n + error) + least_db;
}

static int extend_window(struct work *work, struct curve *curve, bool *free)
{
    size_t first = work->first, last = work->last;
    struct curve extended;
    bool extended_free;

    if (!isfinite(curve->sd) || curve->r <= 0.0) {
        return 0;
    }
    set_window(work, centre_of(curve), half_window(work, curve, deep_db));
    if (work->first <= first && work->last >= last &&
        deeper_holds(work, curve, work->first, first) &&
        deeper_holds(work, curve, last + 1, work->last + 1) &&
        fit_bounded(work, &extended, &extended_free) == 0 && extended_free == *free &&
        extended.sd < 1.5 * curve->sd + least_db) {
        *curve = extended;
        *free = extended_free;
        return 0;
    }
    work->first = first;
    work->last = last;
    return fit_bounded(work, curve, free);
}

/* Window and curve settle together. */
static int settle(struct work *work, struct curve *ret, bool *ret_free)
{
    walk_window(work);
    if (work->last - work->first + 1 < fewest ||
        lobe_readings_places(&work->kept, work->first, work->last, work->prior->width_deg) < 3) {
        set_window(work, place(work, lobe_readings_top(&work->kept)),
                   work->prior->width_known ? walk_widths : 0.0);
    }
    for (int round = 0; round < ROUNDS; round++) {
        size_t first = work->first, last = work->last;
        double u;
        int failed = fit_bounded(work, ret, ret_free);
        if (failed) {
            return failed;
        }
        u = centre_of(ret);
        if (!(ret->r > 0.0) || u < place(work, 0) - beyond_widths ||
            u > place(work, work->kept.count - 1) + beyond_widths) {
            return -EDOM;
        }
        set_window(work, u, half_window(work, ret, top_db));
        if (work->first == first && work->last == last) {
            break;
        }
    }
    return extend_window(work, ret, ret_free);
}

/* --- the answer ------------------------------------------------------------------------------- */

/* Sd of the vertex b / 24 r, by the delta method. */
static double centre_error(const struct curve *curve)
{
    double u = centre_of(curve), slope = 2.0 * full_curvature * curve->r;
    double by_b = 1.0 / slope, by_r = -u / curve->r;

    return sqrt(by_b * by_b * curve->cov[1][1] + 2.0 * by_b * by_r * curve->cov[1][2] +
                by_r * by_r * curve->cov[2][2]);
}

static double peak_error(const struct curve *curve)
{
    double u = centre_of(curve);
    double by[3] = {1.0, u, -full_curvature * u * u}, sum = 0.0;

    for (int j = 0; j < 3; j++) {
        for (int k = 0; k < 3; k++) {
            sum += by[j] * by[k] * curve->cov[j][k];
        }
    }
    return sqrt(sum);
}

/*
 * Neighbours that err together (fading, a lagging meter, a lobe that is no parabola) are worth
 * fewer readings: (1 + q) / (1 - q) times the variance, q the correlation of neighbours.
 * Source: variance of the mean of a first-order autoregressive series, any textbook.
 */
static double correlation_factor(const struct work *work, const struct curve *curve)
{
    size_t n = work->last - work->first + 1;
    double own = 0.0, next = 0.0, before = 0.0, q;

    for (size_t i = 0; i < n; i++) {
        double left =
            work->kept.at[work->first + i].level - curve_at(curve, place(work, work->first + i));
        left *= work->rows[i].weight;
        own += left * left;
        next += left * before;
        before = left;
    }
    q = own > 0.0 ? fmin(next / own, 0.8) : 0.0;
    return n >= 12 && q > 2.0 / sqrt((double)n) ? sqrt((1.0 + q) / (1.0 - q)) : 1.0;
}

/* The width as the readings alone have it. False when they show that there is no lobe. */
static bool see_width(struct work *work, struct lobe_fit *ret)
{
    struct curve seen;
    double error;

    ret->width_seen_deg = ret->width_seen_error_deg = NAN;
    if (lobe_readings_places(&work->kept, work->first, work->last, work->prior->width_deg) < 3 ||
        fit_window(work, FREE, 0.0, &seen) < 0) {
        return work->prior->width_known || work->prior->width_fixed;
    }
    error = isfinite(seen.cov[2][2]) ? sqrt(seen.cov[2][2]) : 0.0;
    if (seen.r > 0.0 && seen.r > error) {
        ret->width_seen_deg = work->prior->width_deg / sqrt(seen.r);
        ret->width_seen_error_deg = 0.5 * ret->width_seen_deg * sqrt(seen.cov[2][2]) / seen.r;
    }
    if (work->prior->width_known || work->prior->width_fixed) {
        return seen.r + certain * error > no_curvature;
    }
    return seen.r > certain * error;
}

static bool enough(const struct work *work)
{
    const struct lobe_readings *kept = &work->kept;
    bool known = work->prior->width_known || work->prior->width_fixed;

    return kept->count >= 3 && lobe_readings_places(kept, 0, kept->count - 1,
                                                    work->prior->width_deg) >= (known ? 2 : 3);
}

/*
 * A neighbour's carrier makes one flank steeper than the other, and a parabola's top slides away
 * from it. So where the readings call for it a cubic term is fitted with it near the top. Returns
 * how far the top then lies from u; 0 where the flanks are alike.
 */
static double unevenness(struct work *work, double u)
{
    struct least_problem problem = {.columns = 4, .noise = work->prior->noise, .belief_count = 1};
    struct least_fit fit;
    double v = 0.0;
    size_t n;

    problem.beliefs[0] = (struct least_belief){.column = 3, .value = 0.0, .sd = uneven_sd};
    set_window(work, u, uneven_widths);
    n = work->last - work->first + 1;
    for (size_t i = 0; i < n; i++) {
        double d = place(work, work->first + i) - u;
        work->rows[i] = (struct least_row){
            .column = {1.0, d, -full_curvature * d * d, full_curvature * d * d * d},
            .value = work->kept.at[work->first + i].level,
            .trust = 1.0,
        };
    }
    if (n < uneven_fewest || least_solve(work->rows, n, &problem, &fit) < 0 ||
        !(fit.value[2] > 0.0)) {
        return 0.0;
    }
    for (int round = 0; round < ROUNDS; round++) {
        double slope =
            fit.value[1] / full_curvature - 2.0 * fit.value[2] * v + 3.0 * fit.value[3] * v * v;
        double bend = -2.0 * fit.value[2] + 6.0 * fit.value[3] * v;
        v -= bend < 0.0 ? slope / bend : 0.0;
        v = fmin(fmax(v, -most_uneven), most_uneven);
    }
    return v;
}

static int answer(struct work *work, const struct curve *curve, bool free, struct lobe_fit *ret)
{
    const struct lobe_prior *prior = work->prior;
    double u = centre_of(curve), factor = correlation_factor(work, curve);
    struct lobe_fit fit = {
        .centre_deg = work->origin + u * prior->width_deg,
        .centre_error_deg = factor * centre_error(curve) * prior->width_deg,
        .peak = curve_at(curve, u),
        .peak_error = factor * peak_error(curve),
        .width_deg = prior->width_deg / sqrt(curve->r),
        .residual = curve->sd,
        .width_free = free,
        .left_reached = place(work, work->first) < u - reached_widths,
        .right_reached = place(work, work->last) > u + reached_widths,
        .used = (int)(work->last - work->first + 1),
        .rejected = curve->rejected,
        .clipped = (int)work->kept.clipped,
    };

    if (!see_width(work, &fit) || fit.centre_error_deg > 0.5 * prior->width_deg) {
        return -EDOM;
    }
    if (prior->uneven && fit.left_reached && fit.right_reached) {
        double v = prior->near_count > 0 ? lobe_beside(&work->kept, prior, fit.centre_deg)
                                         : unevenness(work, u);
        fit.centre_deg += v * prior->width_deg;
        fit.peak = curve_at(curve, u + v);
    }
    *ret = fit;
    return 0;
}

int lobe_fit(const struct lobe_reading *readings, size_t n, const struct lobe_prior *prior,
             struct lobe_fit *ret)
{
    struct work work = {.prior = prior};
    struct curve curve;
    bool free;
    int failed;

    lobe_readings_take(&work.kept, readings, n, prior, false);
    if (!prior->is_db) {
        failed = lobe_bracket(readings, n, prior, ret);
        if (!failed && prior->uneven && prior->near_count > 0) {
            ret->centre_deg += lobe_beside(&work.kept, prior, ret->centre_deg) * prior->width_deg;
        }
        return failed;
    }
    if (!enough(&work)) {
        return work.kept.clipped > 0 ? lobe_bracket(readings, n, prior, ret) : -ENODATA;
    }
    work.origin = 0.5 * (work.kept.at[0].x_deg + work.kept.at[work.kept.count - 1].x_deg);
    failed = settle(&work, &curve, &free);
    return failed ? failed : answer(&work, &curve, free, ret);
}
