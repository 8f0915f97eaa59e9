/*
 * nmea.h - what NMEA 0183 sentences say about the attitude of an antenna, from any talker. Pure.
 *
 *   $GPHDT,274.07,T*03                 heading from true north
 *   $HCHDM,212.2,M*2A                  heading from magnetic north
 *   $HCHDG,98.3,0.0,E,12.6,W*57        magnetic sensor, deviation, variation
 *   $YXXDR,A,2.5,D,PTCH,A,-1.3,D,ROLL*75   transducers: pitch and roll
 *
 * Source: the sentence descriptions of the gpsd project's "NMEA Revealed" and its driver's
 * comments; the examples in tests/reference/nmea-examples.csv name each.
 */
#ifndef SOURCE_NMEA_H
#define SOURCE_NMEA_H

#include <stdbool.h>

#include "session/record.h"

/* Degrees; NaN = the sentence does not say. */
struct nmea_attitude {
    double true_deg;     /* heading from true north, [0, 360) */
    double magnetic_deg; /* heading from magnetic north, [0, 360) */
    double pitch_deg;    /* within 180; positive = up */
    double roll_deg;     /* within 180; positive = clockwise seen from behind (right side down) */
};

/* True when a line claims to be a sentence: it starts with '$' or '!'. */
bool nmea_is_sentence(const char *line);

/*
 *   line      one sentence without its line end; blanks after the checksum are allowed
 *   returns   1 it says something about attitude; 0 it is sound but says nothing about it (another
 *             sentence, or empty fields), output untouched;
 *             -EBADMSG the checksum is missing or wrong; -EINVAL a field is not what it must be;
 *             -ERANGE a heading outside 0 to 360, or an angle beyond 180
 *
 * The sign of pitch and roll is common practice for marine sensors (bow up, starboard down); the
 * sentence itself does not fix it. HEEL and TRIM, the boat's own, are not taken for the antenna's.
 */
int nmea_parse(const char *line, struct nmea_attitude *ret_attitude);

/*
 * As angles of the antenna: heading = azimuth, pitch = elevation, roll = skew. Of two headings the
 * magnetic one counts: it is what the sensor measured, and the program's own field model is newer
 * than the variation that was once set in a compass.
 *
 *   returns  0; -ERANGE when pitch is beyond 90 (raw counts of a sensor, say), output untouched
 */
int nmea_to_angles(const struct nmea_attitude *attitude, const char *from,
                   struct record_angles *ret_angles);

#endif
