#include "radio/exposure.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const double light_m_ns = 0.299792458;

const double exposure_public_w_m2 = 10.0, exposure_worker_w_m2 = 50.0;

static double wavelength_m(const struct exposure *e)
{
    return light_m_ns / e->frequency_ghz;
}

/* A square is as wide as the disc of its area, for these formulas. */
static double extent_m(const struct exposure *e)
{
    return fmax(e->longest_m, sqrt(4.0 * e->area_m2 / pi));
}

double exposure_surface_w_m2(const struct exposure *e)
{
    return 4.0 * e->power_w / e->area_m2;
}

double exposure_near_end_m(const struct exposure *e)
{
    return extent_m(e) * extent_m(e) / (4.0 * wavelength_m(e));
}

double exposure_far_begin_m(const struct exposure *e)
{
    return 0.6 * extent_m(e) * extent_m(e) / wavelength_m(e);
}

/* 16 eta P / (pi D^2) of the bulletin, by the area. */
static double near_w_m2(const struct exposure *e)
{
    return 4.0 * e->efficiency * e->power_w / e->area_m2;
}

/* P G / (4 pi) of the bulletin: the power density times the distance squared, in W. */
static double far_w(const struct exposure *e)
{
    double gain = e->efficiency * 4.0 * pi * e->area_m2 / (wavelength_m(e) * wavelength_m(e));

    return e->power_w * gain / (4.0 * pi);
}

double exposure_w_m2(const struct exposure *e, double distance_m)
{
    double near_end = exposure_near_end_m(e);

    if (distance_m <= near_end) {
        return near_w_m2(e);
    }
    return distance_m < exposure_far_begin_m(e) ? near_w_m2(e) * near_end / distance_m
                                                : far_w(e) / (distance_m * distance_m);
}

double exposure_distance_m(const struct exposure *e, double limit_w_m2)
{
    double far_begin = exposure_far_begin_m(e);
    double far = sqrt(far_w(e) / limit_w_m2);

    if (!(e->frequency_ghz >= 2.0 && e->frequency_ghz <= 100.0)) {
        return NAN;
    }
    if (far > far_begin) {
        return far;
    }
    if (near_w_m2(e) <= limit_w_m2) {
        return 0.0;
    }
    return fmin(far_begin, near_w_m2(e) * exposure_near_end_m(e) / limit_w_m2);
}
