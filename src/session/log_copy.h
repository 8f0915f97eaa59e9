/*
 * log_copy.h - a log copied line by line, byte for byte, with a record put in where it belongs by
 * its time. The original is only read.
 */
#ifndef SESSION_LOG_COPY_H
#define SESSION_LOG_COPY_H

#include "session/log.h"

/*
 * Copy a log to a file that does not exist yet, and make it safe against a flat battery. A copy
 * that fails is removed again.
 *
 *   extra    comes behind every record that is not later; NULL = nothing is put in
 *   returns  0; -EEXIST; -errno of reading or writing; -EINVAL a line is no record
 */
int log_copy(const char *from, const char *to, const struct record *extra);

/*
 * Put a record into a log that is ours. Whoever reads it meanwhile, or after a crash, has the file
 * before or the one after, never a part.
 *
 *   returns  as above
 */
int log_insert(const char *path, const struct record *extra);

#endif
