/* angle.h - arithmetic on angles and their spellings. Pure: no I/O, no clock, no memory. */
#ifndef SKY_ANGLE_H
#define SKY_ANGLE_H

#define ANGLE_RAD_PER_DEG 0.017453292519943295769

/* Any finite angle in degrees as [0, 360); NaN stays NaN. */
double angle_wrap_deg(double deg);

/*
 * The shortest turn from one heading to another.
 *
 *   from, to  headings in degrees, clockwise from north; any finite value
 *   returns   degrees in (-180, 180], positive = clockwise; NaN if either is not finite
 */
double angle_turn_deg(double from, double to);

/* An axial angle (a polarisation: modulo 180) as (-90, 90]; NaN stays NaN. */
double angle_wrap_axial_deg(double deg);

/* The shortest turn between two axial angles: degrees in (-90, 90], positive = clockwise. */
double angle_turn_axial_deg(double from, double to);

/*
 * A longitude or latitude as people write it: "47.5", "-12", "47.5E", "12W", "N46.6",
 * "46d36m12.5s N", "46°36'12.5\"N", "46 36 12.5 S". A sign or a letter, not both; decimals in the
 * last part only. "33d52m30s" alone is no latitude: its s may be seconds or south.
 *
 *   returns  0 and degrees, east and north positive; -EINVAL not such a spelling;
 *            -ERANGE beyond 180 (longitude) or 90 (latitude), minutes or seconds from 60 on
 */
int angle_parse_longitude(const char *text, double *ret_deg);
int angle_parse_latitude(const char *text, double *ret_deg);

#endif
