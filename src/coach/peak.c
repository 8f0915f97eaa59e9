#include "coach/peak.h"

#include <math.h>

static const double least_determinant = 0.05;
/* The co-polar level over skew is cos^2: 3 dB down 45 degrees off the peak. */
static const double skew_width_deg = 90.0;

/* Percent and volts: from the floor to the top is about so much. Common practice, no source. */
static const double usual_rise_db = 15.0;

double peak_unit_per_db(const struct state *state, double level)
{
    double floor = isfinite(state->level.filter.minimum) ? state->level.filter.minimum : level;

    if (level_unit_is_db(state->level.unit)) {
        return 1.0;
    }
    for (size_t i = 0; i < state->trend_count; i++) {
        double filtered = state_trend_at(state, i)->filtered;
        floor = isfinite(filtered) && (i == 0 || filtered < floor) ? filtered : floor;
    }
    return fmax(level - floor, 1e-6) / usual_rise_db;
}

double peak_expected_width_deg(const struct state *state, enum axis axis)
{
    struct beam beam;

    if (axis == AXIS_SKEW) {
        return skew_width_deg;
    }
    if (!job_beam(state->job, state->target.deg[AXIS_SKEW], &beam)) {
        return NAN;
    }
    return axis == AXIS_AZIMUTH ? beam_azimuth_width_deg(&beam, state->target.deg[AXIS_ELEVATION])
                                : beam_elevation_width_deg(&beam);
}

/*
 * With a middle (a, e) and loss 12 (xx u^2 + 2 xy u v + yy v^2), u = (az - a) cos el, v = el - e:
 * the top in azimuth at elevation E lies where xx u + xy (E - e) = 0, the one in elevation at
 * azimuth A where yy v + xy (A - a) cos el = 0.
 */
bool peak_join(const struct beam *beam, double cos_elevation, const struct peak_cut *azimuth,
               const struct peak_cut *elevation, double *ret_azimuth_deg, double *ret_elevation_deg)
{
    double k = beam->xy / beam->xx / cos_elevation; /* azimuth's top per degree of elevation */
    double m = beam->xy / beam->yy * cos_elevation; /* elevation's top per degree of azimuth */
    double det = 1.0 - k * m;
    double p = azimuth->centre_deg + k * azimuth->other_deg;     /* = a + k e */
    double q = elevation->centre_deg + m * elevation->other_deg; /* = e + m a */

    if (!(fabs(det) > least_determinant)) {
        return false;
    }
    *ret_azimuth_deg = (p - k * q) / det;
    *ret_elevation_deg = (q - m * p) / det;
    return true;
}
