/*
 * figure_eight.h - a satellite near its slot: over a sidereal day one with an inclination draws a
 * figure of eight on the sky, one with an eccentricity sways east and west. Pure.
 */
#ifndef SKY_FIGURE_EIGHT_H
#define SKY_FIGURE_EIGHT_H

#include <stddef.h>

#include "sky/look.h"

struct figure_eight {
    double lon_deg;         /* mean longitude at the epoch, east positive */
    double drift_deg_day;   /* of the mean longitude, east positive */
    double epoch_s;         /* UTC in seconds since 1970; of no account without a drift */
    double inclination_deg; /* [0, 180) */
    double node_deg;        /* right ascension of the ascending node; NaN = not known */
    double eccentricity;    /* [0, 0.9] */
    double perigee_deg;     /* its argument, from the ascending node; NaN = not known */
};

/*
 * Where it stands, earth-fixed, in km.
 *
 *   returns  NaN when node or perigee would count and are not known, and for input out of range
 *   Model: Kepler's ellipse of 42 164.17 km, its node and perigee fixed. Moon, sun and the earth's
 *   equator pull a real one off it by hundredths of a degree within days of its elements: for more,
 *   sgp4.h.
 *   Source: any textbook of orbits, such as Soop, Handbook of Geostationary Orbits, chapter 2.
 */
void figure_eight_at(const struct figure_eight *figure, double unix_s, double ret_km[3]);

/* How far an operator lets it go beside that; half widths, >= 0. Within 0.1 degrees of longitude is
 * what the Radio Regulations ask of most (article 22; from memory). */
struct figure_eight_box {
    double east_west_deg, north_south_deg;
};

/* Where an antenna would have to look over the day. */
struct figure_eight_spread {
    double azimuth_deg, elevation_deg; /* the middle between the extremes; geometric */
    double azimuth_half_deg;           /* half the way from one extreme to the other, >= 0 */
    double elevation_half_deg;
    double angle_deg; /* from the middle to the furthest place: against half the beam's width */
};

/*
 * The spread over the 24 hours from a time, every corner of the box counted at every moment.
 *
 *   from_s   a node or perigee that is not known counts as 0: the spread is the same at another
 *            time of the day, or nearly so when both count
 *   returns  NaN for input out of range. At an elevation near 90 degrees the azimuths say nothing:
 *            take angle_deg.
 */
struct figure_eight_spread figure_eight_over_a_day(const struct look_site *site,
                                                   const struct figure_eight *figure,
                                                   const struct figure_eight_box *box,
                                                   double from_s);

/* The same of any earth-fixed places in km: those of sgp4.h at some moments, say. n > 0 */
struct figure_eight_spread figure_eight_spread_of(const struct look_site *site,
                                                  const double (*places_km)[3], size_t n);

#endif
