#include "sky/look.h"

#include <math.h>

#include "sky/angle.h"

/*
 * WGS84: NGA.STND.0036 (2014), table 3.1. The geostationary radius: one turn a sidereal day about
 * the earth's GM gives 42 164.17 km (Pratt, Bostian, Allnutt, Satellite Communications, 2nd ed.).
 */
const struct look_earth look_earth_wgs84 = {
    .radius_km = 6378.137,
    .flattening = 1.0 / 298.257223563,
    .orbit_km = 42164.17,
};

struct vector {
    double x, y, z;
};

static struct vector subtract(struct vector a, struct vector b)
{
    return (struct vector){a.x - b.x, a.y - b.y, a.z - b.z};
}

static double dot(struct vector a, struct vector b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static struct vector cross(struct vector a, struct vector b)
{
    return (struct vector){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

static struct vector scale(struct vector a, double f)
{
    return (struct vector){a.x * f, a.y * f, a.z * f};
}

/* What of a stands square to the unit vector k. */
static struct vector across(struct vector a, struct vector k)
{
    return subtract(a, scale(k, dot(a, k)));
}

/* Geodetic to earth-centred: any textbook of geodesy, such as Torge, Geodesy, section 4.1. */
static struct vector site_position(const struct look_earth *earth, const struct look_site *site)
{
    double lat = site->lat_deg * ANGLE_RAD_PER_DEG, lon = site->lon_deg * ANGLE_RAD_PER_DEG;
    double e2 = earth->flattening * (2.0 - earth->flattening);
    double n = earth->radius_km / sqrt(1.0 - e2 * sin(lat) * sin(lat));
    double h = site->height_m * 1e-3;

    return (struct vector){(n + h) * cos(lat) * cos(lon), (n + h) * cos(lat) * sin(lon),
                           (n * (1.0 - e2) + h) * sin(lat)};
}

/*
 * Polarisation at the site: E lies in the plane of the line of sight k and the satellite's own
 * axis (north for V, east for H), turned clockwise from the trace of the vertical plane (V) or from
 * the horizontal (H) as seen along k. Derived from the definitions; equal to minus the parallactic
 * angle for V.
 */
static void skews(struct vector k, struct vector up, struct vector sat, struct look *look)
{
    struct vector north = {0.0, 0.0, 1.0};
    struct vector east = cross(north, sat);
    struct vector v = across(up, k);
    struct vector r = cross(k, v);
    struct vector p = across(north, k);
    struct vector q = across(east, k);

    look->skew_v_deg = angle_wrap_axial_deg(atan2(dot(p, r), dot(p, v)) / ANGLE_RAD_PER_DEG);
    look->skew_h_deg = angle_wrap_axial_deg(atan2(-dot(q, v), dot(q, r)) / ANGLE_RAD_PER_DEG);
}

struct look look_at_position(const struct look_earth *earth, const struct look_site *site,
                             const double sat_km[3])
{
    double lat = site->lat_deg * ANGLE_RAD_PER_DEG, lon = site->lon_deg * ANGLE_RAD_PER_DEG;
    struct vector up = {cos(lat) * cos(lon), cos(lat) * sin(lon), sin(lat)};
    struct vector east = {-sin(lon), cos(lon), 0.0};
    struct vector north = cross(up, east);
    struct vector sat = {sat_km[0], sat_km[1], sat_km[2]};
    struct vector line = subtract(sat, site_position(earth, site));
    double e = dot(line, east), n = dot(line, north), u = dot(line, up);
    double sat_lon = atan2(sat.y, sat.x), range = sqrt(dot(line, line));
    struct look look = {
        .azimuth_deg = angle_wrap_deg(atan2(e, n) / ANGLE_RAD_PER_DEG),
        .elevation_deg = atan2(u, hypot(e, n)) / ANGLE_RAD_PER_DEG,
        .range_km = range,
    };

    skews(scale(line, 1.0 / range), up, sat, &look);
    look.skew_simple_deg =
        angle_wrap_axial_deg(atan2(sin(lon - sat_lon), tan(lat)) / ANGLE_RAD_PER_DEG);
    return look;
}

struct look look_at_geostationary(const struct look_earth *earth, const struct look_site *site,
                                  double sat_lon_deg)
{
    double lon = sat_lon_deg * ANGLE_RAD_PER_DEG;
    double sat_km[3] = {earth->orbit_km * cos(lon), earth->orbit_km * sin(lon), 0.0};

    return look_at_position(earth, site, sat_km);
}

/* The haversine of the spherical triangle with the zenith: exact also close together. */
double look_angle_deg(double azimuth_deg, double elevation_deg, double other_azimuth_deg,
                      double other_elevation_deg)
{
    double e = elevation_deg * ANGLE_RAD_PER_DEG, f = other_elevation_deg * ANGLE_RAD_PER_DEG;
    double across = sin(0.5 * (other_azimuth_deg - azimuth_deg) * ANGLE_RAD_PER_DEG);
    double up = sin(0.5 * (f - e));
    double half = sqrt(up * up + cos(e) * cos(f) * across * across);

    return 2.0 * asin(half > 1.0 ? 1.0 : half) / ANGLE_RAD_PER_DEG;
}

/*
 * ITU-R P.834, the bending of a ray from a satellite by its elevation in free space, for an average
 * atmosphere and heights of 0 to 3 km (its coefficients are from memory; the tests hold the result
 * against a traced ray and against ERFA). It is made for low elevations: above 10 degrees the law
 * of a flat atmosphere, cot(elevation), goes on from there. Below -1 degree nothing is received
 * anyway: the bending fades out over two degrees so that nothing jumps.
 *
 * Within 0.012 degrees of a ray traced through the reference atmosphere of ITU-R P.453. Near the
 * horizon the weather changes the true bending by more than that (common knowledge, no source).
 */
double look_refraction_deg(double elevation_deg, double height_m)
{
    static const double join_deg = 10.0, lowest_deg = -1.0, fade_deg = 2.0;
    double h = fmin(fmax(height_m * 1e-3, 0.0), 8.0);
    double e = fmin(fmax(elevation_deg, lowest_deg), join_deg);
    double bent;

    if (!isfinite(elevation_deg) || !isfinite(height_m)) {
        return NAN;
    }
    bent = 1.0 / (1.728 + 0.5411 * e + 0.03723 * e * e +
                  h * (0.1815 + 0.06272 * e + 0.01380 * e * e) + h * h * (0.01727 + 0.008288 * e));
    if (elevation_deg > join_deg) {
        return bent * tan(join_deg * ANGLE_RAD_PER_DEG) / tan(elevation_deg * ANGLE_RAD_PER_DEG);
    }
    return bent * fmax(0.0, 1.0 - (e - elevation_deg) / fade_deg);
}
