#include "command/engine.h"

#include <errno.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/stop.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "view/words.h"

static const double flush_s = 1.0;
static const int records_a_turn = 512;

/* --- time ----------------------------------------------------------------------------------- */

static double read_clock(void)
{
    struct timespec now;

    /* counts on while the computer sleeps */
    clock_gettime(CLOCK_BOOTTIME, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static double next_wake(const struct engine *engine)
{
    double wake = INFINITY;

    for (size_t i = 0; i < engine->source_count; i++) {
        const struct source *source = &engine->sources[i];
        if (source->ops && source->ops->wake) {
            wake = fmin(wake, source->ops->wake(source->self));
        }
    }
    return wake;
}

static void take_time(struct engine *engine)
{
    double t;

    if (engine->as_fast_as_possible) {
        double wake = next_wake(engine);
        t = isfinite(wake) ? wake : engine->t;
    } else {
        t = engine->base_t + (read_clock() - engine->base_clock) * engine->speed;
    }
    engine->t = fmax(engine->t, t);
    engine->scene.t = engine->t;
}

void engine_set_speed(struct engine *engine, double speed)
{
    engine->base_t = engine->t;
    engine->base_clock = read_clock();
    engine->speed = speed;
    engine->scene.speed = speed;
    engine->scene.paused = speed == 0.0;
}

/* --- open and close ------------------------------------------------------------------------- */

struct engine *engine_create(void)
{
    struct engine *engine = calloc(1, sizeof *engine);

    if (engine) {
        engine->log.fd = -1;
        job_init(&engine->job);
    }
    return engine;
}

void engine_destroy(struct engine *engine)
{
    if (!engine) {
        return;
    }
    if (engine->face) {
        engine->face->close(engine->face_self);
    }
    for (size_t i = engine->source_count; i-- > 0;) {
        source_close(&engine->sources[i]);
    }
    log_close(&engine->log);
    free(engine);
}

void engine_reset(struct engine *engine)
{
    state_init(&engine->state, &engine->job, &engine->magnetic);
    coach_init(&engine->coach, &engine->job, &engine->procedure);
}

int engine_open_sources(struct engine *engine)
{
    for (size_t i = 0; i < engine->job.source_count; i++) {
        const char *address = engine->job.sources[i].address;
        const struct job_meter *meter = job_find_meter(&engine->job, engine->job.sources[i].meter);
        const char *name = engine->job.sources[i].name;
        struct source_setup setup = {
            .job = &engine->job, .meter = meter, .name = name[0] ? name : NULL};
        char why[RECORD_TEXT_SIZE] = "";

        if (source_open(&engine->sources[i], address, &setup, why) < 0) {
            command_complain(address, why, NULL);
            return -EINVAL;
        }
        engine->source_count = i + 1;
        engine->scene.mount_is_simulated |= engine->sources[i].ops->tell != NULL &&
                                            strcmp(engine->sources[i].ops->scheme, "sim") == 0;
    }
    return 0;
}

int engine_open_face(struct engine *engine, const struct face_ops *face, const char *title)
{
    char why[RECORD_TEXT_SIZE] = "";
    int r;

    engine->scene.state = &engine->state;
    engine->scene.procedure = &engine->procedure;
    engine->scene.title = title;
    engine->scene.log_path = engine->log_path;
    engine->scene.replaying = engine->replaying;
    r = face->open(&engine->face_self, why);
    if (r < 0 && face == &face_screen) {
        command_complain(_("the screen can't be opened"), why, _("going on with --plain"));
        face = &face_plain;
        r = face->open(&engine->face_self, why);
    }
    if (r < 0) {
        command_complain(face->name, why, NULL);
        return r;
    }
    engine->face = face;
    engine->stays = face == &face_screen;
    return 0;
}

/* --- records -------------------------------------------------------------------------------- */

static void keep(struct engine *engine, const struct record *record)
{
    int r;

    state_apply(&engine->state, record);
    r = log_write(&engine->log, record);
    if (r < 0 && !engine->log_failed) {
        char text[RECORD_TEXT_SIZE] = "";
        engine->log_failed = true;
        text_append(text, sizeof text, _("the log can't be written: %s"), strerror(-r));
        engine->face->message(engine->face_self, text);
    }
    engine->face->record(engine->face_self, &engine->scene, record);
}

static void pass_on_advice(struct engine *engine, const struct advice *advice)
{
    for (size_t i = 0; i < engine->source_count; i++) {
        const struct source *source = &engine->sources[i];
        if (source->ops && source->ops->advise) {
            source->ops->advise(source->self, engine->t, advice);
        }
    }
}

void engine_apply(struct engine *engine, const struct record *record)
{
    struct record input = *record, made;

    input.t = fmax(input.t, engine->state.t);
    record_round(&input);
    keep(engine, &input);
    coach_update(&engine->coach, &engine->state, &input);
    while (coach_take(&engine->coach, &made)) {
        record_round(&made);
        keep(engine, &made);
        if (made.kind == RECORD_ADVICE) {
            pass_on_advice(engine, &made.advice);
        }
    }
}

static void read_source(struct engine *engine, struct source *source)
{
    struct record record;
    int r = 0;

    for (int n = 0; n < records_a_turn && source->ops; n++) {
        r = source->ops->read(source->self, engine->t, &record);
        if (r != 1) {
            break;
        }
        engine_apply(engine, &record);
    }
    if (r < 0) {
        source_close(source);
        engine->ended++;
    }
}

/* --- words ---------------------------------------------------------------------------------- */

/* A step back in a replay: everything anew, then forward without showing it. */
static void seek(struct engine *engine, double t)
{
    double speed = engine->speed;
    struct source *source = &engine->sources[0];

    t = fmax(t, 0.0);
    if (t < engine->t) {
        struct source_setup setup = {.job = &engine->job};
        char why[RECORD_TEXT_SIZE] = "";

        source_close(source);
        engine->ended = 0;
        engine_reset(engine);
        engine->t = 0.0;
        if (source_open(source, engine->seek_path, &setup, why) < 0) {
            engine->face->message(engine->face_self, why);
            return;
        }
    }
    engine->t = t;
    engine_set_speed(engine, speed);
}

static void obey(struct engine *engine, struct words *words)
{
    switch (words->kind) {
    case WORDS_RECORD:
        if (engine->replaying) {
            engine->face->message(engine->face_self,
                                  _("this is a replay: nothing can be added to it"));
            return;
        }
        words->record.t = engine->t;
        for (size_t i = 0; i < engine->source_count; i++) {
            const struct source *source = &engine->sources[i];
            if (source->ops && source->ops->tell) {
                source->ops->tell(source->self, engine->t, &words->record);
            }
        }
        engine_apply(engine, &words->record);
        break;
    case WORDS_QUIT:
        engine->quit = true;
        break;
    case WORDS_HELP:
        engine->face->message(engine->face_self, _(words_help));
        break;
    case WORDS_PAUSE:
        engine_set_speed(engine, 0.0);
        break;
    case WORDS_PLAY:
        engine_set_speed(engine, 1.0);
        break;
    case WORDS_SPEED:
        engine_set_speed(engine, words->number);
        break;
    case WORDS_SEEK:
    case WORDS_SKIP_TIME:
        if (engine->replaying) {
            seek(engine, words->kind == WORDS_SEEK ? words->number : engine->t + words->number);
        } else {
            engine->face->message(engine->face_self, _("time can only be moved in a replay"));
        }
        break;
    case WORDS_NOTHING:
        break;
    }
}

static void hear(struct engine *engine)
{
    char text[FACE_WORDS_SIZE], why[RECORD_TEXT_SIZE];
    struct words words;
    enum level_unit unit = engine->state.level.known     ? engine->state.level.unit
                           : engine->job.meter_count > 0 ? engine->job.meters[0].unit
                                                         : LEVEL_DB;
    int r;

    while (!engine->quit && !engine->input_ended) {
        r = engine->face->input(engine->face_self, &engine->scene, text);
        if (r == -EPIPE) {
            engine->input_ended = true;
        }
        if (r != 1) {
            return;
        }
        if (words_parse(text, unit, &words, why) < 0) {
            engine->face->message(engine->face_self, why);
        } else if (!engine->replaying && words.kind >= WORDS_PAUSE && words.kind != WORDS_NOTHING) {
            engine->face->message(engine->face_self, _("time can only be steered in a replay"));
        } else {
            obey(engine, &words);
        }
    }
}

/* --- the loop ------------------------------------------------------------------------------- */

static int timeout_ms(const struct engine *engine)
{
    double wake;

    if (engine->as_fast_as_possible && isfinite(next_wake(engine))) {
        return 0;
    }
    wake = fmin(next_wake(engine), engine->face->wake(engine->face_self, engine->t));
    if (engine->log.fd >= 0) {
        wake = fmin(wake, engine->flush_t + flush_s);
    }
    if (!isfinite(wake) || engine->speed == 0.0) {
        return engine->speed == 0.0 ? 200 : -1;
    }
    wake = (wake - engine->t) / engine->speed;
    return wake <= 0.0 ? 0 : wake > 60.0 ? 60000 : (int)ceil(wake * 1e3);
}

static void wait_for_input(struct engine *engine, const sigset_t *while_waiting)
{
    struct pollfd fds[JOB_SOURCES + 1];
    int ms = timeout_ms(engine);
    struct timespec timeout = {.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000L};
    nfds_t n = 0;

    for (size_t i = 0; i < engine->source_count; i++) {
        const struct source *source = &engine->sources[i];
        int fd = source->ops ? source->ops->fd(source->self) : -1;
        if (fd >= 0) {
            fds[n++] = (struct pollfd){.fd = fd, .events = POLLIN};
        }
    }
    if (!engine->input_ended && engine->face->fd(engine->face_self) >= 0) {
        fds[n++] = (struct pollfd){.fd = engine->face->fd(engine->face_self), .events = POLLIN};
    }
    ppoll(fds, n, ms < 0 ? NULL : &timeout, while_waiting);
}

static bool is_over(const struct engine *engine)
{
    if (engine->quit || stop_requested()) {
        return true;
    }
    /* a screen stays for the eye; words and records end with the session */
    if (engine->stays) {
        return false;
    }
    return (engine->coach.finished && !engine->replaying) ||
           (engine->source_count > 0 && engine->ended == engine->source_count);
}

int engine_run(struct engine *engine)
{
    sigset_t while_waiting;

    stop_catch(&while_waiting);
    engine_set_speed(engine, engine->speed);
    while (!is_over(engine)) {
        take_time(engine);
        for (size_t i = 0; i < engine->source_count; i++) {
            read_source(engine, &engine->sources[i]);
        }
        hear(engine);
        if (engine->t - engine->flush_t >= flush_s) {
            engine->flush_t = engine->t;
            log_flush(&engine->log);
        }
        engine->face->show(engine->face_self, &engine->scene);
        if (!is_over(engine)) {
            wait_for_input(engine, &while_waiting);
        }
    }
    return engine->coach.finished || engine->replaying ? EXIT_DONE : EXIT_NOT_DONE;
}
