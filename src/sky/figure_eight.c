#include "sky/figure_eight.h"

#include <math.h>
#include <stdbool.h>

#include "sky/angle.h"
#include "sky/sidereal.h"
#include "sky/utc.h"

static const double most_eccentric = 0.9;

/* Degrees a day that a satellite must turn to stand still. */
static const double sidereal_deg_day = 360.98564737;

/* Kepler's equation by Newton's method; from pi it converges for every ellipse. */
static double eccentric_anomaly(double mean, double eccentricity)
{
    double e = eccentricity > 0.5 ? M_PI : mean;

    for (int i = 0; i < 30; i++) {
        double step = (e - eccentricity * sin(e) - mean) / (1.0 - eccentricity * cos(e));
        e -= step;
        if (fabs(step) < 1e-14) {
            break;
        }
    }
    return e;
}

static bool is_sound(const struct figure_eight *figure)
{
    return figure->inclination_deg >= 0.0 && figure->inclination_deg < 180.0 &&
           figure->eccentricity >= 0.0 && figure->eccentricity <= most_eccentric;
}

void figure_eight_at(const struct figure_eight *figure, double unix_s, double ret_km[3])
{
    double lon =
        figure->lon_deg + (figure->drift_deg_day != 0.0
                               ? figure->drift_deg_day * (unix_s - figure->epoch_s) / UTC_DAY_S
                               : 0.0);
    double turn = sidereal_greenwich_rad(unix_s);
    double tilt = figure->inclination_deg * ANGLE_RAD_PER_DEG, e = figure->eccentricity;
    /* without tilt there is no node, without eccentricity no perigee */
    double node = tilt == 0.0 ? 0.0 : figure->node_deg * ANGLE_RAD_PER_DEG;
    double perigee = e == 0.0 ? 0.0 : figure->perigee_deg * ANGLE_RAD_PER_DEG;
    /* mean longitude = node + perigee + mean anomaly - sidereal time */
    double mean = remainder(lon * ANGLE_RAD_PER_DEG + turn - node - perigee, 2.0 * M_PI);
    double anomaly = is_sound(figure) ? eccentric_anomaly(mean, e) : NAN;
    double axis_km =
        look_earth_wgs84.orbit_km * (1.0 - 2.0 / 3.0 * figure->drift_deg_day / sidereal_deg_day);
    double along = axis_km * (cos(anomaly) - e),
           across = axis_km * sqrt(1.0 - e * e) * sin(anomaly);
    double x = along * cos(perigee) - across * sin(perigee);
    double y = along * sin(perigee) + across * cos(perigee);

    ret_km[0] = x * cos(node - turn) - y * cos(tilt) * sin(node - turn);
    ret_km[1] = x * sin(node - turn) + y * cos(tilt) * cos(node - turn);
    ret_km[2] = y * sin(tilt);
}

/* The place moved within its sphere. */
static void shift(const double km[3], double east_deg, double north_deg, double ret_km[3])
{
    double flat = hypot(km[0], km[1]), range = hypot(flat, km[2]);
    double lon = atan2(km[1], km[0]) + east_deg * ANGLE_RAD_PER_DEG;
    double lat = atan2(km[2], flat) + north_deg * ANGLE_RAD_PER_DEG;

    ret_km[0] = range * cos(lat) * cos(lon);
    ret_km[1] = range * cos(lat) * sin(lon);
    ret_km[2] = range * sin(lat);
}

struct figure_eight_spread figure_eight_spread_of(const struct look_site *site,
                                                  const double (*places_km)[3], size_t n)
{
    struct look first = look_at_position(&look_earth_wgs84, site, places_km[0]);
    double left = 0.0, right = 0.0, low = first.elevation_deg, high = first.elevation_deg;
    struct figure_eight_spread spread = {.angle_deg = first.range_km * 0.0}; /* NaN stays NaN */

    for (size_t i = 0; i < n; i++) {
        struct look look = look_at_position(&look_earth_wgs84, site, places_km[i]);
        double turn = angle_turn_deg(first.azimuth_deg, look.azimuth_deg);
        left = fmin(left, turn);
        right = fmax(right, turn);
        low = fmin(low, look.elevation_deg);
        high = fmax(high, look.elevation_deg);
    }
    spread.azimuth_deg = angle_wrap_deg(first.azimuth_deg + 0.5 * (left + right));
    spread.azimuth_half_deg = 0.5 * (right - left) + spread.angle_deg;
    spread.elevation_deg = 0.5 * (low + high);
    spread.elevation_half_deg = 0.5 * (high - low);
    for (size_t i = 0; i < n; i++) {
        struct look look = look_at_position(&look_earth_wgs84, site, places_km[i]);
        double angle = look_angle_deg(spread.azimuth_deg, spread.elevation_deg, look.azimuth_deg,
                                      look.elevation_deg);
        spread.angle_deg = isnan(angle) ? NAN : fmax(spread.angle_deg, angle);
    }
    return spread;
}

struct figure_eight_spread figure_eight_over_a_day(const struct look_site *site,
                                                   const struct figure_eight *figure,
                                                   const struct figure_eight_box *box,
                                                   double from_s)
{
    enum { MOMENTS = 144, CORNERS = 4 };
    static const double corners[CORNERS][2] = {{-1, -1}, {-1, 1}, {1, -1}, {1, 1}};
    struct figure_eight known = *figure;
    double places_km[MOMENTS * CORNERS][3];

    known.node_deg = isnan(known.node_deg) ? 0.0 : known.node_deg;
    known.perigee_deg = isnan(known.perigee_deg) ? 0.0 : known.perigee_deg;
    for (int i = 0; i < MOMENTS; i++) {
        double km[3];
        figure_eight_at(&known, from_s + i * UTC_DAY_S / MOMENTS, km);
        for (int k = 0; k < CORNERS; k++) {
            shift(km, corners[k][0] * box->east_west_deg, corners[k][1] * box->north_south_deg,
                  places_km[i * CORNERS + k]);
        }
    }
    return figure_eight_spread_of(site, (const double(*)[3])places_km, (size_t)MOMENTS * CORNERS);
}
