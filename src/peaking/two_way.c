#include "peaking/two_way.h"

#include <errno.h>
#include <math.h>

static const double speed_s = 0.5;         /* over which speed is judged */
static const double still_widths_s = 0.02; /* slower is standing still */
static const double stale_lags = 2.0;      /* a level that long ago still shows */
static const double usual_lag_s = 0.8;
static const double longest_lag_s = 8.0;
static const double agreed_widths = 1e-4, apart_widths = 0.02;
enum { ROUNDS = 8 };

struct work {
    const struct two_way_reading *reading;
    size_t count;
    const struct two_way_prior *prior;
    double speed[LOBE_READINGS]; /* NaN = discarded: too fast, or not finite */
    struct lobe_reading part[LOBE_READINGS];
};

/* A place, and its square, as a first-order lag shows them; relative to the first place. */
struct lagged {
    double place, square;
};

/*
 * One step of dt while the place goes evenly from x0 to x1: the exact answer to a ramp and to its
 * square, p(x) = x^2 - 2 m x lag + 2 m^2 lag^2 with slope m, plus what is left of the start.
 */
static struct lagged lag_step(struct lagged before, double x0, double x1, double dt, double lag_s)
{
    double m, left, d;

    if (!(lag_s > 0.0)) {
        return (struct lagged){x1, x1 * x1};
    }
    if (!(dt > 0.0)) {
        return before;
    }
    m = (x1 - x0) / dt;
    d = m * lag_s;
    left = exp(-dt / lag_s);
    return (struct lagged){
        .place = x1 - d + (before.place - x0 + d) * left,
        .square = x1 * x1 - 2.0 * d * x1 + 2.0 * d * d +
                  (before.square - x0 * x0 + 2.0 * d * x0 - 2.0 * d * d) * left,
    };
}

double two_way_speed(const struct two_way_reading *readings, size_t i)
{
    size_t first = i;
    struct lagged lagged = {0};

    while (first > 0 && readings[i].t - readings[first].t < 5.0 * speed_s) {
        first--;
    }
    for (size_t k = first + 1; k <= i; k++) {
        lagged = lag_step(lagged, readings[k - 1].x_deg - readings[first].x_deg,
                          readings[k].x_deg - readings[first].x_deg,
                          readings[k].t - readings[k - 1].t, speed_s);
    }
    return (readings[i].x_deg - readings[first].x_deg - lagged.place) / speed_s;
}

static bool usable(const struct two_way_reading *reading)
{
    return isfinite(reading->t) && isfinite(reading->x_deg) && isfinite(reading->level);
}

/* Speeds; those of readings that still show a motion too fast become NaN. Returns how many. */
static int judge_speeds(struct work *work)
{
    const struct two_way_reading *r = work->reading;
    double lag_s = isfinite(work->prior->lag_s) ? work->prior->lag_s : usual_lag_s;
    double fast_t = -INFINITY;
    int too_fast = 0;

    for (size_t i = 0; i < work->count; i++) {
        double speed = two_way_speed(r, i);
        if (fabs(speed) > work->prior->fastest_deg_s) {
            fast_t = r[i].t;
        }
        work->speed[i] = usable(&r[i]) ? speed : NAN;
        if (r[i].t - fast_t <= stale_lags * lag_s) {
            work->speed[i] = NAN;
            too_fast++;
        }
    }
    return too_fast;
}

/*
 * Readings of one direction (way +1, -1; 0 = all, stops included) with their places lagged, into
 * work->part. A lagging meter shows the mean level of the places just passed: that of a parabola is
 * the level at their mean place, less the curvature times their variance, which is given back.
 * A negative lag, that of an angle sensor slower than the meter, leads by the speed.
 */
static size_t take_part(struct work *work, int way, double lag_s)
{
    const struct two_way_reading *r = work->reading;
    const struct lobe_prior *lobe = &work->prior->lobe;
    double still = still_widths_s * lobe->width_deg, origin = r[0].x_deg;
    double curvature = lobe->is_db ? 12.0 / (lobe->width_deg * lobe->width_deg) : 0.0;
    struct lagged lagged = {0};
    size_t n = 0;

    for (size_t i = 0; i < work->count; i++) {
        if (i > 0) {
            lagged = lag_step(lagged, r[i - 1].x_deg - origin, r[i].x_deg - origin,
                              r[i].t - r[i - 1].t, lag_s);
        }
        if (!isfinite(work->speed[i]) || (way != 0 && work->speed[i] * way <= still)) {
            continue;
        }
        if (lag_s > 0.0) {
            double variance = lagged.square - lagged.place * lagged.place;
            work->part[n++] =
                (struct lobe_reading){origin + lagged.place, r[i].level + curvature * variance};
        } else {
            work->part[n++] =
                (struct lobe_reading){r[i].x_deg - lag_s * work->speed[i], r[i].level};
        }
    }
    return n;
}

static int fit_part(struct work *work, int way, double lag_s, struct lobe_fit *ret, int *ret_used)
{
    size_t n = take_part(work, way, lag_s);

    *ret_used = (int)n;
    return lobe_fit(work->part, n, &work->prior->lobe, ret);
}

/* Mean speed of a direction, > 0. */
static double mean_speed(const struct work *work, int way)
{
    double still = still_widths_s * work->prior->lobe.width_deg, sum = 0.0;
    int n = 0;

    for (size_t i = 0; i < work->count; i++) {
        if (work->speed[i] * way > still) {
            sum += work->speed[i] * way;
            n++;
        }
    }
    return n > 0 ? sum / n : 0.0;
}

