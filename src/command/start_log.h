/* start_log.h - where the log of a new session goes, and whether all of it got there. */
#ifndef COMMAND_START_LOG_H
#define COMMAND_START_LOG_H

#include "command/engine.h"

/*
 * Begin the log of the engine's job and procedure.
 *
 *   path     must not exist yet; NULL = a new file below $XDG_STATE_HOME/peakward
 *   returns  0; -EINVAL after complaining
 */
int start_log(struct engine *engine, const char *path);

/* Close the log. Returns the exit status: the one given, or EXIT_NOT_DONE after complaining when
 * the log lacks something. */
int end_log(struct engine *engine, int status);

#endif
