/*
 * link.h - what reaches the demodulator: losses on the way down, noise, and the signal that is left
 * over it. Pure. Levels are those of the downlink alone, at the antenna's peak.
 */
#ifndef RADIO_LINK_H
#define RADIO_LINK_H

/* Between isotropic antennas: 20 log (4 pi d f / c), Rec. ITU-R P.525. */
double link_free_space_db(double frequency_ghz, double range_km);

/*
 * What oxygen and water vapour take on the way through the whole air.
 *
 *   frequency_ghz  4 to 30
 *   elevation_deg  5 to 90
 *   height_m       of the site, 0 to 5000 (below 0 counts as 0)
 *   returns        dB; NaN outside the ranges
 *   Source: lines fitted to zenith values from Rec. ITU-R P.676-13 in the mean reference atmosphere
 *   of P.835 (7.5 g/m3 of water): within 1 % of them; cosecant law for the slant path, 2 % high at
 *   10 degrees, 7 % at 5. With height both parts shrink over their equivalent heights (zenith over
 *   specific attenuation of the same values: 5.0 and 1.7 km). Damp air has up to three times the
 *   water.
 */
double link_gas_db(double frequency_ghz, double elevation_deg, double height_m);

/*
 * Specific attenuation of rain, Rec. ITU-R P.838-3.
 *
 *   frequency_ghz  1 to 1000
 *   rain_mm_h      rain rate, >= 0
 *   tilt_deg       polarisation from the horizontal; 45 for circular
 *   returns        dB/km, for the path within the rain
 */
double link_rain_db_per_km(double frequency_ghz, double rain_mm_h, double elevation_deg,
                           double tilt_deg);

/* Noise temperature of a receiver from its noise figure: 290 K (10^(figure / 10) - 1). */
double link_receiver_noise_k(double noise_figure_db);

/*
 * Noise temperature of the system at the receiver's input: the antenna's noise through a lossy
 * feeder at 290 K, and the receiver's own (Maral and Bousquet; from memory).
 */
double link_system_noise_k(double antenna_k, double feeder_loss_db, double receiver_k);

/* What rain adds to the antenna's noise: 275 K (1 - 10^(-loss / 10)); Rec. ITU-R P.618, memory. */
double link_rain_noise_k(double rain_db);

struct link_given {
    double eirp_dbw; /* towards the site */
    double frequency_ghz, range_km, elevation_deg, height_m;
    double gt_dbk;          /* figure of merit of the station in clear sky, dB/K */
    double noise_k;         /* system noise in clear sky; NaN = not known: rain then adds none */
    double rain_mm_h;       /* NaN = clear sky only */
    double rain_path_km;    /* length of the path within the rain */
    double tilt_deg;        /* polarisation from the horizontal; 45 for circular */
    double symbol_rate_mbd; /* NaN = not known */
};

struct link_budget {
    double free_space_db;
    double gas_db; /* NaN = not known, counted as none */
    double cn0_dbhz;
    double esn0_db; /* is C/N in a bandwidth equal to the symbol rate; NaN without a symbol rate */

    double rain_db;       /* NaN without rain, and so the rest */
    double rain_noise_db; /* by which rain raises the noise; 0 when the noise is not known */
    double rain_cn0_dbhz, rain_esn0_db;
};

/* C/N0 = EIRP - losses + G/T - k, with Boltzmann's k = -228.6 dBW/(K Hz). */
struct link_budget link_budget(const struct link_given *given);

#endif
