/* handover_read.h - a log on disk as a handover, judged. */
#ifndef RECORD_HANDOVER_READ_H
#define RECORD_HANDOVER_READ_H

#include "record/handover.h"
#include "sky/magnetic.h"

/* Everything that a handover lives in. */
struct handover_source;

/* NULL when there is no memory. */
struct handover_source *handover_source_create(void);
void handover_source_destroy(struct handover_source *source); /* NULL is allowed */

/*
 * Read a log. The same source may read one log after the other; each ends the handover before.
 *
 *   begin        called with the job and the language that the log names, before its records:
 * speaks that language, so that the coach says what it said, and fills the magnetic model; or
 * returns -EINVAL after complaining ret          borrowed from the source why          on failure:
 * file, line, what is wrong returns      0; -EINVAL no log, or a bad line; -EBUSY it grew
 * meanwhile, a session is still being recorded; -errno when it can't be read
 */
int handover_read(struct handover_source *source, const char *path,
                  int (*begin)(const struct job *job, const char *language,
                               struct magnetic_model *ret),
                  struct handover **ret, char why[JOB_ERROR_SIZE]);

#endif
