#include "session/log.h"

#include <errno.h>
#include <fcntl.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"
#include "session/json_line.h"

/* --- the header ---------------------------------------------------------------------------- */

static void add_setting(json_t *list, const char *section, const char *key, const char *value)
{
    json_array_append_new(list, json_pack("[sss]", section, key, value));
}

int log_format_header(const struct job *job, const struct procedure *procedure, char *line,
                      size_t size)
{
    json_t *root = json_object(), *settings = json_array(), *steps = json_array();

    for (size_t i = 0; i < job->setting_count; i++) {
        add_setting(settings, job->settings[i].section, job->settings[i].key,
                    job->settings[i].value);
    }
    for (size_t i = 0; i < procedure->setting_count; i++) {
        add_setting(steps, procedure->settings[i].section, procedure->settings[i].key,
                    procedure->settings[i].value);
    }
    json_object_set_new(root, "peakward", json_integer(LOG_VERSION));
    json_object_set_new(root, "software", json_string("peakward " PEAKWARD_VERSION));
    if (strcmp(tongue_name(), "en") != 0) {
        json_object_set_new(root, "language", json_string(tongue_name()));
    }
    json_object_set_new(root, "job", settings);
    json_object_set_new(root, "procedure",
                        json_pack("{ssso}", "name", procedure->name, "steps", steps));
    return json_line(root, line, size);
}

static int unpack_setting(const json_t *item, const char **section, const char **key,
                          const char **value)
{
    return json_unpack((json_t *)item, "[sss!]", section, key, value) == 0 ? 0 : -EINVAL;
}

static int parse_job(const json_t *settings, struct job *job, char why[JOB_ERROR_SIZE])
{
    const char *section, *key, *value;
    size_t i;
    json_t *item;

    json_array_foreach(settings, i, item)
    {
        if (unpack_setting(item, &section, &key, &value) < 0) {
            text_copy(why, JOB_ERROR_SIZE, _("a setting of the job is not [section, key, value]"));
            return -EINVAL;
        }
        if (job_set(job, section, key, value, why) < 0) {
            return -EINVAL;
        }
    }
    return 0;
}

static int parse_procedure(const json_t *object, struct procedure *procedure,
                           char why[JOB_ERROR_SIZE])
{
    const char *section, *key, *value;
    const char *name = json_string_value(json_object_get(object, "name"));
    size_t i;
    json_t *item;

    procedure_init(procedure, name ? name : "");
    json_array_foreach(json_object_get(object, "steps"), i, item)
    {
        if (unpack_setting(item, &section, &key, &value) < 0) {
            text_copy(why, JOB_ERROR_SIZE, _("a setting of a step is not [section, key, value]"));
            return -EINVAL;
        }
        if (procedure_set(procedure, section, key, value, why, JOB_ERROR_SIZE) < 0) {
            return -EINVAL;
        }
    }
    return 0;
}

/* A log may come from anywhere: its texts end on a terminal. */
static void get_text(const json_t *root, const char *key, char *ret_text, size_t size)
{
    const char *text = json_string_value(json_object_get(root, key));

    text_sanitize(ret_text, size, text ? text : "", text ? strlen(text) : 0);
}

int log_parse_header(const char *line, size_t n, struct job *ret_job,
                     struct procedure *ret_procedure, char ret_language[TONGUE_NAME_SIZE],
                     char ret_software[LOG_SOFTWARE_SIZE], char why[JOB_ERROR_SIZE])
{
    json_t *root = json_loadb(line, n, JSON_REJECT_DUPLICATES, NULL);
    const json_t *version = json_object_get(root, "peakward");
    int r = -EINVAL;

    job_init(ret_job);
    procedure_init(ret_procedure, "");
    get_text(root, "language", ret_language, TONGUE_NAME_SIZE);
    get_text(root, "software", ret_software, LOG_SOFTWARE_SIZE);
    if (!json_is_integer(version)) {
        text_copy(why, JOB_ERROR_SIZE,
                  _("this is not a session log: its first line names no version"));
    } else if (json_integer_value(version) != LOG_VERSION) {
        text_copy(why, JOB_ERROR_SIZE, _("this log is of another version of the format"));
    } else {
        r = parse_job(json_object_get(root, "job"), ret_job, why);
        if (r == 0) {
            r = parse_procedure(json_object_get(root, "procedure"), ret_procedure, why);
        }
        if (r == 0) {
            r = procedure_check(ret_procedure, NULL, why, JOB_ERROR_SIZE);
        }
    }
    json_decref(root);
    return r;
}

