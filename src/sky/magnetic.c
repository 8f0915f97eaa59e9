#include "sky/magnetic.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "sky/angle.h"
#include "sky/look.h"
#include "sky/utc.h"

/*
 * WMM2025.COF, unchanged: NOAA NCEI and the British Geological Survey, public domain; the file
 * wmm/coefs/WMM.COF of the model's public repository CIRES-Geomagnetism/wmm, sha256 06791cd9...
 */
extern const char wmm2025_text[];

/* Reference radius of the model, km (WMM2025 Technical Report, section 1.2). */
static const double model_radius_km = 6371.2;
static const double validity_years = 5.0;

/* Zones where a compass is degraded, and where it is not to be used (MIL-PRF-89500B). */
static const double weak_below_nt = 6000.0, blackout_below_nt = 2000.0;

/* Error of the declination, 1 sigma (WMM2025 error model): sqrt(0.26^2 + (5417 / H)^2). */
static const double error_deg = 0.26, error_deg_nt = 5417.0;

/* What no honest file exceeds: ten times the largest coefficient, years of the main field. */
static const double largest_nt = 3e5, first_year = 1900.0, last_year = 2200.0;

/* --- reading -------------------------------------------------------------------------------- */

/* "2025.0 WMM-2025 11/13/2024": the epoch, the model's name, the day of its release (US order). */
static int parse_header(const char *line, struct magnetic_model *model)
{
    struct utc_date release = {.hour = 0};
    double release_s;
    int end = 0;

    if (sscanf(line, "%lf %23s %2d/%2d/%4d %n", &model->epoch, model->name, &release.month,
               &release.day, &release.year, &end) != 5 ||
        line[end] != '\0' || !(model->epoch >= first_year && model->epoch <= last_year) ||
        release.year < first_year || release.year > last_year ||
        utc_join(&release, &release_s) < 0 || !text_is_clean(model->name)) {
        return -EINVAL;
    }
    model->valid_from = utc_decimal_year(release_s);
    model->valid_to = model->epoch + validity_years;
    return 0;
}

/* A model as far as it has been read. */
struct reading {
    struct magnetic_model model;
    bool seen[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    int taken;
};

/* "1  0  -29351.8  0.0  12.0  0.0": n m g h and the yearly rates of g and h. 1 = taken, 0 = it is
 * the line of nines that ends the model. */
static int parse_line(const char *line, struct reading *reading)
{
    double values[4];
    int n, m, end = 0;

    if (strncmp(line + strspn(line, " "), "9999", 4) == 0) {
        return 0;
    }
    if (sscanf(line, "%3d %3d %lf %lf %lf %lf %n", &n, &m, &values[0], &values[1], &values[2],
               &values[3], &end) != 6 ||
        line[end] != '\0' || n < 1 || n > MAGNETIC_DEGREE || m < 0 || m > n ||
        reading->seen[n][m]) {
        return -EINVAL;
    }
    for (int i = 0; i < 4; i++) {
        if (!(fabs(values[i]) <= largest_nt)) {
            return -EINVAL;
        }
    }
    reading->model.g[n][m] = values[0];
    reading->model.h[n][m] = values[1];
    reading->model.g_rate[n][m] = values[2];
    reading->model.h_rate[n][m] = values[3];
    reading->seen[n][m] = true;
    reading->taken++;
    return 1;
}

int magnetic_parse(const char *text, struct magnetic_model *ret_model, int *ret_line)
{
    struct reading reading = {.taken = 0};
    const int wanted = MAGNETIC_DEGREE * (MAGNETIC_DEGREE + 3) / 2;
    int line = 0, r = 1;

    while (r == 1 && *text) {
        char copy[128];
        size_t n = strcspn(text, "\n");

        line++;
        if (n >= sizeof copy) {
            r = -EINVAL;
            break;
        }
        memcpy(copy, text, n);
        copy[n] = '\0';
        text += n + (text[n] == '\n');
        if (line > 1) {
            r = parse_line(copy, &reading);
        } else if (parse_header(copy, &reading.model) < 0) {
            r = -EINVAL;
        }
    }
    if (r != 0 || reading.taken != wanted) {
        *ret_line = line;
        return -EINVAL;
    }
    *ret_model = reading.model;
    return 0;
}

void magnetic_builtin(struct magnetic_model *ret_model)
{
    int line, r = magnetic_parse(wmm2025_text, ret_model, &line);

    assert(r == 0);
    (void)r;
}

/* --- the field ------------------------------------------------------------------------------ */

/* Legendre functions Schmidt semi-normalised, by recursion (Langel, in: Geomagnetism 1, 1987, eqs.
 * 25 to 27): its factors, and the coefficients moved on to the year. */
void magnetic_moment_make(const struct magnetic_model *model, double year,
                          struct magnetic_moment *ret)
{
    double years = year - model->epoch;

