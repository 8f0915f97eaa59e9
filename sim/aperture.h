/* aperture.h - what an antenna receives from where: co-polar and cross-polar patterns. Pure. */
#ifndef SIM_APERTURE_H
#define SIM_APERTURE_H

#include <stdbool.h>

struct aperture {
    bool panel;                   /* a uniformly fed rectangle; else a tapered dish */
    double width_deg, height_deg; /* half-power widths; a dish has one: width_deg */
    double floor_db;              /* far side lobes are filled up to here, relative to the peak */
    double cross_polar_db;        /* discrimination on the boresight, > 0 */
    double cross_polar_edge_db;   /* and half a beamwidth off it, > 0 */
};

/*
 * Half-power width in degrees of a side or diameter in metres: 50.76 wavelengths per side for a
 * uniformly fed rectangle (half-power point of sin x / x), 63.31 for this dish.
 */
double aperture_width_deg(bool panel, double size_m, double frequency_ghz);

/*
 * Power relative to the peak, a ratio in (0, 1].
 *
 *   right_deg, up_deg  where the wave comes from, off the boresight, in the antenna's own frame
 *
 * Dish: circular aperture with a parabolic taper on a pedestal, E(r) = 0.45 + 0.55 (1 - r^2), whose
 * far field is 0.45 * 2 J1(u)/u + 0.55/2 * 8 J2(u)/u^2 (any antenna textbook): first side lobe
 * -21.0 dB at 1.58 beamwidths, 0.43 wide, first null at 1.23. Panel: product of two (sin x / x)^2,
 * first side lobe -13.26 dB.
 */
double aperture_gain(const struct aperture *aperture, double right_deg, double up_deg);

/* Power that leaks from the orthogonal polarisation, relative to the co-polar power received from
 * the same direction. Constant plus a square law off the boresight; common practice, no source. */
double aperture_leak(const struct aperture *aperture, double right_deg, double up_deg);

#endif
