#include "sky/magnetic.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "sky/angle.h"
#include "sky/look.h"

extern const char wmm2025_text[];

/* Reference radius of the model, km (WMM2025 Technical Report, section 1.2). */
static const double model_radius_km = 6371.2;
static const double validity_years = 5.0;
static const double weak_below_nt = 6000.0;

/* --- reading -------------------------------------------------------------------------------- */

static double year_of_date(int year, int month, int day)
{
    static const int before[12] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    int leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;

    return year + (before[month - 1] + day - 1 + (leap && month > 2)) / (365.0 + leap);
}

/* "    2025.0            WMM-2025        11/13/2024" */
static int parse_header(const char *line, struct magnetic_model *model)
{
    int month, day, year;

    if (sscanf(line, "%lf %23s %d/%d/%d", &model->epoch, model->name, &month, &day, &year) != 5 ||
        month < 1 || month > 12 || day < 1 || day > 31 ||
        !(model->epoch >= 1900.0 && model->epoch <= 2200.0)) {
        return -EINVAL;
    }
    model->valid_from = year_of_date(year, month, day);
    model->valid_to = model->epoch + validity_years;
    return 0;
}

/* "  1  0  -29351.8       0.0       12.0        0.0": n m g h and their yearly rates.
 * 1 = taken, 0 = the line of nines that ends the model. */
static int parse_line(const char *line, struct magnetic_model *model)
{
    double g, h, g_rate, h_rate;
    int n, m, fields = sscanf(line, "%d %d %lf %lf %lf %lf", &n, &m, &g, &h, &g_rate, &h_rate);

    if (strncmp(line, "9999", 4) == 0) {
        return 0;
    }
    if (fields != 6 || n < 1 || n > MAGNETIC_DEGREE || m < 0 || m > n) {
        return -EINVAL;
    }
    model->g[n][m] = g;
    model->h[n][m] = h;
    model->g_rate[n][m] = g_rate;
    model->h_rate[n][m] = h_rate;
    return 1;
}

int magnetic_parse(const char *text, struct magnetic_model *ret_model, int *ret_line)
{
    struct magnetic_model model = {.epoch = 0.0};
    const int wanted = MAGNETIC_DEGREE * (MAGNETIC_DEGREE + 3) / 2;
    int line = 0, taken = 0, r = -EINVAL;

    while (*text) {
        char copy[128];
        size_t n = strcspn(text, "\n");

        snprintf(copy, sizeof copy, "%.*s", (int)(n < sizeof copy ? n : sizeof copy - 1), text);
        text += n + (text[n] == '\n');
        line++;
        r = line == 1 ? parse_header(copy, &model) : parse_line(copy, &model);
        if (r < 0 || (r == 0 && line > 1)) {
            break;
        }
        taken += line > 1;
    }
    if (r != 0 || taken != wanted) {
        *ret_line = line;
        return -EINVAL;
    }
    *ret_model = model;
    return 0;
}

void magnetic_builtin(struct magnetic_model *ret_model)
{
    int line;

    magnetic_parse(wmm2025_text, ret_model, &line);
}

double magnetic_year(double unix_s)
{
    /* days to a civil year: count whole 400-year eras from 2000-03-01 */
    double days = floor(unix_s / 86400.0);
    int year = 1970 + (int)floor(days / 365.2425);
    double start;

    for (;;) {
        int y = year - 1;
        start = 365.0 * (year - 1970) + (y / 4 - 1969 / 4) - (y / 100 - 1969 / 100) +
                (y / 400 - 1969 / 400);
        if (start > days) {
            year--;
        } else {
            break;
        }
    }
    int leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    if (days - start >= 365.0 + leap) {
        start += 365.0 + leap;
        year++;
        leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    }
    return year + (unix_s / 86400.0 - start) / (365.0 + leap);
}

/* --- the field ------------------------------------------------------------------------------ */

