/*
 * log.h - the session on disk: JSON Lines, appended, one record a line. The first line names the
 * format's version, the job and the procedure, so that a log is complete by itself, and the program
 * that recorded it.
 */
#ifndef SESSION_LOG_H
#define SESSION_LOG_H

#include "base/tongue.h"
#include "coach/procedure.h"
#include "job/job.h"
#include "session/log_lines.h"
#include "session/record.h"

enum {
    LOG_VERSION = 1,
    LOG_LINE_SIZE = 4096,
    LOG_HEADER_SIZE = LOG_LINES_LONGEST,
    LOG_SOFTWARE_SIZE = 48,
};

struct log_writer {
    int fd; /* -1 = closed */
    char buffer[16384];
    size_t used;
    double flushed_t;
    int fault;   /* -errno of the last attempt to write out; 0 = none */
    size_t lost; /* records that found no room while it could not be written */
};

/*
 * Start a log. The file must not exist yet.
 *
 *   returns  0; -EEXIST; -EBUSY another process writes to it; -errno of open or write; -ENOSPC the
 *            job does not fit a line
 */
int log_create(struct log_writer *log, const char *path, const struct job *job,
               const struct procedure *procedure);

/*
 * Go on with a log that was cut off. Nothing is changed yet: what is in it can be read in peace,
 * and the file may still turn out to be no log. 0; -EBUSY another process writes to it; -errno.
 */
int log_append(struct log_writer *log, const char *path);

/* Before the first record behind those there are: cut away a half-written last line. 0 or -errno.
 */
int log_mend(struct log_writer *log);

/* Add a record; on disk within a second of session time, at the latest with log_flush(). */
int log_write(struct log_writer *log, const struct record *record);

/* Write out what is buffered and make it safe against a flat battery. 0 or -errno. */
int log_flush(struct log_writer *log);

/* Flush and close. An unopened or closed one is fine. 0 or the first -errno. */
int log_close(struct log_writer *log);

struct log_reader {
    struct log_lines lines;
    double t;                         /* of the record read last */
    char language[TONGUE_NAME_SIZE];  /* that its sentences are in; "" = English */
    char software[LOG_SOFTWARE_SIZE]; /* that recorded it; "" = it does not say */
};

/*
 * Open a log and read its header into a job and a procedure (both are initialised first).
 *
 *   returns  0; -errno when it can't be read; -EINVAL and why = "FILE:1: ..." when it is no log
 */
int log_reader_open(struct log_reader *reader, const char *path, struct job *ret_job,
                    struct procedure *ret_procedure, char why[JOB_ERROR_SIZE]);

/*
 * The next record.
 *
 *   returns  1; 0 at the end (a half-written last line counts as the end);
 *            -EINVAL and why with the line's number, *ret_record is spoiled then
 */
int log_reader_next(struct log_reader *reader, struct record *ret_record, char why[JOB_ERROR_SIZE]);

void log_reader_close(struct log_reader *reader);

/*
 * The job, the procedure and the language that is spoken as the header line (no line's end), and
 * back: the procedure is one that procedure_check() accepts then. English is not written down. As
 * above.
 */
int log_format_header(const struct job *job, const struct procedure *procedure, char *line,
                      size_t size);
int log_parse_header(const char *line, size_t n, struct job *ret_job,
                     struct procedure *ret_procedure, char ret_language[TONGUE_NAME_SIZE],
                     char ret_software[LOG_SOFTWARE_SIZE], char why[JOB_ERROR_SIZE]);

#endif
