#include "radio/link.h"

#include <math.h>
#include <stddef.h>

#include "sky/angle.h"

static const double pi = 3.14159265358979323846;
static const double light_m_s = 299792458.0;
static const double boltzmann_j_k = 1.380649e-23; /* exact in the SI since 2019 */
static const double warm_k = 290.0;
static const double rain_k = 275.0;

double link_free_space_db(double frequency_ghz, double range_km)
{
    return 20.0 * log10(4.0 * pi * range_km * 1e3 * frequency_ghz * 1e9 / light_m_s);
}

/* --- gas -------------------------------------------------------------------------------------- */

/* The wing of oxygen's lines about 60 GHz, as a single one. */
static double dry_zenith_db(double f)
{
    static const double line = 69.5, level = 0.0360159, wing = 0.107473;

    return level + wing * (pow(f / (line - f), 2.0) + pow(f / (line + f), 2.0));
}

/* Water's line at 22.235 GHz in the shape of van Vleck and Weisskopf, and those far above. */
static double wet_zenith_db(double f)
{
    static const double line = 22.23508, width = 2.372, strength = 1.829696e-3, above = 6.830053e-5;
    double near = width / ((f - line) * (f - line) + width * width);
    double mirror = width / ((f + line) * (f + line) + width * width);

    return f * f * (strength * (near + mirror) + above);
}

double link_gas_db(double frequency_ghz, double elevation_deg, double height_m)
{
    static const double dry_height_m = 5000.0, wet_height_m = 1700.0;
    double height = height_m < 0.0 ? 0.0 : height_m;

    if (!(frequency_ghz >= 4.0 && frequency_ghz <= 30.0 && elevation_deg >= 5.0 &&
          elevation_deg <= 90.0 && height <= 5000.0)) {
        return NAN;
    }
    return (dry_zenith_db(frequency_ghz) * exp(-height / dry_height_m) +
            wet_zenith_db(frequency_ghz) * exp(-height / wet_height_m)) /
           sin(elevation_deg * ANGLE_RAD_PER_DEG);
}

/* --- rain ------------------------------------------------------------------------------------- */

/* Rec. ITU-R P.838-3, equations (2) and (3), Tables 1 to 4. */
struct curve {
    size_t terms;
    double a[5], b[5], c[5], slope, level;
};

static const struct curve k_h = {
    4,
    {-5.33980, -0.35351, -0.23789, -0.94158},
    {-0.10008, 1.26970, 0.86036, 0.64552},
    {1.13098, 0.45400, 0.15354, 0.16817},
    -0.18961,
    0.71147,
};
static const struct curve k_v = {
    4,
    {-3.80595, -3.44965, -0.39902, 0.50167},
    {0.56934, -0.22911, 0.73042, 1.07319},
    {0.81061, 0.51059, 0.11899, 0.27195},
    -0.16398,
    0.63297,
};
static const struct curve alpha_h = {
    5,
    {-0.14318, 0.29591, 0.32177, -5.37610, 16.1721},
    {1.82442, 0.77564, 0.63773, -0.96230, -3.29980},
    {-0.55187, 0.19822, 0.13164, 1.47828, 3.43990},
    0.67849,
    -1.95537,
};
static const struct curve alpha_v = {
    5,
    {-0.07771, 0.56727, -0.20238, -48.2991, 48.5833},
    {2.33840, 0.95545, 1.14520, 0.791669, 0.791459},
    {-0.76284, 0.54039, 0.26809, 0.116226, 0.116479},
    -0.053739,
    0.83433,
};

static double curve_at(const struct curve *curve, double frequency_ghz)
{
    double x = log10(frequency_ghz), sum = curve->slope * x + curve->level;

    for (size_t i = 0; i < curve->terms; i++) {
        double off = (x - curve->b[i]) / curve->c[i];
        sum += curve->a[i] * exp(-off * off);
    }
    return sum;
}

double link_rain_db_per_km(double frequency_ghz, double rain_mm_h, double elevation_deg,
                           double tilt_deg)
{
    double kh = pow(10.0, curve_at(&k_h, frequency_ghz));
    double kv = pow(10.0, curve_at(&k_v, frequency_ghz));
    double ah = curve_at(&alpha_h, frequency_ghz), av = curve_at(&alpha_v, frequency_ghz);
    double c = cos(elevation_deg * ANGLE_RAD_PER_DEG);
    double lie = c * c * cos(2.0 * tilt_deg * ANGLE_RAD_PER_DEG);
    double k = (kh + kv + (kh - kv) * lie) / 2.0;
    double alpha = (kh * ah + kv * av + (kh * ah - kv * av) * lie) / (2.0 * k);

    return k * pow(rain_mm_h, alpha);
}

/* --- noise ------------------------------------------------------------------------------------ */

double link_receiver_noise_k(double noise_figure_db)
{
    return warm_k * (pow(10.0, noise_figure_db / 10.0) - 1.0);
}

double link_system_noise_k(double antenna_k, double feeder_loss_db, double receiver_k)
{
    double through = pow(10.0, -feeder_loss_db / 10.0);

    return antenna_k * through + warm_k * (1.0 - through) + receiver_k;
}

double link_rain_noise_k(double rain_db)
{
    return rain_k * (1.0 - pow(10.0, -rain_db / 10.0));
}

/* --- the sum ---------------------------------------------------------------------------------- */

struct link_budget link_budget(const struct link_given *given)
{
    struct link_budget b = {.rain_db = NAN, .rain_noise_db = NAN};
    double rate_db = 10.0 * log10(given->symbol_rate_mbd * 1e6);

    b.free_space_db = link_free_space_db(given->frequency_ghz, given->range_km);
    b.gas_db = link_gas_db(given->frequency_ghz, given->elevation_deg, given->height_m);
    b.cn0_dbhz = given->eirp_dbw - b.free_space_db - (isnan(b.gas_db) ? 0.0 : b.gas_db) +
                 given->gt_dbk - 10.0 * log10(boltzmann_j_k);
    if (isfinite(given->rain_mm_h) && isfinite(given->rain_path_km)) {
        b.rain_db =
            given->rain_path_km * link_rain_db_per_km(given->frequency_ghz, given->rain_mm_h,
                                                      given->elevation_deg, given->tilt_deg);
        b.rain_noise_db = isnan(given->noise_k)
                              ? 0.0
                              : 10.0 * log10(1.0 + link_rain_noise_k(b.rain_db) / given->noise_k);
    }
    b.rain_cn0_dbhz = b.cn0_dbhz - b.rain_db - b.rain_noise_db;
    b.esn0_db = b.cn0_dbhz - rate_db;
    b.rain_esn0_db = b.rain_cn0_dbhz - rate_db;
    return b;
}
