#include "command/resume.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/fold.h"
#include "command/language.h"

int resume_begin(struct engine *engine, const char *path, const struct options *options)
{
    struct log_reader reader;
    char why[JOB_ERROR_SIZE];
    int r;

    text_copy(engine->log_path, sizeof engine->log_path, path);
    r = log_append(&engine->log, path);
    if (r == -EBUSY) {
        command_complain(path, _("another peakward is writing to this log"),
                         _("end that one first; a replay may look on"));
        return -EINVAL;
    }
    if (r < 0) {
        command_complain(path, fault_words(-r), NULL);
        return -EINVAL;
    }
    if (log_reader_open(&reader, path, &engine->job, &engine->procedure, why) < 0) {
        command_complain(why, NULL, NULL);
        return -EINVAL;
    }
    log_reader_close(&reader);
    if (language_to_go_on(reader.language) < 0 ||
        options_magnetic(&engine->job, &engine->magnetic) < 0 ||
        options_sources(options, &engine->job) < 0) {
        return -EINVAL;
    }
    engine_reset(engine);
    return 0;
}

/* What the coach made of the record that was fed in last, and how much of it is in the log. */
struct remade {
    struct engine *engine; /* borrowed */
    struct record last[COACH_OUT];
    size_t count, logged;
};

static void hear_again(void *to, const struct record *record)
{
    struct remade *remade = to;
    struct engine *engine = remade->engine;

    history_add(&engine->history, &engine->state, record);
    if (record_is_made(record)) {
        remade->last[remade->count++] = *record;
    }
    for (size_t i = 0; i < engine->source_count; i++) {
        const struct source *source = &engine->sources[i];
        if (source->ops && source->ops->again) {
            source->ops->again(source->self, record);
        }
    }
}

static int replay_into(struct engine *engine, struct log_reader *reader, struct remade *remade)
{
    struct record record;
    char why[JOB_ERROR_SIZE];
    int r;

    while ((r = log_reader_next(reader, &record, why)) == 1) {
        if (record_is_made(&record)) {
            remade->logged++;
        } else {
            remade->count = remade->logged = 0;
            fold_record(&engine->state, &engine->coach, &record, hear_again, remade);
        }
    }
    if (r < 0) {
        command_complain(engine->log_path, why, _("mend or remove that line"));
    }
    return r;
}

/* The cut may have fallen between a record and what the coach made of it: that is written now. */
static int write_the_missing(struct engine *engine, const struct remade *remade)
{
    int r = log_mend(&engine->log);

    for (size_t i = remade->logged; r == 0 && i < remade->count; i++) {
        r = log_write(&engine->log, &remade->last[i]);
    }
    if (r < 0) {
        command_complain(engine->log_path, fault_words(-r), NULL);
    }
    return r;
}

int resume_replay(struct engine *engine)
{
    struct remade remade = {.engine = engine};
    struct log_reader reader;
    struct job job;
    struct procedure procedure;
    char why[JOB_ERROR_SIZE];
    int r = log_reader_open(&reader, engine->log_path, &job, &procedure, why);

    if (r < 0) {
        command_complain(why, NULL, NULL);
        return -EINVAL;
    }
    r = replay_into(engine, &reader, &remade);
    log_reader_close(&reader);
    if (r < 0 || write_the_missing(engine, &remade) < 0) {
        return -EINVAL;
    }
    /* the log's time is rounded: what was due in the same moment is still to come */
    engine->t = isinf(engine->speed) ? fmin(engine->state.t, engine_wake(engine)) : engine->state.t;
    return 0;
}

void resume_mark(struct engine *engine)
{
    struct record mark = {.t = engine->state.t, .kind = RECORD_MARK};

    if (!engine->coach.finished) {
        text_copy(mark.mark.text, sizeof mark.mark.text, _("cut off here, and resumed"));
        engine_apply(engine, &mark);
    } else if (engine->scene.mount_is_simulated) {
        engine_read(engine); /* how it really stands is said in the moment that ends it */
    }
}
