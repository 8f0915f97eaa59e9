#include "peaking/level_filter.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Smoothing time of the filtered level: shorter than a hand's move, longer than a meter's jitter.
 */
static const double smooth_s = 1.0;
/* Normal distribution: sd = 1.4826 x median absolute deviation; a difference of two has sqrt 2. */
static const double sd_per_mad_of_difference = 1.4826 / 1.41421356;
static const int stuck_run = 6;

void level_filter_init(struct level_filter *filter, double noise, double minimum, double maximum)
{
    *filter = (struct level_filter){
        .noise_given = noise, .minimum = minimum, .maximum = maximum, .level = NAN};
}

/* Reading `back` places before the newest. */
static int slot(const struct level_filter *filter, int back)
{
    return (filter->next + LEVEL_FILTER_WINDOW - 1 - back) % LEVEL_FILTER_WINDOW;
}

static double median_of_three(double a, double b, double c)
{
    return fmax(fmin(a, b), fmin(fmax(a, b), c));
}

double level_filter_push(struct level_filter *filter, double t, double value)
{
    double middle = value, age;

    if (!isfinite(value)) {
        return filter->level;
    }
    filter->t[filter->next] = t;
    filter->value[filter->next] = value;
    filter->next = (filter->next + 1) % LEVEL_FILTER_WINDOW;
    if (filter->count < LEVEL_FILTER_WINDOW) {
        filter->count++;
    }
    if (filter->count >= 3) {
        middle =
            median_of_three(value, filter->value[slot(filter, 1)], filter->value[slot(filter, 2)]);
    }
    age = filter->count >= 2 ? t - filter->t[slot(filter, 1)] : INFINITY;
    if (!isfinite(filter->level) || age > 10.0 * smooth_s) {
        filter->level = middle;
    } else {
        filter->level += (1.0 - exp(-fmax(age, 0.0) / smooth_s)) * (middle - filter->level);
    }
    return filter->level;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double median(double *values, int n)
{
    qsort(values, (size_t)n, sizeof *values, compare);
    return n % 2 ? values[n / 2] : 0.5 * (values[n / 2 - 1] + values[n / 2]);
}

double level_filter_noise(const struct level_filter *filter)
{
    double differences[LEVEL_FILTER_WINDOW];
    int n = filter->count - 1;

    if (isfinite(filter->noise_given)) {
        return filter->noise_given;
    }
    if (filter->count < 8) {
        return NAN;
    }
    for (int i = 0; i < n; i++) {
        differences[i] = fabs(filter->value[slot(filter, i)] - filter->value[slot(filter, i + 1)]);
    }
    return sd_per_mad_of_difference * median(differences, n);
}

double level_filter_period_s(const struct level_filter *filter)
{
    double periods[LEVEL_FILTER_WINDOW];
    int n = filter->count - 1;

    if (filter->count < 3) {
        return NAN;
    }
    for (int i = 0; i < n; i++) {
        periods[i] = filter->t[slot(filter, i)] - filter->t[slot(filter, i + 1)];
    }
    return median(periods, n);
}

bool level_filter_saturated(const struct level_filter *filter)
{
    double newest;
    int run = 0;

    if (filter->count == 0) {
        return false;
    }
    newest = filter->value[slot(filter, 0)];
    if (newest >= filter->maximum || newest <= filter->minimum) {
        return true;
    }
    while (run < filter->count && filter->value[slot(filter, run)] == newest) {
        run++;
    }
    return run >= stuck_run && run < filter->count;
}