/* --- writing ------------------------------------------------------------------------------- */

static int write_out(struct log_writer *log)
{
    size_t done = 0;

    while (done < log->used) {
        ssize_t n = write(log->fd, log->buffer + done, log->used - done);
        if (n < 0 && errno == EINTR) {
            continue;
        }
        if (n < 0) {
            log->fault = -errno;
            memmove(log->buffer, log->buffer + done, log->used - done);
            log->used -= done;
            return log->fault;
        }
        done += (size_t)n;
    }
    log->used = 0;
    log->fault = 0;
    return 0;
}

static int put_line(struct log_writer *log, const char *line, size_t n)
{
    if (log->used + n + 1 > sizeof log->buffer) {
        int r = write_out(log);
        if (r < 0) {
            return r;
        }
    }
    memcpy(log->buffer + log->used, line, n);
    log->used += n;
    log->buffer[log->used++] = '\n';
    return 0;
}

static int write_header(int fd, const struct job *job, const struct procedure *procedure)
{
    char *line = malloc(LOG_HEADER_SIZE);
    int n = line ? log_format_header(job, procedure, line, LOG_HEADER_SIZE - 1) : -ENOMEM;
    int r = n < 0 ? n : 0;

    if (r == 0) {
        line[n++] = '\n';
        if (write(fd, line, (size_t)n) != n) {
            r = -EIO;
        }
    }
    free(line);
    return r;
}

/*
 * The log is this process's alone. The lock is the kernel's and lies on the file itself, whatever
 * name it was opened by; it goes with the process, however that ends. Where a file system has no
 * locks one writes without.
 */
static int take_alone(int fd)
{
    int r;

    do {
        r = flock(fd, LOCK_EX | LOCK_NB);
    } while (r < 0 && errno == EINTR);
    return r < 0 && errno == EWOULDBLOCK ? -EBUSY : 0;
}

int log_create(struct log_writer *log, const char *path, const struct job *job,
               const struct procedure *procedure)
{
    int fd, r;

    *log = (struct log_writer){.fd = -1, .flushed_t = -INFINITY};
    fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_APPEND | O_CLOEXEC, 0644);
    if (fd < 0) {
        return -errno;
    }
    r = take_alone(fd);
    if (r == 0) {
        r = write_header(fd, job, procedure);
    }
    if (r < 0) {
        close(fd);
        return r;
    }
    log->fd = fd;
    return 0;
}

/* Where the last whole line ends. */
static off_t whole_lines_end(int fd)
{
    off_t end = lseek(fd, 0, SEEK_END);
    char byte;

    while (end > 0 && pread(fd, &byte, 1, end - 1) == 1 && byte != '\n') {
        end--;
    }
    return end;
}

int log_append(struct log_writer *log, const char *path)
{
    int fd, r;

    *log = (struct log_writer){.fd = -1, .flushed_t = -INFINITY};
    fd = open(path, O_RDWR | O_APPEND | O_CLOEXEC);
    if (fd < 0) {
        return -errno;
    }
    r = take_alone(fd);
    if (r < 0) {
        close(fd);
        return r;
    }
    log->fd = fd;
    return 0;
}

int log_mend(struct log_writer *log)
{
    return ftruncate(log->fd, whole_lines_end(log->fd)) < 0 ? -errno : 0;
}

int log_write(struct log_writer *log, const struct record *record)
{
    char line[LOG_LINE_SIZE];
    int n;

    if (log->fd < 0) {
        return 0;
    }
    n = record_format(record, line, sizeof line);
    if (n < 0) {
        return n;
    }
    n = put_line(log, line, (size_t)n);
    if (n < 0) {
        log->lost++;
        return n;
    }
    if (record->t - log->flushed_t >= 0.5) {
        log->flushed_t = record->t;
        return write_out(log);
    }
    return 0;
}

int log_flush(struct log_writer *log)
{
    int r;

    if (log->fd < 0) {
        return 0;
    }
    r = write_out(log);
    if (r == 0 && fdatasync(log->fd) < 0 && errno != EINVAL) {
        r = -errno;
    }
    return r;
}

int log_close(struct log_writer *log)
{
    int r;

    if (log->fd < 0) {
        return 0;
    }
    r = log_flush(log);
    if (close(log->fd) < 0 && r == 0) {
        r = -errno;
    }
    log->fd = -1;
    return r;
}
