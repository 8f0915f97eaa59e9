#include "peaking/level_filter.h"

#include <math.h>

#include "peaking/robust.h"

/* Levels that come slower are typed in, or follow a break: each stands for itself. */
static const double gap_s = 4.0;
static const double wild = 4.0; /* sd off both neighbours */
/* Half-width of the intervals that have to meet, in standard errors. */
static const double interval = 2.0;
static const double sure_errors = 2.0;
static const int shortest = 3, fewest = 8;
static const int stuck_run = 6;

void level_filter_init(struct level_filter *filter, double noise, double minimum, double maximum)
{
    *filter = (struct level_filter){
        .noise_given = noise, .minimum = minimum, .maximum = maximum, .level = NAN, .error = NAN};
}

/* Reading `back` places before the newest. */
static int slot(const struct level_filter *filter, int back)
{
    return (filter->next + LEVEL_FILTER_WINDOW - 1 - back) % LEVEL_FILTER_WINDOW;
}

static double value_at(const struct level_filter *filter, int back)
{
    return filter->value[slot(filter, back)];
}

static double time_at(const struct level_filter *filter, int back)
{
    return filter->t[slot(filter, back)];
}

/* Reading `back`, or what its neighbours say if it is a wild one. */
static double calm(const struct level_filter *filter, int back, double noise)
{
    int first = back == 0 ? 0 : back - 1;
    double value = value_at(filter, back), middle;

    if (filter->count < 3) {
        return value;
    }
    first = first + 3 > filter->count ? filter->count - 3 : first;
    middle = robust_middle(value_at(filter, first), value_at(filter, first + 1),
                           value_at(filter, first + 2));
    return !isfinite(noise) || fabs(value - middle) > wild * noise ? middle : value;
}

/* The longest mean of newest readings whose interval still meets those of all shorter ones. */
static void settle(struct level_filter *filter)
{
    double noise = level_filter_noise(filter);
    double sum = 0.0, low = -INFINITY, high = INFINITY;

    filter->error = NAN;
    if (!isfinite(noise) || filter->count < shortest) {
        filter->level = calm(filter, 0, NAN);
        return;
    }
    for (int n = 1; n <= filter->count; n++) {
        double error = noise / sqrt(n);
        sum += calm(filter, n - 1, noise);
        if (n < shortest) {
            continue;
        }
        low = fmax(low, sum / n - interval * error);
        high = fmin(high, sum / n + interval * error);
        if (n > shortest && low > high) {
            break;
        }
        filter->level = sum / n;
        filter->error = error;
    }
}

double level_filter_push(struct level_filter *filter, double t, double value)
{
    if (!isfinite(value)) {
        return filter->level;
    }
    if (filter->count > 0 && t - time_at(filter, 0) > gap_s) {
        filter->count = 0;
    }
    filter->t[filter->next] = t;
    filter->value[filter->next] = value;
    filter->next = (filter->next + 1) % LEVEL_FILTER_WINDOW;
    if (filter->count < LEVEL_FILTER_WINDOW) {
        filter->count++;
    }
    settle(filter);
    return filter->level;
}

double level_filter_sure(const struct level_filter *filter)
{
    double least = filter->level;

    if (isfinite(filter->error)) {
        return filter->level - sure_errors * filter->error;
    }
    for (int i = 0; i < filter->count && i < shortest; i++) {
        least = fmin(least, value_at(filter, i));
    }
    return least;
}

/*
 * How many times the meter sends each reading: the shortest run of equal ones, if several runs say
 * so. Equal readings of a coarse meter come in runs of any length, one included.
 */
static int sent_times(const struct level_filter *filter)
{
    int run = 1, runs = 0, least = LEVEL_FILTER_WINDOW;

    for (int i = 1; i < filter->count; i++) {
        if (value_at(filter, i) == value_at(filter, i - 1)) {
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

/* Indices (places back) of the readings that are new, newest first; returns how many. */
static int new_readings(const struct level_filter *filter, int *back)
{
    int times = sent_times(filter), n = 0;

    for (int i = 0; i < filter->count; i++) {
        if (times == 1 || i == 0 || value_at(filter, i) != value_at(filter, i - 1)) {
            back[n++] = i;
        }
    }
    return n;
}

double level_filter_step(const struct level_filter *filter)
{
    double least = INFINITY;

    for (int i = 1; i < filter->count; i++) {
        double step = fabs(value_at(filter, i) - value_at(filter, i - 1));
        if (step > 0.0) {
            least = fmin(least, step);
        }
    }
    return isfinite(least) ? least : NAN;
}

double level_filter_noise(const struct level_filter *filter)
{
    double differences[LEVEL_FILTER_WINDOW], step;
    int back[LEVEL_FILTER_WINDOW], n;

    if (isfinite(filter->noise_given)) {
        return filter->noise_given;
    }
    n = new_readings(filter, back);
    step = level_filter_step(filter);
    if (filter->count < fewest || n < 3 || isnan(step)) {
        return NAN;
    }
    for (int i = 0; i + 2 < n; i++) {
        differences[i] = value_at(filter, back[i]) - 2.0 * value_at(filter, back[i + 1]) +
                         value_at(filter, back[i + 2]);
    }
    return fmax(robust_spread(differences, (size_t)(n - 2)) / sqrt(6.0), step / sqrt(12.0));
}

double level_filter_period_s(const struct level_filter *filter)
{
    double periods[LEVEL_FILTER_WINDOW];
    int back[LEVEL_FILTER_WINDOW], n = new_readings(filter, back);

    if (n < 3) {
        return NAN;
    }
    for (int i = 0; i + 1 < n; i++) {
        periods[i] = time_at(filter, back[i]) - time_at(filter, back[i + 1]);
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
    newest = value_at(filter, 0);
    if (newest >= filter->maximum || newest <= filter->minimum) {
        return true;
    }
    while (run < filter->count && value_at(filter, run) == newest) {
        run++;
    }
    return run >= stuck_run && run < filter->count;
}
