#include "peaking/change.h"

#include <math.h>

static const double false_alarm_every_s = 600.0;
static const double assumed_period_s = 0.5;
/* The mean path overshoots both ends by this many sd (Siegmund). */
static const double overshoot = 1.166;

/* Mean readings to a false alarm at threshold h (in sd) with allowance k (in sd). */
static double false_alarm_readings(double h, double k)
{
    double b = h + overshoot;

    return (exp(2.0 * k * b) - 2.0 * k * b - 1.0) / (2.0 * k * k);
}

void change_init(struct change *change, double reference, double noise, double fall,
                 double period_s)
{
    double wanted = false_alarm_every_s / (period_s > 0.0 ? period_s : assumed_period_s);
    double k = 0.5 * fall / noise, low = 0.0, high = 100.0;

    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        if (false_alarm_readings(middle, k) < wanted) {
            low = middle;
        } else {
            high = middle;
        }
    }
    /* never so low that a single ordinary reading could ring it */
    *change = (struct change){
        .reference = reference,
        .allowance = 0.5 * fall,
        .threshold = fmax(high, 1.0) * noise,
    };
}

bool change_push(struct change *change, double value)
{
    if (isfinite(value)) {
        double low = change->reference - value - change->allowance;
        /* no debt beyond twice the threshold, so that the end of a fall is soon seen */
        change->sum = fmin(fmax(0.0, change->sum + low), 2.0 * change->threshold);
    }
    return change->sum > change->threshold;
}
