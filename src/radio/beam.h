/* beam.h - the main lobe of the antenna, as it lies on the mount's axes. Pure. */
#ifndef RADIO_BEAM_H
#define RADIO_BEAM_H

/*
 * The lobe near its top as a quadratic: loss in dB = 12 d'Qd, d = (cross-elevation, elevation) in
 * degrees off the peak. For a rectangular panel turned clockwise by its skew the two are coupled.
 */
struct beam {
    double xx, yy, xy; /* Q, in 1/deg^2 */
};

/*
 * Half-power width of an aperture.
 *
 *   size_m         diameter of a dish, or side of a panel along the axis asked
 *   frequency_ghz  > 0
 *   factor         width in degrees = factor * wavelength / size: 70 a tapered dish,
 *                  50.8 a uniformly fed rectangular panel (sources in beam.c)
 *   returns        degrees, full width
 */
double beam_width_deg(double size_m, double frequency_ghz, double factor);

/*
 *   width_deg, height_deg  half-power widths in the antenna's own frame, > 0
 *   turn_deg               clockwise turn of the antenna about its boresight, seen from behind
 */
struct beam beam_make(double width_deg, double height_deg, double turn_deg);

/* Loss in dB >= 0 at an offset from the peak; the quadratic holds to about 6 dB. */
double beam_loss_db(const struct beam *beam, double cross_elevation_deg, double elevation_deg);

/* Half-power width of the cut at constant elevation, on the azimuth scale (1/cos elevation). */
double beam_azimuth_width_deg(const struct beam *beam, double elevation_deg);

/* Half-power width of the cut at constant azimuth. */
double beam_elevation_width_deg(const struct beam *beam);

#endif
