/*
 * lines.h - what a meter's or a sensor's lines mean, however they come (serial port, TCP): the
 * meter's own pattern, and NMEA 0183 attitude beside it. Polls the meter where it wants to be
 * asked.
 *
 * A line that starts with '$' or '!' is an NMEA sentence, unless the pattern itself starts so. The
 * first line after opening may lack its head ("12.1" cut to "2.1"), so it only counts when a
 * checksum says that it is whole.
 */
#ifndef SOURCE_LINES_H
#define SOURCE_LINES_H

#include "source/feed.h"
#include "source/pattern.h"
#include "source/source.h"

enum { LINES_LINE_SIZE = 512, LINES_POLL_SIZE = 160 };

struct lines {
    struct feed feed;
    char room[LINES_LINE_SIZE];
    const struct job_meter *meter; /* borrowed; NULL = NMEA only */
    struct pattern pattern;
    char poll[LINES_POLL_SIZE]; /* bytes to send */
    size_t poll_length;         /* 0 = none */
    double poll_t;              /* when to send next */
    struct record_lock lock;    /* said last */
    double lock_t;              /* NaN = not yet */
};

/*
 *   ops, where  how the stream is opened (feed.h)
 *   returns     0; -EINVAL and why when the meter's pattern or poll command is wrong
 */
int lines_init(struct lines *lines, const struct feed_ops *ops, const void *where,
               const struct source_setup *setup, char why[RECORD_TEXT_SIZE]);
void lines_finish(struct lines *lines);

/* As source.h's read, wake and fd. */
int lines_read(struct lines *lines, double t, struct record *ret);
double lines_wake(const struct lines *lines);
int lines_fd(const struct lines *lines);

#endif
