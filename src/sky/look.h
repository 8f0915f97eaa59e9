/* look.h - where a geostationary satellite stands, seen from the ground. Pure. */
#ifndef SKY_LOOK_H
#define SKY_LOOK_H

#include <stdbool.h>

struct look_site {
    double lat_deg;  /* geodetic, WGS84, north positive */
    double lon_deg;  /* east positive */
    double height_m; /* above the WGS84 ellipsoid */
};

struct look {
    double azimuth_deg; /* clockwise from true north, [0, 360) */
    double
        elevation_deg; /* geometric, above the plane normal to the ellipsoid's normal; < 0 below */
    double range_km;   /* slant range */
    double skew_v_deg; /* polarisation V from the local vertical, clockwise seen from behind */
    double skew_h_deg; /* polarisation H from the local horizontal, clockwise seen from behind */
    double skew_simple_deg; /* the textbook's atan(sin dlon / tan lat), for comparison */
};

/* The earth as an ellipsoid; a sphere has flattening 0. */
struct look_earth {
    double radius_km; /* equatorial */
    double flattening;
    double orbit_km; /* geostationary radius from the earth's centre */
};

/* WGS84 and the geostationary radius 42 164.17 km; sources in look.c. */
extern const struct look_earth look_earth_wgs84;

/*
 * Look angles to a satellite on the equator at a longitude and the geostationary radius.
 *
 *   site      latitude within [-90, 90], any longitude, height above -6000 m
 *   returns   the angles; all of them also for a satellite below the horizon (elevation < 0),
 *             so that the caller can say how far below. At the pole azimuth counts from the
 *             site's own meridian. NaN only for input that is not finite.
 */
struct look look_at_geostationary(const struct look_earth *earth, const struct look_site *site,
                                  double sat_lon_deg);

/* The same for a satellite at an earth-fixed position in km (x to 0E, z to the north pole). */
struct look look_at_position(const struct look_earth *earth, const struct look_site *site,
                             const double sat_km[3]);

/* The angle between two directions, both geometric or both apparent: [0, 180]. */
double look_angle_deg(double azimuth_deg, double elevation_deg, double other_azimuth_deg,
                      double other_elevation_deg);

/*
 * What the air adds to the elevation: apparent = geometric + refraction.
 *
 *   elevation_deg  geometric, up to 90; height_m of the site
 *   returns        degrees >= 0; 0 from 3 degrees below the horizon on; NaN for input that is not
 *                  finite
 *   Source and accuracy: look.c
 */
double look_refraction_deg(double elevation_deg, double height_m);

#endif
