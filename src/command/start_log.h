/* start_log.h - where the log of a new session goes. */
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

#endif
