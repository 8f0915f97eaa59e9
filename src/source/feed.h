/*
 * feed.h - a stream of lines that comes and goes: opened again with back-off when it is gone,
 * missed when it is silent, its refused lines counted. What happens to it becomes `source` records,
 * each thing said once. Everything is driven by the caller's clock; nothing here blocks.
 */
#ifndef SOURCE_FEED_H
#define SOURCE_FEED_H

#include <stdbool.h>
#include <stddef.h>

#include "session/record.h"
#include "source/line.h"

enum {
    FEED_BYTES = 4096,
    FEED_QUEUE = 16,   /* the records of one line and what may happen around it */
    FEED_TURN = 65536, /* bytes read in one turn of the loop: a flood must not starve the screen */
};

/* How the stream is opened; `where` is the driver's own. */
struct feed_ops {
    /* Begin: a non-blocking descriptor, or -errno and why. */
    int (*open)(const void *where, char why[RECORD_TEXT_SIZE]);
    /* Is it open: 1, 0 = not yet, -errno and why. NULL: it is at once. */
    int (*ready)(const void *where, int fd, char why[RECORD_TEXT_SIZE]);
    const char *greeting; /* sent when it is open; NULL = nothing */
    const char *gone;     /* what to say when it ends */
    const char *silent;   /* what to say when nothing comes */
    bool is_socket;
};

struct feed {
    const struct feed_ops *ops; /* borrowed */
    const void *where;          /* borrowed */
    char name[RECORD_NAME_SIZE];

    enum { FEED_CLOSED, FEED_OPENING, FEED_OPEN } phase;
    int fd;           /* owned; -1 = closed */
    double retry_t;   /* CLOSED: when to try again; OPENING: when to look again */
    double give_up_t; /* OPENING */
    double delay_s;   /* back-off after the next failure */
    double heard_t;   /* the last useful line, or when it was opened */
    double silence_s; /* how long without a useful line is silence */
    bool fresh;       /* no line since it was opened: the first may lack its head */

    bool said_any; /* the `source` record said last */
    enum record_source_status said;
    char said_why[RECORD_TEXT_SIZE];

    unsigned bad;
    bool bad_unsaid;
    double bad_t; /* when bad lines were last said */
    char bad_why[RECORD_TEXT_SIZE];

    struct line line;
    char bytes[FEED_BYTES];
    size_t byte_count, byte_next;
    double turn_t;
    size_t turn_bytes;

    struct record queue[FEED_QUEUE];
    size_t queue_first, queue_count;
};

/*
 *   room, room_size  for the longest line
 *   silence_s        how long without feed_heard() is silence
 */
void feed_init(struct feed *feed, const struct feed_ops *ops, const void *where, const char *name,
               double silence_s, char *room, size_t room_size);
void feed_finish(struct feed *feed);

/*
 * Do what is due: open, read, notice silence.
 *
 *   returns  true with a line in feed->line.text and .length (until the next call); false = no more
 *            now. Records may have been queued in either case: take them first.
 */
bool feed_line(struct feed *feed, double t);

/* The oldest queued record. False = none. */
bool feed_take(struct feed *feed, struct record *ret);

/* Queue a record made of a line; its t is set. */
void feed_put(struct feed *feed, double t, const struct record *record);

/* The line at hand was of use: the stream is alive. */
void feed_heard(struct feed *feed, double t);

/* The line at hand was refused: counted, said at most once a second. */
void feed_refuse(struct feed *feed, double t, const char *why);

/* Send bytes if it is open; what can't go out at once is dropped. */
void feed_send(struct feed *feed, const char *bytes, size_t n);

/* When to call again without input. */
double feed_wake(const struct feed *feed);

#endif
