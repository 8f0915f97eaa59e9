/* options.h - the flags that several commands share, and how they become a job. */
#ifndef COMMAND_OPTIONS_H
#define COMMAND_OPTIONS_H

#include <getopt.h>
#include <stdbool.h>

#include "coach/procedure.h"
#include "job/job.h"
#include "sky/magnetic.h"

/* Values for getopt_long beyond the letters. */
enum {
    OPTION_JOB = 1000,
    OPTION_SITE,
    OPTION_TARGET,
    OPTION_POL,
    OPTION_SOURCE,
    OPTION_PROCEDURE,
    OPTION_OWN, /* the first of a command's own */
};

/* To be put at the head of a command's table. */
#define OPTIONS_SHARED                                                                             \
    {"job", required_argument, NULL, OPTION_JOB}, {"site", required_argument, NULL, OPTION_SITE},  \
        {"target", required_argument, NULL, OPTION_TARGET},                                        \
        {"pol", required_argument, NULL, OPTION_POL},                                              \
    {                                                                                              \
        "help", no_argument, NULL, 'h'                                                             \
    }

/*
 * getopt_long() that complains as the rest of the program does.
 *
 *   table    ends in a row of zeros
 *   returns  the option, with getopt's optarg; -1 at the end of the flags, 'h' for help, '?' after
 *            complaining about an unknown flag, a missing value or a needless one
 */
int options_next(int argc, char **argv, const struct option *table);

/* The help lines of the shared flags. */
extern const char options_shared_help[];

/*
 * One of the shared flags. The job file is read where --job stands; the other flags override it
 * wherever they stand, because they are kept and set by options_finish().
 */
struct options {
    const char *job_path;
    const char *site, *target, *polarisation;
    const char *procedure;
    const char *sources[JOB_SOURCES];
    int source_count;
};

/* True when the option was one of the shared ones (or --source, --procedure). */
bool options_take(struct options *options, int option, const char *argument);

/* The job from its file and the flags over it, as far as they go. 0 or -EINVAL, as below. */
int options_gather(const struct options *options, struct job *ret_job);

/*
 * The same, and complete: a site, a target, nothing contradictory.
 *
 *   returns  0; -EINVAL after complaining on standard error
 */
int options_finish(const struct options *options, struct job *ret_job);

/* The procedure that the job names, or the one for its polarisation and mount. 0 or -EINVAL. */
int options_procedure(const struct job *job, struct procedure *ret_procedure);

/* The magnetic model that the job names, or the built-in one. 0 or -EINVAL. */
int options_magnetic(const struct job *job, struct magnetic_model *ret_model);

#endif
