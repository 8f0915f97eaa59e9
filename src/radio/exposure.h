/*
 * exposure.h - how strong the field in front of a transmitting antenna is at most, and from where
 * on published limits are met. Pure. A caution for planning, not a survey: local codes and those
 * who answer for the site decide.
 *
 *   Source: FCC OET Bulletin 65, Edition 97-01, formulas for aperture antennas, on the axis. Limits
 *   for 2 to 100 GHz: 10 W/m2 for the general public and 50 W/m2 for trained workers (47 CFR 1.1310
 *   Table 1; ICNIRP 2020 Table 5, whole body).
 */
#ifndef RADIO_EXPOSURE_H
#define RADIO_EXPOSURE_H

struct exposure {
    double power_w;    /* at the antenna's flange */
    double area_m2;    /* of the aperture */
    double longest_m;  /* its diameter, or the longer side */
    double efficiency; /* of the aperture, 0 to 1; 1 errs on the safe side */
    double frequency_ghz;
};

/* W/m2; 2 to 100 GHz. */
extern const double exposure_public_w_m2, exposure_worker_w_m2;

/* The highest power density right before the aperture: 4 P / A, in W/m2. */
double exposure_surface_w_m2(const struct exposure *exposure);

/* Where the near field ends and the far field begins: L^2 / (4 wavelength), 0.6 L^2 / wavelength.
 */
double exposure_near_end_m(const struct exposure *exposure);
double exposure_far_begin_m(const struct exposure *exposure);

/* Highest power density on the axis at a distance > 0, in W/m2. */
double exposure_w_m2(const struct exposure *exposure, double distance_m);

/*
 * The distance on the axis from which on a limit is met.
 *
 *   returns  metres; 0 when the near field keeps it (the surface itself may still exceed it); NaN
 *            when the frequency is not within 2 to 100 GHz
 */
double exposure_distance_m(const struct exposure *exposure, double limit_w_m2);

#endif
