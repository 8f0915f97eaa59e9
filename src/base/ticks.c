#include "base/ticks.h"

#include <math.h>

double ticks_round_step(double span, int most)
{
    double power, part;

    if (!(span > 0.0) || !isfinite(span) || most < 1) {
        return 1.0;
    }
    power = pow(10.0, floor(log10(span / most)));
    part = span / most / power;
    /* a hair of slack: 0.3 / 3 is not quite 0.1 */
    return power * (part <= 1.0 + 1e-9   ? 1.0
                    : part <= 2.0 + 1e-9 ? 2.0
                    : part <= 5.0 + 1e-9 ? 5.0
                                         : 10.0);
}

void ticks_round_edges(double low, double high, double least, int most_ticks, double *ret_low,
                       double *ret_high, double *ret_step)
{
    double step;

    if (!isfinite(low) || !isfinite(high)) {
        low = high = 0.0;
    }
    if (high - low < least) {
        double middle = 0.5 * (low + high);
        low = middle - 0.5 * least;
        high = middle + 0.5 * least;
    }
    step = ticks_round_step(high - low, most_ticks);
    /* round edges lie further apart than the values: that may take a larger step */
    while (ceil(high / step - 1e-9) - floor(low / step + 1e-9) > fmax(most_ticks, 2.0)) {
        step = ticks_round_step(step * 1.5, 1);
    }
    *ret_low = floor(low / step + 1e-9) * step;
    *ret_high = ceil(high / step - 1e-9) * step;
    *ret_step = step;
}

int ticks_decimals(double step)
{
    int decimals = (int)ceil(-log10(step) - 1e-9);

    return decimals < 0 ? 0 : decimals > 6 ? 6 : decimals;
}
