#include "peaking/lobe_readings.h"

#include <math.h>

#include "peaking/robust.h"

static const size_t clip_run = 4;
static const double place_widths = 0.02;

static void insert(struct lobe_readings *kept, struct lobe_reading reading)
{
    size_t i = kept->count++;

    /* a hand moves one way for long: readings arrive nearly sorted, or nearly reversed */
    while (i > 0 && kept->at[i - 1].x_deg > reading.x_deg) {
        kept->at[i] = kept->at[i - 1];
        i--;
    }
    kept->at[i] = reading;
}

static bool repeats_below(const struct lobe_readings *kept, double top)
{
    size_t repeated = 0, below = 0;

    for (size_t i = 0; i < kept->count; i++) {
        bool again = false;
        if (kept->at[i].level == top) {
            continue;
        }
        below++;
        for (size_t j = 0; j < i && !again; j++) {
            again = kept->at[j].level == kept->at[i].level;
        }
        repeated += again;
    }
    return 2 * repeated > below;
}

/* Level of a flat top in otherwise finely graded readings; INFINITY = there is none. */
static double clip_level(const struct lobe_readings *kept)
{
    double top = -INFINITY;
    size_t run = 0, longest = 0;

    for (size_t i = 0; i < kept->count; i++) {
        top = fmax(top, kept->at[i].level);
    }
    for (size_t i = 0; i < kept->count; i++) {
        run = kept->at[i].level == top ? run + 1 : 0;
        longest = run > longest ? run : longest;
    }
    if (longest < clip_run || longest == kept->count || repeats_below(kept, top)) {
        return INFINITY;
    }
    return top;
}

static void drop_clipped(struct lobe_readings *kept, double level)
{
    size_t left = 0;

    for (size_t i = 0; i < kept->count; i++) {
        if (kept->at[i].level < level) {
            kept->at[left++] = kept->at[i];
        }
    }
    kept->clipped = kept->count - left;
    kept->count = left;
}

void lobe_readings_take(struct lobe_readings *kept, const struct lobe_reading *readings, size_t n,
                        const struct lobe_prior *prior, bool keep_clipped)
{
    kept->count = 0;
    kept->clipped = 0;
    for (size_t i = n > LOBE_READINGS ? n - LOBE_READINGS : 0; i < n; i++) {
        if (isfinite(readings[i].x_deg) && isfinite(readings[i].level)) {
            insert(kept, readings[i]);
        }
    }
    if (!keep_clipped) {
        drop_clipped(kept, isfinite(prior->saturation) ? prior->saturation : clip_level(kept));
    }
}

double lobe_readings_smooth(const struct lobe_readings *kept, size_t i)
{
    double near[7];
    /* several wild ones side by side are met only among many */
    size_t n = kept->count < 5 ? 1 : kept->count < 15 ? 3 : kept->count < 40 ? 5 : 7;
    size_t first = i < n / 2 ? 0 : i - n / 2;

    first = first + n > kept->count ? kept->count - n : first;
    for (size_t k = 0; k < n; k++) {
        near[k] = kept->at[first + k].level;
    }
    return robust_median(near, n);
}

size_t lobe_readings_top(const struct lobe_readings *kept)
{
    size_t top = 0;

    for (size_t i = 1; i < kept->count; i++) {
        if (lobe_readings_smooth(kept, i) > lobe_readings_smooth(kept, top)) {
            top = i;
        }
    }
    return top;
}

int lobe_readings_places(const struct lobe_readings *kept, size_t first, size_t last,
                         double width_deg)
{
    double x = kept->at[first].x_deg;
    int places = 1;

    for (size_t i = first + 1; i <= last && places < 4; i++) {
        if (kept->at[i].x_deg - x > place_widths * width_deg) {
            x = kept->at[i].x_deg;
            places++;
        }
    }
    return places;
}

/* Fourth differences: of a parabola they vanish, so that only the noise is left. */
double lobe_readings_noise(const struct lobe_readings *kept)
{
    static const double by[] = {1.0, -4.0, 6.0, -4.0, 1.0};
    double differences[LOBE_READINGS];
    size_t n = kept->count - 4;

    if (kept->count < 12) {
        return NAN;
    }
    for (size_t i = 0; i < n; i++) {
        differences[i] = 0.0;
        for (size_t k = 0; k < 5; k++) {
            differences[i] += by[k] * kept->at[i + k].level;
        }
    }
    return robust_spread(differences, n) / sqrt(1.0 + 16.0 + 36.0 + 16.0 + 1.0);
}
