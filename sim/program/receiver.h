/*
 * receiver.h - the sentences that a satellite navigation receiver with an attitude sensor sends:
 * NMEA 0183 with checksums and line ends. Pure.
 */
#ifndef SIM_PROGRAM_RECEIVER_H
#define SIM_PROGRAM_RECEIVER_H

#include <stddef.h>

#include "sim/globe.h"

enum { RECEIVER_LINES_SIZE = 256 };

/*
 * Position and time, RMC and GGA of the same instant:
 *
 *   $GPRMC,093002.00,A,4636.00000,N,01006.00000,E,0.0,0.0,120526,,,A*hh
 *   $GPGGA,093002.00,4636.00000,N,01006.00000,E,1,09,0.9,2152.0,M,48.0,M,,*hh
 *
 * The geoid is taken as 48 m above the ellipsoid, as it is in the Alps.
 * Source: gpsd's NMEA reference (gpsd.io/NMEA.html), sentences RMC and GGA.
 *
 *   utc_s    seconds since 1970
 *   returns  the length; lines are terminated by CR LF, the text by NUL
 */
size_t receiver_format_fix(char lines[RECEIVER_LINES_SIZE], const struct globe_site *site,
                           double utc_s);

/*
 * How the antenna stands, in the only sentence that gives gpsd heading, pitch and roll together:
 *
 *   $PTNTHTM,143.20,N,35.05,N,-10.90,N,65.0,2454*hh
 *
 *   deg  true azimuth, elevation, skew; NaN is left empty
 */
size_t receiver_format_attitude(char lines[RECEIVER_LINES_SIZE], const double deg[3]);

#endif
