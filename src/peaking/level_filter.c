#include "peaking/level_filter.h"

#include <math.h>
#include <string.h>

#include "peaking/robust.h"

/* Levels that come slower are typed in, or follow a break: each stands for itself. */
static const double gap_s = 4.0;
static const double wild = 4.0; /* sd off both neighbours */
/* Half-width of the intervals that have to meet, in standard errors. */
static const double interval = 2.0;
static const double sure_errors = 2.0;
static const int shortest = 3, fewest = 8;
static const int stuck_run = 6;

/* Of numbers; fmin() and fmax() also mind NaN, which takes a call for each. */
static double less(double a, double b)
{
    return a < b ? a : b;
}

static double greater(double a, double b)
{
    return a > b ? a : b;
}

void level_filter_init(struct level_filter *filter, double noise, double minimum, double maximum)
{
    *filter = (struct level_filter){
        .noise_given = noise, .minimum = minimum, .maximum = maximum, .level = NAN, .error = NAN};
    for (int i = 0; i < LEVEL_FILTER_WINDOW; i++) {
        filter->roots[i] = sqrt(i + 1);
    }
}

/* --- the window ------------------------------------------------------------------------------ */

static double bend_of(const double *values)
{
    return fabs(values[0] - 2.0 * values[1] + values[2]);
}

/* Where a size has its place: how many are less. */
static int place_of(const struct level_filter *filter, double bend)
{
    int place = 0;

    for (int i = 0; i < filter->bend_count; i++) {
        place += filter->bends[i] < bend;
    }
    return place;
}

static void drop_bend(struct level_filter *filter, double bend)
{
    int place = place_of(filter, bend);

    filter->bend_count--;
    memmove(filter->bends + place, filter->bends + place + 1,
            (size_t)(filter->bend_count - place) * sizeof *filter->bends);
}

static void add_bend(struct level_filter *filter, double bend)
{
    int place = place_of(filter, bend);

    memmove(filter->bends + place + 1, filter->bends + place,
            (size_t)(filter->bend_count - place) * sizeof *filter->bends);
    filter->bends[place] = bend;
    filter->bend_count++;
}

static void put_first(double newest_first[LEVEL_FILTER_WINDOW], double value)
{
    memmove(newest_first + 1, newest_first, (LEVEL_FILTER_WINDOW - 1) * sizeof *newest_first);
    newest_first[0] = value;
}

static void put(struct level_filter *filter, double t, double value)
{
    if (filter->count > 0 && t - filter->t[0] > gap_s) {
        filter->count = filter->bend_count = 0;
    }
    if (filter->count == LEVEL_FILTER_WINDOW) {
        drop_bend(filter, bend_of(filter->value + LEVEL_FILTER_WINDOW - 3));
        filter->count--;
    }
    put_first(filter->t, t);
    put_first(filter->value, value);
    filter->count++;
    if (filter->count >= 3) {
        add_bend(filter, bend_of(filter->value));
    }
}

/* --- the level ------------------------------------------------------------------------------- */

/* The readings, a wild one replaced by what its neighbours say. At least three. */
static void calm(const struct level_filter *filter, double noise,
                 double ret_values[LEVEL_FILTER_WINDOW])
{
    const double *value = filter->value;
    int last = filter->count - 1;

    for (int i = 1; i < LEVEL_FILTER_WINDOW - 1; i++) {
        double high = greater(value[i - 1], value[i + 1]), low = less(value[i - 1], value[i + 1]);
        double middle = greater(low, less(high, value[i]));
        ret_values[i] = fabs(value[i] - middle) > wild * noise ? middle : value[i];
    }
    ret_values[LEVEL_FILTER_WINDOW - 1] = value[LEVEL_FILTER_WINDOW - 1];
    double newest = robust_middle(value[0], value[1], value[2]);
    double oldest = robust_middle(value[last], value[last - 1], value[last - 2]);
    ret_values[0] = fabs(value[0] - newest) > wild * noise ? newest : value[0];
    ret_values[last] = fabs(value[last] - oldest) > wild * noise ? oldest : value[last];
}

/* As numbers with a point: so two of them are divided by at once. */
static const double counts[LEVEL_FILTER_WINDOW] = {
    1,  2,  3,  4,  5,  6,  7,  8,  9,  10, 11, 12, 13, 14, 15, 16,
    17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31, 32,
};

/* The longest mean of newest readings whose interval still meets those of all shorter ones. */
static void settle_within(struct level_filter *filter, double noise)
{
    double values[LEVEL_FILTER_WINDOW], means[LEVEL_FILTER_WINDOW], errors[LEVEL_FILTER_WINDOW];
    double sum = 0.0, low = -INFINITY, high = INFINITY;

    calm(filter, noise, values);
    /* all of the window, also where nothing is yet: loops of a known length are quicker */
    for (int i = 0; i < LEVEL_FILTER_WINDOW; i++) {
        means[i] = sum += values[i];
    }
    for (int i = 0; i < LEVEL_FILTER_WINDOW; i++) {
        means[i] = means[i] / counts[i];
    }
    for (int i = 0; i < LEVEL_FILTER_WINDOW; i++) {
        errors[i] = noise / filter->roots[i];
    }
    for (int i = shortest - 1; i < filter->count; i++) {
        low = greater(low, means[i] - interval * errors[i]);
        high = less(high, means[i] + interval * errors[i]);
        if (i >= shortest && low > high) {
            break;
        }
        filter->level = means[i];
        filter->error = errors[i];
        filter->used = i + 1;
    }
}

