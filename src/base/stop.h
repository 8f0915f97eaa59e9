/*
 * stop.h - being told to stop: SIGINT, SIGTERM and SIGHUP become a flag that a loop looks at. The
 * one place that changes how the process takes signals (crashes of the screen apart); SIGPIPE is
 * ignored, so that a reader who left is an error of write().
 */
#ifndef BASE_STOP_H
#define BASE_STOP_H

#include <signal.h>
#include <stdbool.h>

/*
 * Catch the three and block them. They are let through only under *ret_while_waiting, to be given
 * to ppoll(): so none can be missed between looking at the flag and waiting.
 */
void stop_catch(sigset_t *ret_while_waiting);

/* True once one of them came since stop_catch(). */
bool stop_requested(void);

#endif
