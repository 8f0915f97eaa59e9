/*
 * gpsd.h - what the lines of gpsd's JSON protocol say, live or captured with `gpspipe -w`. Pure but
 * for the memory that the parser keeps. gpsd_json(5) describes the lines.
 *
 *   {"class":"TPV","mode":3,"time":"2026-01-01T12:00:00.000Z","lat":46.5,"lon":10.1,"altHAE":2200.5,...}
 *   {"class":"ATT","heading":85.70,"pitch":2.50,"roll":-1.30}
 */
#ifndef SOURCE_GPSD_H
#define SOURCE_GPSD_H

#include <stdbool.h>

#include "session/record.h"

enum {
    GPSD_LINE_SIZE = 16384, /* a sky view of all satellites stays below 10240 bytes */
    GPSD_RECORDS = 2,       /* of one line: a fix and a time */
};

struct gpsd_parser;

/* What one line said. */
struct gpsd_report {
    struct record records[GPSD_RECORDS]; /* t is left 0 */
    int count;
    double unix_s;    /* UTC of a position report; NaN = none stated */
    bool is_position; /* a position report, with or without a fix */
    bool is_receiver; /* it comes from a receiver, not from the daemon about itself */
};

/* name: what the angle records say they are from. NULL without memory. */
struct gpsd_parser *gpsd_parser_create(const char *name);
void gpsd_parser_destroy(struct gpsd_parser *parser); /* NULL is allowed */

/*
 *   line      one line without its end; changed by the parsing
 *   why       on failure a phrase
 *   returns   0; -EINVAL not a line of gpsd; -ERANGE a position or an angle that can't be (raw
 * counts of a sensor, say); the report is untouched then
 *
 * TPV gives a fix (height above the ellipsoid: altHAE; without a fix the mode alone) and, with a
 * fix, the time; ATT gives angles: heading from true north = azimuth, pitch = elevation, roll =
 * skew. Times of a receiver without a fix are not taken: they may come from an unset clock.
 */
int gpsd_parse_line(struct gpsd_parser *parser, char *line, struct gpsd_report *ret_report,
                    char why[RECORD_TEXT_SIZE]);

#endif