static void settle(struct level_filter *filter)
{
    double noise = level_filter_noise(filter);

    filter->error = NAN;
    if (filter->count < shortest) {
        filter->level = filter->value[0];
        filter->used = 1;
    } else if (isfinite(noise)) {
        settle_within(filter, noise);
    } else {
        filter->level = robust_middle(filter->value[0], filter->value[1], filter->value[2]);
        filter->used = shortest;
    }
}

double level_filter_push(struct level_filter *filter, double t, double value)
{
    if (isfinite(value)) {
        put(filter, t, value);
        settle(filter);
    }
    return filter->level;
}

double level_filter_sure(const struct level_filter *filter)
{
    double least = filter->level;

    if (isfinite(filter->error)) {
        return filter->level - sure_errors * filter->error;
    }
    for (int i = 0; i < filter->count && i < shortest; i++) {
        least = less(least, filter->value[i]);
    }
    return least;
}

double level_filter_middle_t(const struct level_filter *filter)
{
    double sum = 0.0;

    for (int i = 0; i < filter->used; i++) {
        sum += filter->t[i];
    }
    return filter->used > 0 ? sum / filter->used : NAN;
}

/*
 * How many times the meter sends each reading: the shortest run of equal ones, if several runs say
 * so. Equal readings of a coarse meter come in runs of any length, one included.
 */
static int sent_times(const struct level_filter *filter)
{
    int run = 1, runs = 0, least = LEVEL_FILTER_WINDOW;

    for (int i = 1; i < filter->count && least > 1; i++) {
        if (filter->value[i] == filter->value[i - 1]) {
            run++;
            continue;
        }
        /* the newest run is not over yet */
        if (runs++ > 0 && run < least) {
            least = run;
        }
        run = 1;
    }
    return runs >= 4 ? least : 1;
}

/* What belongs to the readings that are new, newest first: their values or times; how many. */
static int take_new(const struct level_filter *filter, const double *of, double *ret_new)
{
    int n = 0;

    if (sent_times(filter) == 1) {
        memcpy(ret_new, of, (size_t)filter->count * sizeof *of);
        return filter->count;
    }
    for (int i = 0; i < filter->count; i++) {
        if (i == 0 || filter->value[i] != filter->value[i - 1]) {
            ret_new[n++] = of[i];
        }
    }
    return n;
}

double level_filter_step(const struct level_filter *filter)
{
    double least = INFINITY;

    for (int i = 1; i < filter->count; i++) {
        double step = fabs(filter->value[i] - filter->value[i - 1]);
        if (step > 0.0) {
            least = less(least, step);
        }
    }
    return isfinite(least) ? least : NAN;
}

/* The middle one of the sizes of second differences of the readings that are new; NaN = too few. */
static double middle_bend(const struct level_filter *filter)
{
    double values[LEVEL_FILTER_WINDOW], bends[LEVEL_FILTER_WINDOW];
    int n = filter->bend_count;

    if (sent_times(filter) == 1) {
        return n == 0  ? NAN
               : n % 2 ? filter->bends[n / 2]
                       : 0.5 * (filter->bends[n / 2 - 1] + filter->bends[n / 2]);
    }
    n = take_new(filter, filter->value, values);
    for (int i = 0; i + 2 < n; i++) {
        bends[i] = bend_of(values + i);
    }
    return n < 3 ? NAN : robust_median(bends, (size_t)(n - 2));
}

/* The spread, or what the meter's least step makes if that is more; NaN when all are equal. */
static double with_steps(const struct level_filter *filter, double spread)
{
    double least = INFINITY;

    for (int i = 1; i < filter->count; i++) {
        double step = fabs(filter->value[i] - filter->value[i - 1]);
        if (step > 0.0) {
            if (step / sqrt(12.0) <= spread) {
                return spread; /* so does the least one */
            }
            least = less(least, step);
        }
    }
    return isfinite(least) ? least / sqrt(12.0) : NAN;
}

double level_filter_noise(const struct level_filter *filter)
{
    double spread;

    if (isfinite(filter->noise_given)) {
        return filter->noise_given;
    }
    spread = filter->count < fewest ? NAN : robust_sd(middle_bend(filter)) / sqrt(6.0);
    return isnan(spread) ? NAN : with_steps(filter, spread);
}

double level_filter_period_s(const struct level_filter *filter)
{
    double times[LEVEL_FILTER_WINDOW], periods[LEVEL_FILTER_WINDOW];
    int n = take_new(filter, filter->t, times);

    if (n < 3) {
        return NAN;
    }
    for (int i = 0; i + 1 < n; i++) {
        periods[i] = times[i] - times[i + 1];
    }
    return robust_median(periods, (size_t)(n - 1));
}

bool level_filter_saturated(const struct level_filter *filter)
{
    double newest;
    int run = 0;

    if (filter->count == 0) {
        return false;
    }
    newest = filter->value[0];
    if (newest >= filter->maximum || newest <= filter->minimum) {
        return true;
    }
    while (run < filter->count && filter->value[run] == newest) {
        run++;
    }
    return run >= stuck_run && run < filter->count;
}
