/* options.h - the flags that several commands share, and how they become a job. */
#ifndef COMMAND_OPTIONS_H
#define COMMAND_OPTIONS_H

#include "coach/procedure.h"
#include "command/flags.h"
#include "job/job.h"
#include "sky/magnetic.h"

/* --job and what overrides it; they fill a struct options that a command's own begins with. */
extern const struct flag options_shared[];

/* The job file is read first; the other flags override it wherever they stand. */
struct options {
    const char *job_path;
    const char *site, *target, *polarisation;
    const char *procedure;
    struct flag_texts sources;
};

/* The job from its file and the flags over it, as far as they go. 0 or -EINVAL, as below. */
int options_gather(const struct options *options, struct job *ret_job);

/*
 * The same, and complete: a site, a target, nothing contradictory.
 *
 *   returns  0; -EINVAL after complaining on standard error
 */
int options_finish(const struct options *options, struct job *ret_job);

/* The sources that were asked for in the place of the job's, if any were. 0 or -EINVAL. */
int options_sources(const struct options *options, struct job *job);

/* The procedure that the job names, or the one for its polarisation and mount. 0 or -EINVAL. */
int options_procedure(const struct job *job, struct procedure *ret_procedure);

/*
 * A pace as --speed has it: session seconds per second, INFINITY for max.
 *
 *   text     NULL = not given: `otherwise`
 *   returns  0; -EINVAL after complaining
 */
int options_pace(const char *text, double otherwise, double *ret_speed);

/*
 * The length of a session as --time-limit has it, in minutes.
 *
 *   ret_s    seconds; left as it is when the text is NULL
 *   returns  0; -EINVAL after complaining
 */
int options_limit(const char *text, double *ret_s);

/* The magnetic model that the job names, or the built-in one. 0 or -EINVAL. */
int options_magnetic(const struct job *job, struct magnetic_model *ret_model);

#endif
