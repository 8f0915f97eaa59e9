#include "peaking/change.h"

#include <math.h>

#include "base/known.h"
#include "peaking/robust.h"

static const double usual_every_s = 600.0;
static const double usual_period_s = 0.5;
/* The mean path overshoots both ends by this many sd (Siegmund). */
static const double overshoot = 1.166;
/* What one reading may add at most, of the threshold. */
static const double one_reading = 0.7;
/* Variance of the midmean of normal values against that of their mean. */
static const double midmean_loss = 1.19;

/* Mean readings to an alarm at threshold h with the mean of the readings k below the allowance. */
static double mean_readings(double h, double k)
{
    double b = h + overshoot, e = 2.0 * k * b;

    if (fabs(e) < 1e-4) {
        return b * b;
    }
    return e > 500.0 ? INFINITY : (exp(e) - e - 1.0) / (2.0 * k * k);
}

/*
 * False alarms a reading when the reference is wrong by normal errors of an sd (all in sd of one
 * reading): Gauss-Hermite's five points, Abramowitz and Stegun, table 25.10, from memory.
 */
static double alarm_rate(double h, double k, double reference_error)
{
    static const double place[] = {0.0, 1.3556262, 2.8569700};
    static const double weight[] = {0.5333333, 0.2220759, 0.0112574};
    double rate = weight[0] / mean_readings(h, k);

    for (int i = 1; i < 3; i++) {
        rate += weight[i] / mean_readings(h, k - place[i] * reference_error);
        rate += weight[i] / mean_readings(h, k + place[i] * reference_error);
    }
    return rate;
}

/*
 * Readings that go together are worth fewer: their sum scatters as if each had this noise (variance
 * of the sum of a first-order autoregressive series, any textbook).
 */
static double effective_noise(const struct change_plan *plan)
{
    return plan->noise * sqrt((1.0 + plan->correlation) / (1.0 - plan->correlation));
}

static double threshold_of(const struct change_plan *plan)
{
    double period_s = plan->period_s > 0.0 ? plan->period_s : usual_period_s;
    double wanted = period_s / known_or(plan->false_alarm_every_s, usual_every_s);
    double noise = effective_noise(plan), low = 0.0, high = 200.0;

    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        if (alarm_rate(middle, 0.5 * plan->fall / noise, plan->reference_error / noise) > wanted) {
            low = middle;
        } else {
            high = middle;
        }
    }
    /* never so low that a single ordinary reading could ring it */
    return fmax(high, 1.0) * noise;
}

void change_plan_watch(struct change *change, const struct change_plan *plan)
{
    *change = (struct change){
        .reference = plan->reference,
        .allowance = 0.5 * plan->fall,
        .threshold = threshold_of(plan),
    };
}

/* Adds to a sum, which never falls below zero, nor so high that the end of a fall is seen late. */
static double add(const struct change *change, double sum, double part)
{
    part = fmin(part - change->allowance, one_reading * change->threshold);
    return fmin(fmax(0.0, sum + part), 2.0 * change->threshold);
}

bool change_push(struct change *change, double value)
{
    double low = change->reference - value;

    if (!isfinite(value)) {
        return change->sum > change->threshold;
    }
    change->sum = add(change, change->sum, low);
    change->rise = add(change, change->rise, -low);
    change->below = change->sum > 0.0 ? change->below + low : 0.0;
    change->below_count = change->sum > 0.0 ? change->below_count + 1 : 0;
    return change->sum > change->threshold;
}

bool change_rising(const struct change *change)
{
    return change->rise > change->threshold;
}

double change_fall(const struct change *change)
{
    return change->below_count > 0 ? change->below / change->below_count : 0.0;
}

double change_delay(const struct change_plan *plan, double fall)
{
    double noise = effective_noise(plan);
    double beyond = (fall - 0.5 * plan->fall) / noise;

    return beyond > 0.0 ? mean_readings(threshold_of(plan) / noise, -beyond) : INFINITY;
}

void change_reference_init(struct change_reference *reference)
{
    reference->count = 0;
    reference->next = 0;
}

bool change_reference_push(struct change_reference *reference, double value)
{
    if (isfinite(value)) {
        reference->value[reference->next] = value;
        reference->next = (reference->next + 1) % CHANGE_REFERENCE;
        if (reference->count < CHANGE_REFERENCE) {
            reference->count++;
        }
    }
    return reference->count >= CHANGE_REFERENCE_ENOUGH;
}

double change_reference_level(const struct change_reference *reference)
{
    double sorted[CHANGE_REFERENCE], sum = 0.0;
    int n = reference->count, cut = n / 4;

    if (n == 0) {
        return NAN;
    }
    for (int i = 0; i < n; i++) {
        int k = i;
        for (; k > 0 && sorted[k - 1] > reference->value[i]; k--) {
            sorted[k] = sorted[k - 1];
        }
        sorted[k] = reference->value[i];
    }
    for (int i = cut; i < n - cut; i++) {
        sum += sorted[i];
    }
    return sum / (n - 2 * cut);
}

double change_reference_noise(const struct change_reference *reference)
{
    double off[CHANGE_REFERENCE], level = change_reference_level(reference);

    if (reference->count < 3) {
        return NAN;
    }
    for (int i = 0; i < reference->count; i++) {
        off[i] = reference->value[i] - level;
    }
    return robust_spread(off, (size_t)reference->count);
}

double change_reference_error(const struct change_reference *reference)
{
    return change_reference_noise(reference) * sqrt(midmean_loss / reference->count);
}
