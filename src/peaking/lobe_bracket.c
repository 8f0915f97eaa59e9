#include <errno.h>
#include <math.h>

#include "peaking/lobe.h"
#include "peaking/lobe_readings.h"
#include "peaking/robust.h"

static const double wild = 5.0;      /* sd off its neighbours' median */
static const double certain = 4.0;   /* sd of fall that make a side reached */
static const double inflation = 1.3; /* a monotone curve against the shape known (tests/bench) */
/* Levels used, between what both sides reach and the top: clear of the floor and of the flat top.
 */
static const double lowest = 0.2, highest = 0.85;
static const size_t few = 9, many = 20;
enum { LEVELS = 16 };

/* A run of readings taken together: a step of the monotone curve. */
struct block {
    double level, weight;
    double first_x, last_x;
};

struct curve {
    struct block block[LOBE_READINGS];
    size_t count;
    double misfit; /* sum of squares */
};

/* One more reading behind a curve that must not fall: pool while it would. */
static void push(struct curve *curve, double x, double level)
{
    struct block *b = curve->block;

    b[curve->count++] = (struct block){level, 1.0, x, x};
    while (curve->count > 1 && b[curve->count - 2].level > b[curve->count - 1].level) {
        struct block *low = &b[curve->count - 2], *high = &b[curve->count - 1];
        double weight = low->weight + high->weight, gap = low->level - high->level;
        curve->misfit += low->weight * high->weight / weight * gap * gap;
        low->level = (low->weight * low->level + high->weight * high->level) / weight;
        low->weight = weight;
        low->last_x = high->last_x;
        curve->count--;
    }
}

/* The readings from one end up to the top: way +1 from the left, -1 from the right. */
static void climb(const struct lobe_readings *kept, int way, size_t steps, struct curve *ret)
{
    ret->count = 0;
    ret->misfit = 0.0;
    for (size_t i = 0; i < steps; i++) {
        size_t at = way > 0 ? i : kept->count - 1 - i;
        push(ret, kept->at[at].x_deg, kept->at[at].level);
    }
}

/* Index of the top: where rising and falling curves, divided there, fit best together. */
static size_t find_top(const struct lobe_readings *kept, struct curve *curve)
{
    double misfit[LOBE_READINGS + 1] = {0};
    size_t best = 0;

    curve->count = 0;
    curve->misfit = 0.0;
    for (size_t i = 0; i < kept->count; i++) {
        push(curve, kept->at[i].x_deg, kept->at[i].level);
        misfit[i + 1] = curve->misfit;
    }
    curve->count = 0;
    curve->misfit = 0.0;
    for (size_t i = kept->count; i-- > 0;) {
        push(curve, kept->at[i].x_deg, kept->at[i].level);
        misfit[i] += curve->misfit;
    }
    for (size_t i = 1; i <= kept->count; i++) {
        best = misfit[i] < misfit[best] ? i : best;
    }
    /* the higher one of the two beside the division is the top, and belongs to both flanks */
    if (best == kept->count || (best > 0 && kept->at[best - 1].level > kept->at[best].level)) {
        best--;
    }
    return best;
}

/* Where a climbing curve passes a level; NaN when it starts above it or ends below. */
static double crossing(const struct curve *curve, double level)
{
    for (size_t i = 1; i < curve->count; i++) {
        const struct block *low = &curve->block[i - 1], *high = &curve->block[i];
        if (low->level <= level && level < high->level) {
            double part = (level - low->level) / (high->level - low->level);
            return low->last_x + part * (high->first_x - low->last_x);
        }
    }
    return NAN;
}

/*
 * What the neighbours of reading i say of it, readings being sparse: their mean, a line through
 * those to either side, a parabola, whichever comes nearest to what it is itself. So neither a
 * slope nor a top nor a wild neighbour makes a good reading look wild.
 */
static double expected_of_few(const struct lobe_readings *kept, size_t i)
{
    const struct lobe_reading *at = kept->at;
    double here = at[i].level, nearest = INFINITY, said[5];
    size_t n = 0;

    if (i >= 1 && i + 1 < kept->count) {
        said[n++] = 0.5 * (at[i - 1].level + at[i + 1].level);
    }
    if (i >= 3) {
        said[n++] = 2.0 * at[i - 1].level - at[i - 2].level;
        said[n++] = 3.0 * at[i - 1].level - 3.0 * at[i - 2].level + at[i - 3].level;
    }
    if (i + 3 < kept->count) {
        said[n++] = 2.0 * at[i + 1].level - at[i + 2].level;
        said[n++] = 3.0 * at[i + 1].level - 3.0 * at[i + 2].level + at[i + 3].level;
    }
    for (size_t k = 0; k < n; k++) {
        if (fabs(said[k] - here) < fabs(nearest - here)) {
            nearest = said[k];
        }
    }
    return nearest;
}

/* Readings being dense: the median of five, which two wild ones side by side do not move; at the
 * ends, where reading i is not in the middle of them, moved on by the usual step. */
