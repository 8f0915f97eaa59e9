#include "peaking/lobe.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>

static const double top_db = 5.0;
static const double huber = 1.345; /* 95 % efficient for normal noise (Huber) */
static const double sd_per_mad = 1.4826;
static const double narrowest = 0.6, widest = 1.4; /* curvature against the expected one */
static const int iterations = 30;

struct parabola {
    double a, b, c; /* level = a + b u + c u^2, u = x - origin */
};

struct sample {
    double u, level, weight;
};

/* --- weighted least squares ----------------------------------------------------------------- */

struct sums {
    double w, u, uu, uuu, uuuu, y, uy, uuy;
};

static struct sums add_up(const struct sample *s, int n)
{
    struct sums t = {0};

    for (int i = 0; i < n; i++) {
        double w = s[i].weight, u = s[i].u, y = s[i].level;
        t.w += w;
        t.u += w * u;
        t.uu += w * u * u;
        t.uuu += w * u * u * u;
        t.uuuu += w * u * u * u * u;
        t.y += w * y;
        t.uy += w * u * y;
        t.uuy += w * u * u * y;
    }
    return t;
}

/* Cramer's rule on the 3x3 normal equations; false where they are singular. */
static bool solve_free(const struct sums *t, struct parabola *ret)
{
    double d = t->w * (t->uu * t->uuuu - t->uuu * t->uuu) -
               t->u * (t->u * t->uuuu - t->uuu * t->uu) + t->uu * (t->u * t->uuu - t->uu * t->uu);
    double da = t->y * (t->uu * t->uuuu - t->uuu * t->uuu) -
                t->u * (t->uy * t->uuuu - t->uuu * t->uuy) +
                t->uu * (t->uy * t->uuu - t->uu * t->uuy);
    double db = t->w * (t->uy * t->uuuu - t->uuu * t->uuy) -
                t->y * (t->u * t->uuuu - t->uuu * t->uu) + t->uu * (t->u * t->uuy - t->uy * t->uu);
    double dc = t->w * (t->uu * t->uuy - t->uy * t->uuu) - t->u * (t->u * t->uuy - t->uy * t->uu) +
                t->y * (t->u * t->uuu - t->uu * t->uu);

    if (!(fabs(d) > 1e-12 * fabs(t->w * t->uu * t->uuuu))) {
        return false;
    }
    *ret = (struct parabola){da / d, db / d, dc / d};
    return true;
}

