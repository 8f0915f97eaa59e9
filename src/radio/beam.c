#include "radio/beam.h"

#include <math.h>

#include "sky/angle.h"

static const double light_m_ns = 0.299792458;

double beam_width_deg(double size_m, double frequency_ghz, double factor)
{
    return factor * light_m_ns / (frequency_ghz * size_m);
}

/* Rotating diag(1/w^2, 1/h^2) by the turn; elementary, no source needed. */
struct beam beam_make(double width_deg, double height_deg, double turn_deg)
{
    double c = cos(turn_deg * ANGLE_RAD_PER_DEG);
    double s = sin(turn_deg * ANGLE_RAD_PER_DEG);
    double qw = 1.0 / (width_deg * width_deg);
    double qh = 1.0 / (height_deg * height_deg);

    return (struct beam){
        .xx = c * c * qw + s * s * qh,
        .yy = s * s * qw + c * c * qh,
        .xy = -(qw - qh) * s * c,
    };
}

double beam_loss_db(const struct beam *beam, double x, double y)
{
    return 12.0 * (beam->xx * x * x + beam->yy * y * y + 2.0 * beam->xy * x * y);
}

double beam_azimuth_width_deg(const struct beam *beam, double elevation_deg)
{
    return 1.0 / (sqrt(beam->xx) * cos(elevation_deg * ANGLE_RAD_PER_DEG));
}

double beam_elevation_width_deg(const struct beam *beam)
{
    return 1.0 / sqrt(beam->yy);
}