struct legendre {
    double p[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    double dp[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1]; /* by colatitude */
};

/* Schmidt semi-normalised, by recursion (Langel, in: Geomagnetism 1, 1987, eqs. 25 to 27). */
static void legendre_fill(struct legendre *l, double c, double s)
{
    l->p[0][0] = 1.0;
    l->dp[0][0] = 0.0;
    for (int n = 1; n <= MAGNETIC_DEGREE; n++) {
        double f = n == 1 ? 1.0 : sqrt((2.0 * n - 1.0) / (2.0 * n));
        l->p[n][n] = f * s * l->p[n - 1][n - 1];
        l->dp[n][n] = f * (s * l->dp[n - 1][n - 1] + c * l->p[n - 1][n - 1]);
        for (int m = 0; m < n; m++) {
            double k = n - 1 > m ? sqrt((n - 1.0) * (n - 1.0) - m * m) : 0.0;
            double root = sqrt((double)n * n - m * m);
            double p2 = n >= 2 && m <= n - 2 ? l->p[n - 2][m] : 0.0;
            double dp2 = n >= 2 && m <= n - 2 ? l->dp[n - 2][m] : 0.0;
            l->p[n][m] = ((2.0 * n - 1.0) * c * l->p[n - 1][m] - k * p2) / root;
            l->dp[n][m] =
                ((2.0 * n - 1.0) * (c * l->dp[n - 1][m] - s * l->p[n - 1][m]) - k * dp2) / root;
        }
    }
}

/* North, east, down in the spherical frame (WMM2025 Technical Report, eqs. 10 to 12). */
static void sum_field(const struct magnetic_model *model, double years, double r_km,
                      double colatitude, double lon, double ret[3])
{
    struct legendre l;
    double s = fmax(sin(colatitude), 1e-10); /* east is undefined at the very pole */

    legendre_fill(&l, cos(colatitude), s);
    ret[0] = ret[1] = ret[2] = 0.0;
    for (int n = 1; n <= MAGNETIC_DEGREE; n++) {
        double f = pow(model_radius_km / r_km, n + 2);
        for (int m = 0; m <= n; m++) {
            double g = model->g[n][m] + years * model->g_rate[n][m];
            double h = model->h[n][m] + years * model->h_rate[n][m];
            double in = g * cos(m * lon) + h * sin(m * lon);
            double out = g * sin(m * lon) - h * cos(m * lon);
            ret[0] += f * in * l.dp[n][m];
            ret[1] += f * m * out * l.p[n][m] / s;
            ret[2] -= f * (n + 1) * in * l.p[n][m];
        }
    }
}

struct magnetic_field magnetic_at(const struct magnetic_model *model, double lat_deg,
                                  double lon_deg, double height_m, double year)
{
    const struct look_earth *earth = &look_earth_wgs84;
    double lat = lat_deg * ANGLE_RAD_PER_DEG, lon = lon_deg * ANGLE_RAD_PER_DEG;
    double e2 = earth->flattening * (2.0 - earth->flattening);
    double n = earth->radius_km / sqrt(1.0 - e2 * sin(lat) * sin(lat));
    double h = height_m * 1e-3;
    double rho = (n + h) * cos(lat), z = (n * (1.0 - e2) + h) * sin(lat);
    double r = hypot(rho, z), lat_s = atan2(z, rho), turn = lat_s - lat, b[3];
    struct magnetic_field field;

    sum_field(model, year - model->epoch, r, 0.5 * 3.14159265358979323846 - lat_s, lon, b);
    field.north_nt = b[0] * cos(turn) - b[2] * sin(turn);
    field.east_nt = b[1];
    field.down_nt = b[0] * sin(turn) + b[2] * cos(turn);
    field.horizontal_nt = hypot(field.north_nt, field.east_nt);
    field.total_nt = hypot(field.horizontal_nt, field.down_nt);
    field.declination_deg =
        field.horizontal_nt > 0.0 ? atan2(field.east_nt, field.north_nt) / ANGLE_RAD_PER_DEG : NAN;
    field.inclination_deg = atan2(field.down_nt, field.horizontal_nt) / ANGLE_RAD_PER_DEG;
    /* the model's error model, WMM2025 Technical Report: 0.26 deg and 5417 deg nT / H */
    field.declination_error_deg = hypot(0.26, 5417.0 / field.horizontal_nt);
    field.weak = !(field.horizontal_nt >= weak_below_nt);
    field.in_date = year >= model->valid_from && year <= model->valid_to;
    return field;
}
