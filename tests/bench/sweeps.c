#include "sweeps.h"

#include <math.h>

double sweep_noise(struct chance *chance, double sd, double wild_share)
{
    double noise = chance_normal(chance, sd);

    if (chance_even(chance, 0.0, 1.0) < wild_share) {
        double size = chance_even(chance, 3.0, 9.0);
        noise += chance_even(chance, 0.0, 1.0) < 0.5 ? -size : size;
    }
    return noise;
}

static double parabola(double x, double centre)
{
    return 10.0 - 12.0 * (x - centre) * (x - centre);
}

void sweep_parabola(struct sweep_reading *readings, size_t n, double half, double centre,
                    double noise, double wild_share, struct chance *chance)
{
    for (size_t i = 0; i < n; i++) {
        double x = half * (2.0 * (double)i / (double)(n - 1) - 1.0);
        readings[i] = (struct sweep_reading){
            .x = x, .level = parabola(x, centre) + sweep_noise(chance, noise, wild_share)};
    }
}

static double dish_field(double u)
{
    const double pedestal = 0.316;

    if (fabs(u) < 1e-4) {
        return 1.0;
    }
    return (pedestal * 2.0 * j1(u) / u + 0.5 * (1.0 - pedestal) * 8.0 * jn(2, u) / (u * u)) /
           (pedestal + 0.5 * (1.0 - pedestal));
}

/* u at half power, by bisection. */
static double dish_half_power(void)
{
    double low = 0.5, high = 3.0;

    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high), field = dish_field(middle);
        if (field * field > 0.5) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

void sweep_dish(struct sweep_reading *readings, size_t n, double half, double centre,
                double over_floor, double noise, struct chance *chance)
{
    double u_per_width = 2.0 * dish_half_power();
    double carrier = pow(10.0, over_floor / 10.0) - 1.0;

    for (size_t i = 0; i < n; i++) {
        double x = half * (2.0 * (double)i / (double)(n - 1) - 1.0);
        double field = dish_field(u_per_width * (x - centre));
        readings[i] = (struct sweep_reading){.x = x,
                                             .level = 10.0 * log10(carrier * field * field + 1.0) +
                                                      chance_normal(chance, noise)};
    }
}

size_t sweep_both_ways(struct sweep_reading *readings, size_t n, double half, double centre,
                       double there, double back, double lag, double noise, double wild_share,
                       struct chance *chance)
{
    const double period = 0.5, dt = period / 50.0, rest = 3.0;
    double speed = 2.0 * half / ((double)n * period), lag_s = lag / speed;
    double follow = lag_s > 0.0 ? 1.0 - exp(-dt / lag_s) : 1.0;
    double x = -half, shown = parabola(x, centre), next = 0.0, turned = INFINITY;
    size_t count = 0;

    for (double t = 0.0; count < SWEEP_READINGS; t += dt) {
        shown += follow * (parabola(x, centre) - shown);
        if (t >= next) {
            next += period;
            readings[count++] = (struct sweep_reading){
                .t = t, .x = x, .level = shown + sweep_noise(chance, noise, wild_share)};
        }
        if (t < rest) {
            continue;
        }
        if (isinf(turned)) {
            x += speed * there * dt;
            turned = x >= half ? t : INFINITY;
        } else if (t > turned + rest) {
            x -= speed * back * dt;
            if (x < -half) {
                break;
            }
        }
    }
    return count;
}

double sweep_bound(const struct sweep_reading *readings, size_t n, double centre, double noise,
                   bool curvature_known)
{
    double cc = 0.0, cp = 0.0, pp = 0.0, cr = 0.0, pr = 0.0, rr = 0.0, determinant, minor;

    for (size_t i = 0; i < n; i++) {
        double off = readings[i].x - centre, by_c = 24.0 * off, by_r = -12.0 * off * off;
        cc += by_c * by_c;
        cp += by_c;
        pp += 1.0;
        cr += by_c * by_r;
        pr += by_r;
        rr += by_r * by_r;
    }
    if (curvature_known) {
        return noise * noise * pp / (cc * pp - cp * cp);
    }
    minor = pp * rr - pr * pr;
    determinant = cc * minor - cp * (cp * rr - pr * cr) + cr * (cp * pr - pp * cr);
    return noise * noise * minor / determinant;
}
