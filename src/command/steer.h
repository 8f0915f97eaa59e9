/*
 * steer.h - a replay's wheel: pace, pause, one record at a time, and where to in it. Time goes back
 * by folding again from the start. What is ahead is read beforehand, a piece at a time, so that
 * there are places to go to and a picture of the whole.
 */
#ifndef COMMAND_STEER_H
#define COMMAND_STEER_H

#include "command/engine.h"
#include "session/timeline.h"
#include "view/words.h"

/* Begin to look ahead in the engine's replay. 0; -ENOMEM; -EINVAL when it can't be read again. */
int steer_begin(struct engine *engine);
void steer_end(struct engine *engine); /* fine on one that never began */

/* Read on ahead, so many records at most. False when there was nothing more to read. */
bool steer_look_ahead(struct engine *engine, size_t records);

/* A word that steers; the face is told. */
void steer_obey(struct engine *engine, const struct words *words);

/* The recording has got a mark that the look ahead may have passed by. */
void steer_add_mark(struct engine *engine, const struct record *mark);

/* The recording is at its end: time stands still there. */
void steer_stop_at_end(struct engine *engine);

#endif
