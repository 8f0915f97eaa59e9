/* procedure_file.h - procedures from files, and the built-in ones. */
#ifndef JOB_PROCEDURE_FILE_H
#define JOB_PROCEDURE_FILE_H

#include "coach/procedure.h"
#include "job/job.h"

/* Names of the built-in procedures, ended by NULL. */
extern const char *const procedure_builtin_names[];

/* 0; -ENOENT no such built-in procedure. */
int procedure_builtin(const char *name, struct procedure *ret_procedure);

/* 0; -EINVAL and why = "FILE:LINE: ..."; -errno when it can't be read. */
int procedure_read(struct procedure *ret_procedure, const char *path, char why[JOB_ERROR_SIZE]);

#endif
