#include "sim/aperture.h"

#include <math.h>

static const double rad = 0.017453292519943295769;
static const double pi = 3.14159265358979323846;
static const double pedestal = 0.45;

/* Where the amplitude is 1/sqrt 2 (found numerically from the functions below). */
static const double dish_half = 1.7357704588903322;
static const double panel_half = 1.3915573782515098;

static double dish_amplitude(double u)
{
    if (u < 1e-4) {
        return 1.0;
    }
    double uniform = 2.0 * j1(u) / u;
    double tapered = 8.0 * jn(2, u) / (u * u);
    double share = (1.0 - pedestal) / 2.0;
    return (pedestal * uniform + share * tapered) / (pedestal + share);
}

static double panel_amplitude(double x)
{
    return fabs(x) < 1e-6 ? 1.0 : sin(x) / x;
}

double aperture_width_deg(bool panel, double size_m, double frequency_ghz)
{
    double wavelength_m = 0.299792458 / frequency_ghz;

    return 2.0 * (panel ? panel_half : dish_half) / pi * wavelength_m / size_m / rad;
}

double aperture_gain(const struct aperture *aperture, double right_deg, double up_deg)
{
    double amplitude;

    if (aperture->panel) {
        amplitude = panel_amplitude(2.0 * panel_half * right_deg / aperture->width_deg) *
                    panel_amplitude(2.0 * panel_half * up_deg / aperture->height_deg);
    } else {
        amplitude =
            dish_amplitude(2.0 * dish_half * hypot(right_deg, up_deg) / aperture->width_deg);
    }
    double fill = pow(10.0, aperture->floor_db / 10.0);
    return (amplitude * amplitude + fill) / (1.0 + fill);
}

double aperture_leak(const struct aperture *aperture, double right_deg, double up_deg)
{
    double height = aperture->panel ? aperture->height_deg : aperture->width_deg;
    double off = fmin(1.0, 2.0 * hypot(right_deg / aperture->width_deg, up_deg / height));

    return pow(10.0, -aperture->cross_polar_db / 10.0) +
           pow(10.0, -aperture->cross_polar_edge_db / 10.0) * off * off;
}
