/*
 * elements_file.h - a satellite's elements out of a file: two-line elements, CCSDS OMM in KVN, or
 * the same keys as JSON, one flat object or an array of them:
 *
 *   [{"OBJECT_NAME": "PTARMIGAN 1", "EPOCH": "2026-11-25T12:00:00", "MEAN_MOTION": 1.00271, ...}]
 */
#ifndef JOB_ELEMENTS_FILE_H
#define JOB_ELEMENTS_FILE_H

#include <stddef.h>

#include "job/job.h"
#include "sky/elements.h"

/*
 * What the file is, is seen from how it begins.
 *
 *   wanted   name or catalogue number; NULL or "" = the only satellite there is
 *   why      on failure "FILE: ...": line, key or field, what is wrong
 *   returns  as elements_parse(); -errno when it can't be read, -EFBIG beyond 32 MiB
 */
int elements_file_read(const char *path, const char *wanted, struct elements *ret,
                       char why[JOB_ERROR_SIZE]);

/* The same from a text of n bytes and a NUL; why without the file's name. */
int elements_file_read_text(const char *text, size_t n, const char *wanted, struct elements *ret,
                            char why[ELEMENTS_WHY]);

#endif
