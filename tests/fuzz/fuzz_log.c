/* Whatever the file: a log is read to its end or refused by the number of a line, and what was read
 * before goes through the state and the coach. */
#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "base/text.h"
#include "coach/coach.h"
#include "session/log.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static struct job job;
static struct procedure procedure;
static struct magnetic_model magnetic;
static struct state state;
static struct coach coach;

static void fold(const struct record *record)
{
    struct record made;

    state_apply(&state, record);
    coach_update(&coach, &state, record);
    while (coach_take(&coach, &made)) {
        char line[LOG_LINE_SIZE];
        record_round(&made);
        if (record_format(&made, line, sizeof line) < 0 || !text_is_clean(line)) {
            abort();
        }
        state_apply(&state, &made);
    }
}

static void read_log(const char *path)
{
    char why[JOB_ERROR_SIZE] = "";
    struct log_reader reader;
    struct record record;
    unsigned long number;
    int r = log_reader_open(&reader, path, &job, &procedure, why);

    if (r < 0) {
        if (!strstr(why, ":1: ") || !text_is_clean(why)) {
            abort();
        }
        return;
    }
    state_init(&state, &job, &magnetic);
    coach_init(&coach, &job, &procedure);
    while ((r = log_reader_next(&reader, &record, why)) == 1) {
        if (!record_is_made(&record)) {
            fold(&record);
        }
    }
    log_reader_close(&reader);
    if (r < 0 && (sscanf(why, "line %lu: ", &number) != 1 || number < 2 || !text_is_clean(why))) {
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char path[64];
    int fd = memfd_create("log", MFD_CLOEXEC);

    if (fd < 0 || write(fd, data, size) != (ssize_t)size) {
        abort();
    }
    if (magnetic.epoch == 0.0) {
        magnetic_builtin(&magnetic);
    }
    snprintf(path, sizeof path, "/proc/self/fd/%d", fd);
    read_log(path);
    close(fd);
    return 0;
}
