/* sidereal.h - the earth's turn against the stars, through the ERFA library. Pure. */
#ifndef SKY_SIDEREAL_H
#define SKY_SIDEREAL_H

/*
 * Greenwich mean sidereal time, [0, 2 pi): the angle from the mean equinox to 0E.
 *
 *   unix_s   UTC in seconds since 1970, taken as UT1: wrong by up to 0.9 s, 0.004 degrees
 *   returns  radians; NaN for a time that is not finite
 *   Source: IAU 1982 model (ERFA eraGmst82), which two-line elements go by (Vallado and others,
 *   Revisiting Spacetrack Report #3, AIAA 2006-6753).
 */
double sidereal_greenwich_rad(double unix_s);

/*
 * A place on the equator and mean equinox of date (true equator, mean equinox: TEME) as an
 * earth-fixed one (x to 0E, z to the north pole); polar motion, 10 m at most, is left out. Same
 * units; the two may be the same array.
 */
void sidereal_to_earth(double unix_s, const double place[3], double ret[3]);

#endif
