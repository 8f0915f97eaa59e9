/* record_names.h - the words that stand for enums in a line of the log, for reading and writing. */
#ifndef SESSION_RECORD_NAMES_H
#define SESSION_RECORD_NAMES_H

#include "session/record.h"

enum { RECORD_STATUS_COUNT = SOURCE_BAD + 1, RECORD_EVENT_COUNT = STEP_LEAVE + 1 };

extern const char *const record_status_names[RECORD_STATUS_COUNT];
extern const char *const record_event_names[RECORD_EVENT_COUNT];
extern const char *const record_until_names[UNTIL_COUNT];

#endif