    *ret =
        (struct magnetic_moment){.in_date = year >= model->valid_from && year <= model->valid_to};
    for (int n = 1; n <= MAGNETIC_DEGREE; n++) {
        ret->diagonal[n] = n == 1 ? 1.0 : sqrt((2.0 * n - 1.0) / (2.0 * n));
        for (int m = 0; m <= n; m++) {
            ret->g[n][m] = model->g[n][m] + years * model->g_rate[n][m];
            ret->h[n][m] = model->h[n][m] + years * model->h_rate[n][m];
            if (m < n) {
                double root = sqrt((double)n * n - m * m);
                ret->step[n][m] = (2.0 * n - 1.0) / root;
                ret->back[n][m] = n - 1 > m ? sqrt((n - 1.0) * (n - 1.0) - m * m) / root : 0.0;
            }
        }
    }
}

/* A place on the model's sphere. */
struct spot {
    double cos_colatitude, sin_colatitude;
    double lon;   /* rad */
    double ratio; /* of the model's radius to the distance from the earth's centre */
};

/*
 * North, east, down in the spherical frame (WMM2025 Technical Report, eqs. 10 to 12). One order m
 * after the other, the degrees n within it: so only the two last functions are kept.
 */
static void sum_field(const struct magnetic_moment *moment, const struct spot *spot, double ret[3])
{
    double c = spot->cos_colatitude, s = spot->sin_colatitude;
    double cos_lon = cos(spot->lon), sin_lon = sin(spot->lon), cos_m = 1.0, sin_m = 0.0;
    double top = 1.0, top_slope = 0.0; /* P of degree and order m, and its slope by colatitude */
    double falls[MAGNETIC_DEGREE + 1];

    falls[0] = spot->ratio * spot->ratio;
    for (int n = 1; n <= MAGNETIC_DEGREE; n++) {
        falls[n] = falls[n - 1] * spot->ratio;
    }
    ret[0] = ret[1] = ret[2] = 0.0;
    for (int m = 0; m <= MAGNETIC_DEGREE; m++) {
        double p = top, slope = top_slope, before = 0.0, slope_before = 0.0;
        for (int n = m; n <= MAGNETIC_DEGREE; n++) {
            if (n > m) {
                double step = moment->step[n][m], back = moment->back[n][m];
                double next = step * c * p - back * before;
                double next_slope = step * (c * slope - s * p) - back * slope_before;
                before = p;
                slope_before = slope;
                p = next;
                slope = next_slope;
            }
            if (n > 0) {
                double in = moment->g[n][m] * cos_m + moment->h[n][m] * sin_m;
                double out = moment->g[n][m] * sin_m - moment->h[n][m] * cos_m;
                ret[0] += falls[n] * in * slope;
                ret[1] += falls[n] * m * out * p;
                ret[2] -= falls[n] * (n + 1) * in * p;
            }
        }
        if (m < MAGNETIC_DEGREE) {
            double turned = cos_m * cos_lon - sin_m * sin_lon;
            sin_m = sin_m * cos_lon + cos_m * sin_lon;
            cos_m = turned;
            top_slope = moment->diagonal[m + 1] * (s * top_slope + c * top);
            top = moment->diagonal[m + 1] * s * top;
        }
    }
    ret[1] /= s;
}

struct magnetic_field magnetic_moment_at(const struct magnetic_moment *moment, double lat_deg,
                                         double lon_deg, double height_m)
{
    const struct look_earth *earth = &look_earth_wgs84;
    double lat = lat_deg * ANGLE_RAD_PER_DEG, lon = lon_deg * ANGLE_RAD_PER_DEG;
    double e2 = earth->flattening * (2.0 - earth->flattening);
    double sin_lat = sin(lat), cos_lat = cos(lat), h = height_m * 1e-3, b[3];
    double n = earth->radius_km / sqrt(1.0 - e2 * sin_lat * sin_lat);
    double rho = (n + h) * cos_lat, z = (n * (1.0 - e2) + h) * sin_lat, r = hypot(rho, z);
    /* from geocentric to geodetic north and down */
    double turn_cos = (rho * cos_lat + z * sin_lat) / r;
    double turn_sin = (z * cos_lat - rho * sin_lat) / r;
    struct spot spot = {.cos_colatitude = z / r,
                        .sin_colatitude = fmax(rho / r, 1e-10), /* no east at the very pole */
                        .lon = lon,
                        .ratio = model_radius_km / r};
    struct magnetic_field field;

    sum_field(moment, &spot, b);
    field.north_nt = b[0] * turn_cos - b[2] * turn_sin;
    field.east_nt = b[1];
    field.down_nt = b[0] * turn_sin + b[2] * turn_cos;
    field.horizontal_nt = hypot(field.north_nt, field.east_nt);
    field.total_nt = hypot(field.horizontal_nt, field.down_nt);
    field.declination_deg =
        field.horizontal_nt > 0.0 ? atan2(field.east_nt, field.north_nt) / ANGLE_RAD_PER_DEG : NAN;
    field.inclination_deg = atan2(field.down_nt, field.horizontal_nt) / ANGLE_RAD_PER_DEG;
    field.declination_error_deg = hypot(error_deg, error_deg_nt / field.horizontal_nt);
    if (field.declination_error_deg > 180.0) {
        field.declination_error_deg = 180.0;
    }
    field.weak = !(field.horizontal_nt >= weak_below_nt);
    field.blackout = !(field.horizontal_nt >= blackout_below_nt);
    field.in_date = moment->in_date;
    return field;
}

struct magnetic_field magnetic_at(const struct magnetic_model *model, double lat_deg,
                                  double lon_deg, double height_m, double year)
{
    struct magnetic_moment moment;

    magnetic_moment_make(model, year, &moment);
    return magnetic_moment_at(&moment, lat_deg, lon_deg, height_m);
}
