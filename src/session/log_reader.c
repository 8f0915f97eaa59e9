/* log_reader.c - a log from the disk, record by record. */
#include "session/log.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"

/* The next line as it is: 1, 0 at the end, -EINVAL and a phrase. */
static int next_line(struct log_reader *reader, const char **ret_line, size_t *ret_size,
                     char phrase[RECORD_TEXT_SIZE])
{
    int r = log_lines_next(&reader->lines, ret_line, ret_size);

    if (r == -EMSGSIZE) {
        snprintf(phrase, RECORD_TEXT_SIZE, _("longer than %d bytes"), LOG_HEADER_SIZE);
    } else if (r < 0) {
        text_copy(phrase, RECORD_TEXT_SIZE, fault_words(-r));
    }
    return r < 0 ? -EINVAL : r;
}

static int read_header(struct log_reader *reader, struct job *ret_job,
                       struct procedure *ret_procedure, char phrase[JOB_ERROR_SIZE])
{
    const char *line;
    size_t size;
    int r = next_line(reader, &line, &size, phrase);

    if (r == 0) {
        text_copy(phrase, JOB_ERROR_SIZE, _("the file is empty or has no whole line"));
        r = -EINVAL;
    }
    return r < 0 ? r
                 : log_parse_header(line, size, ret_job, ret_procedure, reader->language,
                                    reader->software, phrase);
}

int log_reader_open(struct log_reader *reader, const char *path, struct job *ret_job,
                    struct procedure *ret_procedure, char why[JOB_ERROR_SIZE])
{
    char phrase[JOB_ERROR_SIZE] = "";
    int r;

    *reader = (struct log_reader){.t = 0.0};
    why[0] = '\0';
    r = log_lines_open(&reader->lines, path);
    if (r < 0) {
        text_append(why, JOB_ERROR_SIZE, "%s: %s", path, fault_words(-r));
        return r;
    }
    r = read_header(reader, ret_job, ret_procedure, phrase);
    if (r < 0) {
        text_append(why, JOB_ERROR_SIZE, "%s:1: %s", path, phrase);
        log_reader_close(reader);
    }
    return r;
}

int log_reader_next(struct log_reader *reader, struct record *ret_record, char why[JOB_ERROR_SIZE])
{
    char phrase[RECORD_TEXT_SIZE] = "";
    const char *line;
    size_t size;
    int r;

    do {
        r = next_line(reader, &line, &size, phrase);
    } while (r == 1 && size == 0);
    if (r == 0) {
        return 0;
    }
    if (r == 1) {
        r = record_parse_line(line, size, ret_record, phrase);
    }
    if (r == 0 && ret_record->t < reader->t) {
        text_copy(phrase, sizeof phrase, _("time runs backward"));
        r = -EINVAL;
    }
    if (r < 0) {
        why[0] = '\0';
        text_append(why, JOB_ERROR_SIZE, _("line %lu: %s"), reader->lines.number, phrase);
        return -EINVAL;
    }
    reader->t = ret_record->t;
    return 1;
}

void log_reader_close(struct log_reader *reader)
{
    log_lines_close(&reader->lines);
}
