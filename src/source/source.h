/*
 * source.h - where readings come from: one struct of functions each, opened by an address
 * (scheme:rest), all non-blocking, driven by one poll() loop.
 */
#ifndef SOURCE_SOURCE_H
#define SOURCE_SOURCE_H

#include <stddef.h>

#include "job/job.h"
#include "session/record.h"

struct source_setup {
    const struct job *job;         /* borrowed */
    const struct job_meter *meter; /* profile for its lines; NULL = none. Borrowed from the job */
    const char *name;              /* what its `source` and `angles` records call it. Borrowed */
};

/* One way to get readings. Called from the main loop; none of these may block. */
struct source_ops {
    const char *scheme; /* what the user types before the colon */

    /* address: what follows the scheme and its colon. 0 or -errno, why filled with a phrase. A
     * device that is not there yet is no failure here: the source says so in a `source` record and
     * tries again. Only a wrong address fails. */
    int (*open)(const char *address, const struct source_setup *setup, void **ret_self,
                char why[RECORD_TEXT_SIZE]);

    /* To poll for input, or -1. May change after each read(). */
    int (*fd)(const void *self);

    /* t of the next call that it wants without input; INFINITY = none. */
    double (*wake)(const void *self);

    /* One record a call: 1 with *ret filled (ret->t too), 0 = no more now. Whatever happens to the
     * device is a `source` record, said once; -ENODATA = nothing will ever come again (a replay's
     * end). */
    int (*read)(void *self, double t, struct record *ret);

    /* Words of the operator that the source may act on (a simulated mount moves). May be NULL. */
    void (*tell)(void *self, double t, const struct record *said);

    /* What the coach advised (a simulated technician obeys). May be NULL. */
    void (*advise)(void *self, double t, const struct advice *advice);

    /* Nobody is left who could do what is advised (a simulated technician gave up), and everything
     * was said. May be NULL: somebody is. */
    bool (*gave_up)(const void *self);

    /*
     * A session that was cut off goes on: what is in its log, record by record, before the first
     * read(); of what the coach made all of it, logged or not. So a simulated mount comes to stand
     * as it stood. May be NULL.
     */
    void (*again)(void *self, const struct record *record);

    void (*close)(void *self); /* NULL is allowed */
};

struct source {
    const struct source_ops *ops; /* NULL = closed */
    void *self;                   /* owned */
    char name[RECORD_NAME_SIZE];
    char address[JOB_TEXT_SIZE];
};

extern const struct source_ops source_gpsd, source_keys, source_replay, source_serial, source_sim,
    source_tcp;

/* The table, alphabetical, ended by NULL. */
extern const struct source_ops *const source_table[];

/*
 * Open by address. A path without a scheme is taken as replay when it ends in .jsonl.
 *
 *   setup->name may be NULL: the scheme is used
 *   returns  0; -EINVAL and why for an unknown scheme or a wrong address
 */
int source_open(struct source *source, const char *address, const struct source_setup *setup,
                char why[RECORD_TEXT_SIZE]);
void source_close(struct source *source);

#endif
