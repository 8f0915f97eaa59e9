/*
 * replay.h - a recorded session, or a stream captured with `gpspipe -w`, as a source.
 *
 * It hands out what was fed into the session, not what the coach made of it. Each record comes when
 * the caller's clock reaches its time: the clock's pace is the replay's pace, and time that is
 * skipped is read at once.
 */
#ifndef SOURCE_REPLAY_H
#define SOURCE_REPLAY_H

#include <stdbool.h>

/* True when a file looks like a capture of gpsd's protocol and not like a session's log. */
bool replay_is_capture(const char *path);

#endif
