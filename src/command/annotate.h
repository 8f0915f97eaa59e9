/*
 * annotate.h - a trainer's notes in a replay: marks in a copy of the log. The original is only
 * read; the copy replays as the original does, with the marks.
 */
#ifndef COMMAND_ANNOTATE_H
#define COMMAND_ANNOTATE_H

#include "command/engine.h"

/*
 * Copy the log that is to be replayed, and replay the copy.
 *
 *   path     of the copy; must not exist yet
 *   returns  0; -EINVAL after complaining
 */
int annotate_begin(struct engine *engine, const char *path);

/* True when a record is what can be added, and there is a copy to add it to. */
bool annotate_takes(const struct engine *engine, const struct record *record);

/* A note or a mark becomes a mark behind the newest record shown. Tells the face when it can't be
 * written. */
void annotate_add(struct engine *engine, const struct record *record);

#endif
