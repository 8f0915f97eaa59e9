/* quiz.h - a recorded session that asks before it tells. */
#ifndef COMMAND_QUIZ_H
#define COMMAND_QUIZ_H

#include "command/engine.h"

/*
 * Go through a session's log; wherever the coach gave a new way to turn, ask which and how far on
 * standard output, hear the answer on standard input, then tell what the coach said, what the
 * technician did and what came of it. Questions, answers and score are notes in a log of their own.
 *
 *   engine    made anew
 *   path      of the session's log
 *   log_path  of the quiz's; NULL = a new file in the usual place
 *   returns   the exit status, after complaining
 */
int quiz_run(struct engine *engine, const char *path, const char *log_path);

#endif
