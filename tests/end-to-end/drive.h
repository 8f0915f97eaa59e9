/* drive.h - a loop around one source, by the real clock, until something has happened. */
#ifndef TESTS_DRIVE_H
#define TESTS_DRIVE_H

#include "../unit/expect.h"

#include "source/source.h"

struct drive {
    struct source source;
    double start;                          /* the clock at t = 0 */
    unsigned count[RECORD_KIND_COUNT];     /* records since the last drive_forget() */
    struct record last[RECORD_KIND_COUNT]; /* the newest of each kind */
    unsigned said[SOURCE_BAD + 1];         /* `source` records by status */
    char why[SOURCE_BAD + 1][RECORD_TEXT_SIZE];
    unsigned turns; /* of the loop, since the last drive_forget() */
    bool ended;
    void (*each_turn)(void *feeder); /* the device's side; may be NULL */
    void *feeder;
    double feed_every_s; /* how often each_turn wants to be called */
};

/* Open a source; the test fails when that fails. */
void drive_open(struct drive *drive, const char *address, const struct source_setup *setup);
void drive_close(struct drive *drive);

/* Forget what was counted. */
void drive_forget(struct drive *drive);

/* Turn the loop until the condition holds; false when it does not within some seconds. */
typedef bool drive_condition(const struct drive *drive);
bool drive_until(struct drive *drive, drive_condition *condition, double seconds);

/* The test fails, with all that was said, unless the condition comes true. */
#define drive_expect(drive, condition, seconds)                                                    \
    drive_expect_at((drive), (condition), (seconds), #condition, __FILE__, __LINE__)
void drive_expect_at(struct drive *drive, drive_condition *condition, double seconds,
                     const char *what, const char *file, int line);

/* The monotonic clock in seconds. */
double drive_clock(void);

/* A listening TCP socket on a free loopback port. */
int drive_listen(int *ret_port);

#endif