/* The curvature given: a straight line through what is left. */
static bool solve_known(const struct sums *t, double c, struct parabola *ret)
{
    double d = t->w * t->uu - t->u * t->u;
    double y = t->y - c * t->uu, uy = t->uy - c * t->uuu;

    if (!(fabs(d) > 1e-12 * fabs(t->w * t->uu))) {
        return false;
    }
    *ret = (struct parabola){(y * t->uu - t->u * uy) / d, (t->w * uy - t->u * y) / d, c};
    return true;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double residual(const struct sample *s, const struct parabola *p)
{
    return s->level - (p->a + p->b * s->u + p->c * s->u * s->u);
}

/* Robust sd of the residuals; fits with few readings to spare are corrected upward. */
static double spread(const struct sample *s, int n, const struct parabola *p, int parameters)
{
    double sizes[LOBE_READINGS];
    double middle;

    for (int i = 0; i < n; i++) {
        sizes[i] = fabs(residual(&s[i], p));
    }
    qsort(sizes, (size_t)n, sizeof *sizes, compare);
    middle = n % 2 ? sizes[n / 2] : 0.5 * (sizes[n / 2 - 1] + sizes[n / 2]);
    return n > parameters ? sd_per_mad * middle * sqrt((double)n / (n - parameters)) : NAN;
}

/* Iteratively reweighted. `curvature` NaN = free. */
static bool fit_robust(struct sample *s, int n, double curvature, double noise,
                       struct parabola *ret, double *ret_spread)
{
    int parameters = isnan(curvature) ? 3 : 2;
    double sd = noise;

    for (int i = 0; i < n; i++) {
        s[i].weight = 1.0;
    }
    for (int round = 0; round < iterations; round++) {
        struct sums t = add_up(s, n);
        double change = 0.0, found;

        if (!(parameters == 3 ? solve_free(&t, ret) : solve_known(&t, curvature, ret))) {
            return false;
        }
        found = spread(s, n, ret, parameters);
        sd = isfinite(found) ? fmax(found, isfinite(noise) ? 0.3 * noise : 1e-9)
                             : (isfinite(noise) ? noise : 1e-9);
        for (int i = 0; i < n; i++) {
            double size = fabs(residual(&s[i], ret)) / sd;
            double weight = size <= huber ? 1.0 : huber / size;
            change = fmax(change, fabs(weight - s[i].weight));
            s[i].weight = weight;
        }
        if (change < 1e-4) {
            break;
        }
    }
    *ret_spread = sd;
    return true;
}

/* --- choosing the readings ------------------------------------------------------------------ */

/* A robust top: the highest median of three neighbours by angle. */
static double robust_top(const struct lobe_reading *r, size_t n)
{
    double top = -INFINITY;

    if (n < 5) {
        for (size_t i = 0; i < n; i++) {
            top = fmax(top, r[i].level);
        }
        return top;
    }
    for (size_t i = 1; i + 1 < n; i++) {
        double a = r[i - 1].level, b = r[i].level, c = r[i + 1].level;
        top = fmax(top, fmax(fmin(a, b), fmin(fmax(a, b), c)));
    }
    return top;
}

static int compare_x(const void *a, const void *b)
{
    const struct lobe_reading *p = a, *q = b;

    return (p->x_deg > q->x_deg) - (p->x_deg < q->x_deg);
}

/* How far below the top a reading still belongs to it, in the level's unit. */
static double depth_used(const struct lobe_reading *r, size_t n, const struct lobe_prior *prior,
                         double top)
{
    double lowest = top;

    if (prior->is_db) {
        return top_db;
    }
    for (size_t i = 0; i < n; i++) {
        lowest = fmin(lowest, r[i].level);
    }
    return 0.6 * (top - lowest);
}

static int choose(const struct lobe_reading *readings, size_t n, const struct lobe_prior *prior,
                  struct lobe_reading *kept, double *ret_origin, struct sample *s)
{
    size_t count = 0;
    double top, depth;
    int used = 0;

    for (size_t i = 0; i < n && count < LOBE_READINGS; i++) {
        if (isfinite(readings[i].x_deg) && isfinite(readings[i].level) &&
            !(readings[i].level >= prior->saturation)) {
            kept[count++] = readings[i];
        }
    }
    if (count == 0) {
        return 0;
    }
    qsort(kept, count, sizeof *kept, compare_x);
    top = robust_top(kept, count);
    depth = depth_used(kept, count, prior, top);
    *ret_origin = 0.5 * (kept[0].x_deg + kept[count - 1].x_deg);
    for (size_t i = 0; i < count; i++) {
        if (count <= 4 || kept[i].level >= top - depth) {
            s[used++] = (struct sample){.u = kept[i].x_deg - *ret_origin, .level = kept[i].level};
        }
    }
    return used;
}

/* --- the fit -------------------------------------------------------------------------------- */

/* Standard error of the vertex u0 = -b / 2c, by the delta method on the weighted normal matrix. */
static double vertex_error(const struct sample *s, int n, const struct parabola *p, double sd,
                           bool free)
{
    struct sums t = add_up(s, n);
    double u0 = -0.5 * p->b / p->c;
    double centred_uu = t.uu - t.u * t.u / t.w;

    if (!free) {
        return sd / (2.0 * fabs(p->c) * sqrt(centred_uu));
    }
    double mean = t.u / t.w;
    /* moments about the mean; nearly even spacing makes the cubic one small */
    double m2 = 0.0, m3 = 0.0, m4 = 0.0, slope, d;
    for (int i = 0; i < n; i++) {
        double u = s[i].u - mean;
        m2 += s[i].weight * u * u;
        m3 += s[i].weight * u * u * u;
        m4 += s[i].weight * u * u * u * u;
    }
    m4 -= m2 * m2 / t.w;
    d = m2 * m4 - m3 * m3;
    slope = 2.0 * (u0 - mean);
    return sd * sqrt((m4 + slope * slope * m2 - 2.0 * slope * m3) / d) / (2.0 * fabs(p->c));
}

static bool acceptable(const struct parabola *p, double expected, bool known)
{
    double ratio = p->c / expected;

    return known ? ratio >= narrowest && ratio <= widest : p->c < 0.0;
}

int lobe_fit(const struct lobe_reading *readings, size_t n, const struct lobe_prior *prior,
             struct lobe_fit *ret)
{
    struct lobe_reading kept[LOBE_READINGS];
    struct sample s[LOBE_READINGS];
    struct parabola p;
    double origin = 0.0, sd, expected = -12.0 / (prior->width_deg * prior->width_deg), u0;
    int used = choose(readings, n, prior, kept, &origin, s);
    bool free = prior->is_db ? used >= 4 : used >= 3;
    bool known = prior->is_db && prior->width_known;

    if (used < 3) {
        return -ENODATA;
    }
    free =
        free && fit_robust(s, used, NAN, prior->noise, &p, &sd) && acceptable(&p, expected, known);
    if (!free) {
        if (!prior->is_db) {
            return -EDOM;
        }
        if (!fit_robust(s, used, expected, prior->noise, &p, &sd)) {
            return -ENODATA;
        }
    }
    u0 = -0.5 * p.b / p.c;
    if (!isfinite(u0) || u0 < s[0].u - 0.6 * prior->width_deg ||
        u0 > s[used - 1].u + 0.6 * prior->width_deg) {
        return -EDOM;
    }
    *ret = (struct lobe_fit){
        .centre_deg = origin + u0,
        .centre_error_deg =
            vertex_error(s, used, &p, isfinite(prior->noise) ? fmax(sd, prior->noise) : sd, free),
        .peak = p.a + 0.5 * p.b * u0,
        .width_deg = prior->is_db ? sqrt(-12.0 / p.c) : prior->width_deg,
        .residual = sd,
        .width_free = free,
        .left_reached = s[0].u<u0 - 0.15 * prior->width_deg, .right_reached = s[used - 1].u> u0 +
                        0.15 * prior->width_deg,
        .used = used,
    };
    for (int i = 0; i < used; i++) {
        ret->rejected += s[i].weight < 0.4;
    }
    return 0;
}
