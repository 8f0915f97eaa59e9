/*
 * globe.h - the simulator's own geometry: plain vectors on the WGS84 ellipsoid. Kept apart from the
 * program's on purpose, so that a mistake in one shows against the other. Pure.
 */
#ifndef SIM_GLOBE_H
#define SIM_GLOBE_H

struct globe_vector {
    double x, y, z;
};

struct globe_vector globe_add(struct globe_vector a, struct globe_vector b);
struct globe_vector globe_scale(struct globe_vector a, double factor);
double globe_dot(struct globe_vector a, struct globe_vector b);
struct globe_vector globe_cross(struct globe_vector a, struct globe_vector b);
struct globe_vector globe_unit(struct globe_vector a);

/* Turn a about the unit vector axis by the right hand's rule, degrees (Rodrigues' formula). */
struct globe_vector globe_turn(struct globe_vector a, struct globe_vector axis, double deg);

/* How an antenna or an observer stands: three unit vectors at right angles, x east, y north, z up.
 */
struct globe_attitude {
    struct globe_vector ahead; /* the boresight */
    struct globe_vector up;
    struct globe_vector right;
};

/*
 * Looking toward a direction with the head upright.
 *
 *   azimuth_deg    clockwise from true north
 *   elevation_deg  above the horizontal
 */
struct globe_attitude globe_look(double azimuth_deg, double elevation_deg);

/* Roll clockwise about ahead, seen from behind. */
struct globe_attitude globe_roll(struct globe_attitude attitude, double deg);

/* [0, 360) and degrees above the horizontal of a direction. */
double globe_azimuth_deg(struct globe_vector direction);
double globe_elevation_deg(struct globe_vector direction);

/* The shortest way round: degrees in [-180, 180), and in [-90, 90) for a polarisation. */
double globe_wrap_deg(double deg);
double globe_wrap_axial_deg(double deg);

struct globe_site {
    double lat_deg, lon_deg; /* geodetic, north and east positive */
    double height_m;         /* above the ellipsoid */
};

/* A geostationary satellite as it is received: all vectors x east, y north, z up at the site. */
struct globe_arrival {
    struct globe_vector toward; /* unit vector to the satellite, refraction included */
    struct globe_vector e_v;    /* electric field of polarisation V (across the equator's plane) */
    struct globe_vector e_h;    /* of polarisation H (along the equator's plane) */
    double range_km;
    double refraction_deg; /* how much the air lifts it */
};

/*
 *   sat_lon_deg  longitude of the satellite, at a radius of 42 164.17 km over the equator
 *   air          the refractivity at sea level in N units; 0 = none, about 315 usual
 *
 * Source: WGS84 semi-axis 6 378 137 m and flattening 1/298.257223563 (NIMA TR8350.2). Refraction:
 * a plane atmosphere, N cot(elevation), with Bennett's correction toward the horizon (J. Navigation
 * 35, 1982, from memory), N falling with height as ITU-R P.453 has it (7.35 km, from memory):
 * good to 0.01 deg above 5 deg of elevation.
 */
struct globe_arrival globe_receive(const struct globe_site *site, double sat_lon_deg, double air);

#endif
