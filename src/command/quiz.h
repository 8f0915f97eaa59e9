/*
 * quiz.h - a recorded session that asks before it tells: a face around a face. Wherever the coach
 * gives a new way to turn, its advice is held back and time stands still until somebody says which
 * axis, which way and how far; then the advice is shown, and once the next one comes, what the
 * technician did and what came of it. Questions, answers and score are notes in a log of their own.
 */
#ifndef COMMAND_QUIZ_H
#define COMMAND_QUIZ_H

#include "command/engine.h"

struct quiz;

/*
 * Start the quiz's log.
 *
 *   engine    with the session's log opened, and no face yet
 *   log_path  of the quiz's log; NULL = a new file in the usual place
 *   returns   NULL after complaining
 */
struct quiz *quiz_create(struct engine *engine, const char *log_path);

/* Go through the session with the engine's open face. The exit status. */
int quiz_run(struct quiz *quiz);

/* After the engine's face is closed. NULL is allowed. */
void quiz_destroy(struct quiz *quiz);

#endif