struct both {
    struct lobe_fit forward, back;
};

static int fit_both(struct work *work, double lag_s, struct both *ret, struct two_way_fit *counts)
{
    int failed = fit_part(work, 1, lag_s, &ret->forward, &counts->forward);

    return failed ? failed : fit_part(work, -1, lag_s, &ret->back, &counts->back);
}

static double shift_of(const struct both *both)
{
    return both->forward.centre_deg - both->back.centre_deg;
}

/* A lag with which either direction has a top: without any, the tops may lie beyond the ends. */
static int find_start(struct work *work, struct both *both, struct two_way_fit *ret)
{
    static const double tried_s[] = {0.0, 0.8, 2.0, 5.0};
    int failed = -EDOM;

    for (size_t i = 0; failed && i < sizeof tried_s / sizeof *tried_s; i++) {
        ret->lag_s = tried_s[i];
        failed = fit_both(work, tried_s[i], both, ret);
    }
    return failed;
}

/* The lag at which both directions have one centre, by the secant rule. */
static int find_lag(struct work *work, struct both *both, struct two_way_fit *ret)
{
    double speeds = mean_speed(work, 1) + mean_speed(work, -1);
    double before = ret->lag_s, shift_before = shift_of(both);
    double lag_s = before + shift_before / speeds;

    for (int round = 0; round < ROUNDS; round++) {
        double shift, next;
        int failed;
        lag_s = fmin(fmax(lag_s, -longest_lag_s), longest_lag_s);
        failed = fit_both(work, lag_s, both, ret);
        if (failed) {
            return failed;
        }
        shift = shift_of(both);
        if (fabs(shift) < agreed_widths * work->prior->lobe.width_deg || shift == shift_before) {
            break;
        }
        next = lag_s - shift * (lag_s - before) / (shift - shift_before);
        before = lag_s;
        shift_before = shift;
        lag_s = next;
    }
    ret->lag_s = lag_s;
    ret->lag_error_s = hypot(both->forward.centre_error_deg, both->back.centre_error_deg) / speeds;
    return fabs(shift_of(both)) < apart_widths * work->prior->lobe.width_deg ? 0 : -EDOM;
}

static int fit_structure(struct work *work, struct both *both, struct two_way_fit *ret)
{
    double forward = mean_speed(work, 1), back = mean_speed(work, -1), error;
    int used, failed = find_start(work, both, ret);

    if (!failed) {
        failed = find_lag(work, both, ret);
    }
    if (failed && isfinite(work->prior->lag_s)) {
        ret->lag_s = work->prior->lag_s;
        return fit_part(work, 0, ret->lag_s, &ret->fit, &used);
    }
    if (failed) {
        return failed;
    }
    failed = fit_part(work, 0, ret->lag_s, &ret->fit, &used);
    /* the centre is where both lines of place over speed meet: each counts by the other's speed */
    error = hypot(back * both->forward.centre_error_deg, forward * both->back.centre_error_deg) /
            (forward + back);
    ret->fit.centre_error_deg = fmax(ret->fit.centre_error_deg, error);
    return failed;
}

static int fit_bolt(struct work *work, struct both *both, struct two_way_fit *ret)
{
    int failed = fit_both(work, isnan(ret->lag_s) ? 0.0 : ret->lag_s, both, ret);

    if (failed) {
        return failed;
    }
    ret->fit = both->forward;
    if (isnan(ret->lag_s)) {
        double quarter = 0.25 * shift_of(both);
        ret->fit.centre_deg -= quarter;
        ret->fit.centre_error_deg = hypot(ret->fit.centre_error_deg, quarter);
        return 0;
    }
    ret->play_deg = shift_of(both);
    ret->play_error_deg = hypot(both->forward.centre_error_deg, both->back.centre_error_deg);
    return 0;
}

static int fit_one_way(struct work *work, int way, struct two_way_fit *ret)
{
    int used;

    return isnan(ret->lag_s) ? -ENODATA : fit_part(work, way, ret->lag_s, &ret->fit, &used);
}

int two_way_fit(const struct two_way_reading *readings, size_t n, const struct two_way_prior *prior,
                struct two_way_fit *ret)
{
    size_t skip = n > LOBE_READINGS ? n - LOBE_READINGS : 0;
    struct work work = {
        .reading = skip ? readings + skip : readings, .count = n - skip, .prior = prior};
    struct two_way_fit fit = {
        .lag_s = prior->lag_s, .lag_error_s = NAN, .play_deg = NAN, .play_error_deg = NAN};
    struct both both;
    int failed;

    if (n == 0) {
        return -ENODATA;
    }
    fit.too_fast = judge_speeds(&work);
    fit.forward = (int)take_part(&work, 1, 0.0);
    fit.back = (int)take_part(&work, -1, 0.0);
    if (fit.forward < 3 || fit.back < 3) {
        failed = fit_one_way(&work, fit.forward < 3 ? -1 : 1, &fit);
    } else if (prior->on_structure) {
        failed = fit_structure(&work, &both, &fit);
    } else {
        failed = fit_bolt(&work, &both, &fit);
    }
    if (!failed) {
        *ret = fit;
    }
    return failed;
}
