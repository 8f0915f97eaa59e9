/*
 * resume.h - going on with a session that was cut off, in its own log. Resuming is replaying: the
 * state and the coach come to stand as they stood, a simulated mount, too.
 */
#ifndef COMMAND_RESUME_H
#define COMMAND_RESUME_H

#include "command/engine.h"
#include "command/options.h"

/*
 * The log is this process's alone from here on, its job, procedure and language are those of the
 * session; sources that are asked for take the place of the job's. Nothing is written yet.
 *
 *   returns  0; -EINVAL after complaining
 */
int resume_begin(struct engine *engine, const char *path, const struct options *options);

/* With the sources open and the pace set: go through the log again, and make it whole where it was
 * cut. 0; -EINVAL after complaining. */
int resume_replay(struct engine *engine);

/* With a face open: leave a mark in the log, unless nothing is left to do. */
void resume_mark(struct engine *engine);

#endif
