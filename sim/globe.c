#include "sim/globe.h"

#include <math.h>

static const double rad = 0.017453292519943295769;
static const double semi_axis_km = 6378.137;
static const double flattening = 1.0 / 298.257223563;
static const double orbit_km = 42164.17;
static const double air_height_m = 7350.0;

struct globe_vector globe_add(struct globe_vector a, struct globe_vector b)
{
    return (struct globe_vector){a.x + b.x, a.y + b.y, a.z + b.z};
}

struct globe_vector globe_scale(struct globe_vector a, double factor)
{
    return (struct globe_vector){a.x * factor, a.y * factor, a.z * factor};
}

double globe_dot(struct globe_vector a, struct globe_vector b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

struct globe_vector globe_cross(struct globe_vector a, struct globe_vector b)
{
    return (struct globe_vector){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z,
                                 a.x * b.y - a.y * b.x};
}

struct globe_vector globe_unit(struct globe_vector a)
{
    return globe_scale(a, 1.0 / sqrt(globe_dot(a, a)));
}

struct globe_vector globe_turn(struct globe_vector a, struct globe_vector axis, double deg)
{
    double c = cos(deg * rad), s = sin(deg * rad);

    return globe_add(globe_add(globe_scale(a, c), globe_scale(globe_cross(axis, a), s)),
                     globe_scale(axis, globe_dot(axis, a) * (1.0 - c)));
}

struct globe_attitude globe_look(double azimuth_deg, double elevation_deg)
{
    double ca = cos(azimuth_deg * rad), sa = sin(azimuth_deg * rad);
    double ce = cos(elevation_deg * rad), se = sin(elevation_deg * rad);

    return (struct globe_attitude){
        .ahead = {ce * sa, ce * ca, se},
        .up = {-se * sa, -se * ca, ce},
        .right = {ca, -sa, 0.0},
    };
}

struct globe_attitude globe_roll(struct globe_attitude attitude, double deg)
{
    double c = cos(deg * rad), s = sin(deg * rad);
    struct globe_vector up = attitude.up, right = attitude.right;

    attitude.up = globe_add(globe_scale(up, c), globe_scale(right, s));
    attitude.right = globe_add(globe_scale(right, c), globe_scale(up, -s));
    return attitude;
}

double globe_azimuth_deg(struct globe_vector direction)
{
    double deg = atan2(direction.x, direction.y) / rad;

    return deg < 0.0 ? deg + 360.0 : deg;
}

double globe_elevation_deg(struct globe_vector direction)
{
    return atan2(direction.z, hypot(direction.x, direction.y)) / rad;
}

double globe_wrap_deg(double deg)
{
    return deg - 360.0 * floor((deg + 180.0) / 360.0);
}

double globe_wrap_axial_deg(double deg)
{
    return deg - 180.0 * floor((deg + 90.0) / 180.0);
}

/* Earth-fixed to east, north, up at the site. */
static struct globe_vector to_local(const struct globe_site *site, struct globe_vector v)
{
    double cl = cos(site->lat_deg * rad), sl = sin(site->lat_deg * rad);
    double co = cos(site->lon_deg * rad), so = sin(site->lon_deg * rad);
    struct globe_vector east = {-so, co, 0.0};
    struct globe_vector north = {-sl * co, -sl * so, cl};
    struct globe_vector up = {cl * co, cl * so, sl};

    return (struct globe_vector){globe_dot(v, east), globe_dot(v, north), globe_dot(v, up)};
}

static struct globe_vector site_position(const struct globe_site *site)
{
    double cl = cos(site->lat_deg * rad), sl = sin(site->lat_deg * rad);
    double e2 = flattening * (2.0 - flattening);
    double normal = semi_axis_km / sqrt(1.0 - e2 * sl * sl);
    double h = site->height_m / 1000.0;

    return (struct globe_vector){
        (normal + h) * cl * cos(site->lon_deg * rad),
        (normal + h) * cl * sin(site->lon_deg * rad),
        (normal * (1.0 - e2) + h) * sl,
    };
}

/* What is left of a vector when its part along the unit vector k is taken away. */
static struct globe_vector across(struct globe_vector a, struct globe_vector k)
{
    return globe_unit(globe_add(a, globe_scale(k, -globe_dot(a, k))));
}

static double refraction_deg(double elevation_deg, double height_m, double air)
{
    if (elevation_deg < -1.0) {
        return 0.0;
    }
    double bent = elevation_deg + 7.31 / (elevation_deg + 4.4);
    double n = air * 1e-6 * exp(-height_m / air_height_m);
    return fmax(0.0, n / tan(bent * rad) / rad);
}

struct globe_arrival globe_receive(const struct globe_site *site, double sat_lon_deg, double air)
{
    double co = cos(sat_lon_deg * rad), so = sin(sat_lon_deg * rad);
    struct globe_vector satellite = {orbit_km * co, orbit_km * so, 0.0};
    struct globe_vector way = globe_add(satellite, globe_scale(site_position(site), -1.0));
    struct globe_vector k = globe_unit(way);
    struct globe_vector toward = to_local(site, k);
    double elevation = globe_elevation_deg(toward);
    double lift = refraction_deg(elevation, site->height_m, air);
    struct globe_vector right = globe_look(globe_azimuth_deg(toward), 0.0).right;

    return (struct globe_arrival){
        .toward = globe_turn(toward, right, lift),
        .e_v = globe_turn(to_local(site, across((struct globe_vector){0, 0, 1}, k)), right, lift),
        .e_h =
            globe_turn(to_local(site, across((struct globe_vector){-so, co, 0}, k)), right, lift),
        .range_km = sqrt(globe_dot(way, way)),
        .refraction_deg = lift,
    };
}
