#include "record/handover_read.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "record/fingerprint.h"
#include "record/handover_fold.h"
#include "record/handover_judge.h"
#include "session/log.h"

struct handover_source {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct handover handover;
    struct handover_fold fold;
};

struct handover_source *handover_source_create(void)
{
    return calloc(1, sizeof(struct handover_source));
}

void handover_source_destroy(struct handover_source *source)
{
    free(source);
}

static int refuse(const char *path, int r, char why[JOB_ERROR_SIZE])
{
    why[0] = '\0';
    text_append(why, JOB_ERROR_SIZE, "%s: %s", path,
                r == -EINVAL ? _("not a plain file") : fault_words(-r));
    return r;
}

static int fold_all(struct handover_source *source, struct log_reader *reader, const char *path,
                    char why[JOB_ERROR_SIZE])
{
    char phrase[JOB_ERROR_SIZE];
    struct record record;
    int r;

    while ((r = log_reader_next(reader, &record, phrase)) == 1) {
        handover_fold_apply(&source->fold, &record);
    }
    if (r < 0) {
        why[0] = '\0';
        text_append(why, JOB_ERROR_SIZE, "%s: %s", path, phrase);
        return r;
    }
    handover_fold_finish(&source->fold);
    handover_judge(&source->handover);
    return 0;
}

static int read_all(struct handover_source *source, const char *path,
                    int (*begin)(const struct job *, const char *, struct magnetic_model *),
                    char why[JOB_ERROR_SIZE])
{
    struct log_reader reader;
    int r = log_reader_open(&reader, path, &source->job, &source->procedure, why);

    if (r < 0) {
        return r;
    }
    r = begin(&source->job, reader.language, &source->magnetic);
    if (r == 0) {
        handover_fold_init(&source->fold, &source->handover, &source->job, &source->procedure,
                           &source->magnetic);
        text_copy(source->handover.log.software, HANDOVER_SOFTWARE_SIZE, reader.software);
        r = fold_all(source, &reader, path, why);
    }
    log_reader_close(&reader);
    return r;
}

int handover_read(struct handover_source *source, const char *path,
                  int (*begin)(const struct job *job, const char *language,
                               struct magnetic_model *ret),
                  struct handover **ret, char why[JOB_ERROR_SIZE])
{
    struct handover *handover = &source->handover;
    char digest[FINGERPRINT_SIZE];
    struct stat after;
    uint64_t bytes;
    int r = fingerprint_file(path, digest, &bytes);

    if (r < 0) {
        return refuse(path, r, why);
    }
    r = read_all(source, path, begin, why);
    if (r < 0) {
        return r;
    }
    if (stat(path, &after) < 0 || (uint64_t)after.st_size != bytes) {
        return refuse(path, -EBUSY, why);
    }
    text_copy(handover->log.path, sizeof handover->log.path, path);
    text_copy(handover->log.sha256, sizeof handover->log.sha256, digest);
    handover->log.bytes = bytes;
    text_copy(handover->software, sizeof handover->software, "peakward " PEAKWARD_VERSION);
    *ret = handover;
    return 0;
}
