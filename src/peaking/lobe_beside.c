#include "peaking/lobe_beside.h"

#include <math.h>
#include <stdbool.h>

/* Readings within so many widths of the middle and so many dB of the top count. */
static const double window_widths = 0.6, window_db = 7.0;
/* s in the formula: none, and 0 to 18 dB over the noise. */
static const double strengths[] = {0.0, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0};
/* Curvature against the expected one, 1 sd: in dB, and where the unit is only roughly known. */
static const double curvature_sd = 0.25, rough_curvature_sd = 0.5;
static const double wild = 3.0; /* sd: what is further off counts as much as that */
static const double least_noise_db = 0.05;
static const double full_curvature = 12.0, half_pi = 1.5707963267948966;
static const size_t fewest = 12;
static const double places = 0.2, place_step = 0.0125; /* looked at to both sides, widths */
/* How far neighbours pull a parabola's top, 1 sd: where few readings tell little it stays there. */
static const double pulled = 0.08;
enum { STRENGTHS = sizeof strengths / sizeof *strengths, PLACES = 33 };

struct work {
    const struct lobe_prior *prior;
    size_t n;
    double d[LOBE_READINGS], level_db[LOBE_READINGS];
    double gain[LOBE_NEIGHBOURS][LOBE_READINGS]; /* toward the neighbours, with the middle there */
    double noise_db;
};

/*
 * A lobe down to its first null: a power of a cosine, with the null where a tapered dish has
 * it, 1.23 widths off, and half the power at half a width. Against the aperture's Fourier transform
 * 0.05 dB off down to 4 dB, 0.4 to 9, 1.6 to 15.
 */
static double lobe_gain(double widths)
{
    return widths < 1.23 ? pow(cos(half_pi * widths / 1.23), 3.16) : 0.0;
}

static bool prepare(struct work *work, const struct lobe_readings *kept, double near_deg)
{
    const struct lobe_prior *prior = work->prior;
    double highest = -INFINITY;

    for (size_t i = 0; i < kept->count; i++) {
        highest = fmax(highest, lobe_readings_smooth(kept, i) / prior->unit_per_db);
    }
    for (size_t i = 0; i < kept->count; i++) {
        double d = (kept->at[i].x_deg - near_deg) / prior->width_deg;
        double level = kept->at[i].level / prior->unit_per_db;
        if (fabs(d) <= window_widths && level >= highest - window_db) {
            work->d[work->n] = d;
            work->level_db[work->n++] = level;
        }
    }
    return work->n >= fewest;
}

static void look_at_neighbours(struct work *work, double middle)
{
    for (int k = 0; k < work->prior->near_count; k++) {
        const struct lobe_neighbour *it = &work->prior->near[k];
        for (size_t i = 0; i < work->n; i++) {
            work->gain[k][i] = lobe_gain(hypot(it->along + middle - work->d[i], it->across));
        }
    }
}

/*
 * How far all readings are off, in squared sd: the middle and the strengths given, height and
 * curvature by least squares, the curvature about the expected one.
 */
static double misfit(const struct work *work, double middle, const double *strength)
{
    double sd = work->prior->is_db ? curvature_sd : rough_curvature_sd;
    double belief = work->noise_db * work->noise_db / (sd * sd);
    double value[LOBE_READINGS], x[LOBE_READINGS];
    double sx = 0.0, sy = 0.0, sxx = belief, sxy = belief, n = (double)work->n;
    double height, curvature, sum;

    for (size_t i = 0; i < work->n; i++) {
        double off = work->d[i] - middle, others = 1.0;
        for (int k = 0; k < work->prior->near_count; k++) {
            others += strength[k] * work->gain[k][i];
        }
        value[i] = work->level_db[i] + 10.0 * log10(others);
        x[i] = -full_curvature * off * off;
        sx += x[i];
        sy += value[i];
        sxx += x[i] * x[i];
        sxy += x[i] * value[i];
    }
    curvature = (sxy - sx * sy / n) / (sxx - sx * sx / n);
    height = (sy - curvature * sx) / n;
    sum = (curvature - 1.0) * (curvature - 1.0) / (sd * sd);
    for (size_t i = 0; i < work->n; i++) {
        double z = (value[i] - height - curvature * x[i]) / work->noise_db;
        sum += fmin(z * z, wild * wild);
    }
    return sum;
}

/* The mean of all middles, by how well they explain the readings. */
static double average(struct work *work)
{
    double misfits[PLACES][STRENGTHS][STRENGTHS], least = INFINITY, sum = 0.0, weights = 0.0, per;
    int others = work->prior->near_count > 1 ? STRENGTHS : 1;

    for (int p = 0; p < PLACES; p++) {
        double middle = place_step * p - places;
        look_at_neighbours(work, middle);
        for (int a = 0; a < STRENGTHS; a++) {
            for (int b = 0; b < others; b++) {
                double strength[LOBE_NEIGHBOURS] = {strengths[a], strengths[b]};
                misfits[p][a][b] = misfit(work, middle, strength);
                least = fmin(least, misfits[p][a][b]);
            }
        }
    }
    per = fmax(1.0, least / (double)(work->n - 3));
    for (int p = 0; p < PLACES; p++) {
        for (int a = 0; a < STRENGTHS; a++) {
            for (int b = 0; b < others; b++) {
                double middle = place_step * p - places, z = middle / pulled;
                double weight = exp(-0.5 * ((misfits[p][a][b] - least) / per + z * z));
                sum += weight * middle;
                weights += weight;
            }
        }
    }
    return sum / weights;
}

double lobe_beside(const struct lobe_readings *kept, const struct lobe_prior *prior,
                   double near_deg)
{
    struct work work = {.prior = prior};
    double noise = isfinite(prior->noise) ? prior->noise : lobe_readings_noise(kept);

    work.noise_db = fmax(isfinite(noise) ? noise / prior->unit_per_db : 0.0, least_noise_db);
    return prepare(&work, kept, near_deg) ? average(&work) : 0.0;
}