static double expected_of_many(const struct lobe_readings *kept, size_t i)
{
    size_t first = i < 2 ? 0 : i - 2;
    double near[5], steps[4], step;

    first = first + 5 > kept->count ? kept->count - 5 : first;
    for (size_t k = 0; k < 5; k++) {
        near[k] = kept->at[first + k].level;
    }
    for (size_t k = 0; k < 4; k++) {
        steps[k] = near[k + 1] - near[k];
    }
    step = robust_median(steps, 4);
    return robust_median(near, 5) + step * ((double)i - (double)(first + 2));
}

/* Wild readings become what their neighbours say. Returns how many. */
static int calm(struct lobe_readings *kept, double noise)
{
    double calmed[LOBE_READINGS];
    int wilds = 0;

    if (kept->count < few || !(noise > 0.0)) {
        return 0;
    }
    for (size_t i = 0; i < kept->count; i++) {
        double said = kept->count < many ? expected_of_few(kept, i) : expected_of_many(kept, i);
        bool is_wild = fabs(kept->at[i].level - said) > wild * noise;
        calmed[i] = is_wild ? said : kept->at[i].level;
        wilds += is_wild;
    }
    for (size_t i = 0; i < kept->count; i++) {
        kept->at[i].level = calmed[i];
    }
    return wilds;
}

/* Monotone steps follow the noise where the fall is not much more: found by trials (tests/bench).
 */
static double shallow_factor(double fall, double noise)
{
    return hypot(1.0, 7.0 * noise / fall);
}

struct flank {
    double near_x, far_x; /* where it passes the highest and the lowest level used */
    int readings;
};

static double shift_variance(const struct flank *flank, double fall)
{
    double slope = fall / fmax(fabs(flank->far_x - flank->near_x), 1e-9);

    return 1.0 / (fmax(flank->readings, 1) * slope * slope);
}

static int count_between(const struct lobe_readings *kept, double a, double b)
{
    int n = 0;

    for (size_t i = 0; i < kept->count; i++) {
        n += kept->at[i].x_deg >= fmin(a, b) && kept->at[i].x_deg <= fmax(a, b);
    }
    return n;
}

/* The middles at levels spread between the lower and the upper end of both flanks. */
static int middles(const struct curve *left, const struct curve *right, double low, double top,
                   double *ret_middle, struct flank *ret_left, struct flank *ret_right)
{
    double sum = 0.0;
    int found = 0;

    for (int k = 0; k < LEVELS; k++) {
        double level = low + (top - low) * (lowest + (highest - lowest) * k / (LEVELS - 1));
        double a = crossing(left, level), b = crossing(right, level);
        if (!isfinite(a) || !isfinite(b)) {
            continue;
        }
        sum += 0.5 * (a + b);
        if (found++ == 0) {
            ret_left->far_x = a;
            ret_right->far_x = b;
        }
        ret_left->near_x = a;
        ret_right->near_x = b;
    }
    if (found < LEVELS / 2) {
        return -EDOM;
    }
    *ret_middle = sum / found;
    return 0;
}

int lobe_bracket(const struct lobe_reading *readings, size_t n, const struct lobe_prior *prior,
                 struct lobe_fit *ret)
{
    struct lobe_readings kept;
    struct curve left, right;
    struct flank from_left, from_right;
    double noise, low, top, middle, residual, half_power;
    size_t summit;
    int wilds;

    lobe_readings_take(&kept, readings, n, prior, true);
    if (kept.count < 3 || lobe_readings_places(&kept, 0, kept.count - 1, prior->width_deg) < 3) {
        return -ENODATA;
    }
    noise = isfinite(prior->noise) ? prior->noise : lobe_readings_noise(&kept);
    wilds = calm(&kept, noise);
    summit = find_top(&kept, &left);
    climb(&kept, 1, summit + 1, &left);
    climb(&kept, -1, kept.count - summit, &right);
    top = fmin(left.block[left.count - 1].level, right.block[right.count - 1].level);
    low = fmax(left.block[0].level, right.block[0].level);
    if (!(top > low) || (isfinite(noise) && top - low < certain * noise) ||
        middles(&left, &right, low, top, &middle, &from_left, &from_right) < 0) {
        return -EDOM;
    }
    from_left.readings = count_between(&kept, from_left.far_x, from_left.near_x);
    from_right.readings = count_between(&kept, from_right.far_x, from_right.near_x);
    residual = sqrt((left.misfit + right.misfit) / (double)kept.count);
    noise = isfinite(noise) ? noise : (residual > 0.0 ? residual : NAN);
    half_power = prior->is_db ? crossing(&right, top - 3.0) - crossing(&left, top - 3.0) : NAN;
    *ret = (struct lobe_fit){
        .centre_deg = middle,
        .centre_error_deg = inflation * shallow_factor(top - low, noise) * 0.5 * noise *
                            sqrt(shift_variance(&from_left, (highest - lowest) * (top - low)) +
                                 shift_variance(&from_right, (highest - lowest) * (top - low))),
        .peak = top,
        .peak_error = noise,
        .width_deg = isfinite(half_power) ? half_power : prior->width_deg,
        .width_seen_deg = half_power,
        .width_seen_error_deg = NAN,
        .residual = residual,
        .bracket = true,
        .left_reached = true,
        .right_reached = true,
        .used = (int)kept.count,
        .rejected = wilds,
    };
    return 0;
}
