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

#include "base/fault.h"
#include "base/stop.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/annotate.h"
#include "command/command.h"
#include "command/fold.h"
#include "command/steer.h"
#include "view/words.h"

static const double flush_s = 1.0;
/* A simulated mount with nobody at a screen: a hand that does not listen has an end, too. */
static const double unwatched_s = 4.0 * 3600.0;
static const int records_a_turn = 512;
static const size_t ahead_a_turn = 256;

/* --- time ----------------------------------------------------------------------------------- */

static double read_clock(void)
{
    struct timespec now;

    /* counts on while the computer sleeps */
    clock_gettime(CLOCK_BOOTTIME, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

double engine_wake(const struct engine *engine)
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
    double t = engine->t;

    if (engine->held) {
        t = engine->t;
    } else if (isinf(engine->speed) && !engine->paused) {
        double wake = engine_wake(engine);
        t = isfinite(wake) ? wake : engine->t;
    } else if (!engine->paused) {
        t = engine->base_t + (read_clock() - engine->base_clock) * engine->speed;
    }
    engine->t = fmax(engine->t, t);
    engine->scene.t = engine->t;
}

void engine_stand(struct engine *engine, double t)
{
    engine->t = engine->base_t = t;
    engine->base_clock = read_clock();
    engine->scene.t = t;
    engine->scene.speed = engine->speed;
    engine->scene.paused = engine->paused;
    engine->scene.ended = engine->source_count > 0 && engine->ended == engine->source_count;
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
    steer_end(engine);
    log_close(&engine->log);
    free(engine);
}

void engine_reset(struct engine *engine)
{
    state_init(&engine->state, &engine->job, &engine->magnetic);
    coach_init(&engine->coach, &engine->job, &engine->procedure);
    history_init(&engine->history);
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
    engine->scene.coach = &engine->coach;
    engine->scene.history = &engine->history;
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

/* Said when it begins and when it is over; the scene has it in between. */
static void watch_log(struct engine *engine)
{
    bool stuck = engine->log.fault < 0;
    char text[RECORD_TEXT_SIZE] = "";

    if (stuck == engine->scene.log_is_stuck) {
        return;
    }
    engine->scene.log_is_stuck = stuck;
    if (stuck) {
        text_append(text, sizeof text, _("the log can't be written: %s"),
                    fault_words(-engine->log.fault));
    } else {
        text_copy(text, sizeof text, _("the log is written again"));
    }
    engine->face->message(engine->face_self, text);
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

static void hear_record(void *to, const struct record *record)
{
    struct engine *engine = to;

    history_add(&engine->history, &engine->state, record);
    if (engine->silent) {
        return;
    }
    log_write(&engine->log, record);
    engine->face->record(engine->face_self, &engine->scene, record);
    if (record->kind == RECORD_ADVICE) {
        pass_on_advice(engine, &record->advice);
    }
}

/* What no log can hold would make a session that can't be read again. */
static bool is_fit(struct engine *engine, const struct record *record)
{
    struct record rounded = *record;
    const char *wrong;

    record_round(&rounded);
    wrong = record_wrong(&rounded);
    if (wrong && !engine->refused) {
        char text[RECORD_TEXT_SIZE] = "";
        engine->refused = true;
        text_append(text, sizeof text, _("a reading is refused: %s"), wrong);
        engine->face->message(engine->face_self, text);
    }
    return !wrong;
}

void engine_apply(struct engine *engine, const struct record *record)
{
    if (!engine->replaying && !is_fit(engine, record)) {
        return;
    }
    fold_record(&engine->state, &engine->coach, record, hear_record, engine);
}

/* More words may come: where nobody asks and nobody waits, the end of the records is the end. */
static bool goes_on_after_the_end(const struct engine *engine)
{
    return engine->steer && (engine->stays || (isfinite(engine->speed) && !engine->input_ended &&
                                               !engine->straight_on));
}

static void read_source(struct engine *engine, struct source *source)
{
    bool stood = engine->paused;
    struct record record;
    int r = 0;

    for (int n = 0; n < records_a_turn && source->ops && engine->paused == stood && !engine->held;
         n++) {
        r = source->ops->read(source->self, engine->t, &record);
        if (r != 1) {
            break;
        }
        engine_apply(engine, &record);
    }
    if (r < 0) {
        source_close(source);
        engine->ended++;
        if (goes_on_after_the_end(engine)) {
            steer_stop_at_end(engine);
        }
    }
}

void engine_read(struct engine *engine)
{
    for (size_t i = 0; i < engine->source_count; i++) {
        read_source(engine, &engine->sources[i]);
    }
}

/* --- words ---------------------------------------------------------------------------------- */

static void obey(struct engine *engine, struct words *words)
{
    switch (words->kind) {
    case WORDS_RECORD:
        if (annotate_takes(engine, &words->record)) {
            annotate_add(engine, &words->record);
            return;
        }
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
        engine->face->message(engine->face_self, _(engine->steer ? words_help_replay : words_help));
        break;
    case WORDS_PAUSE:
    case WORDS_PLAY:
    case WORDS_SPEED:
    case WORDS_SEEK:
    case WORDS_ONE:
        steer_obey(engine, words);
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
        } else if (!engine->steer && words.kind >= WORDS_PAUSE && words.kind != WORDS_NOTHING) {
            engine->face->message(engine->face_self, _("time can only be steered in a replay"));
        } else {
            obey(engine, &words);
        }
    }
}

/* --- the loop ------------------------------------------------------------------------------- */

static int timeout_ms(const struct engine *engine, bool busy)
{
    double wake;

    if (engine->held) {
        return busy ? 0 : -1;
    }
    if (busy || (isinf(engine->speed) && !engine->paused && isfinite(engine_wake(engine)))) {
        return 0;
    }
    if (engine->paused) {
        return engine_wake(engine) <= engine->t ? 0 : -1;
    }
    wake = fmin(engine_wake(engine), engine->face->wake(engine->face_self, engine->t));
    if (engine->log.fd >= 0) {
        wake = fmin(wake, engine->flush_t + flush_s);
    }
    if (!isfinite(wake)) {
        return -1;
    }
    wake = (wake - engine->t) / engine->speed;
    return wake <= 0.0 ? 0 : wake > 60.0 ? 60000 : (int)ceil(wake * 1e3);
}

static void wait_for_input(struct engine *engine, const sigset_t *while_waiting, bool busy)
{
    struct pollfd fds[JOB_SOURCES + 1];
    int ms = timeout_ms(engine, busy);
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

/* Nobody is left at the mount who could do what is advised. */
static bool has_given_up(const struct engine *engine)
{
    for (size_t i = 0; i < engine->source_count; i++) {
        const struct source *source = &engine->sources[i];
        if (source->ops && source->ops->gave_up && source->ops->gave_up(source->self)) {
            return true;
        }
    }
    return false;
}

/* Ends what would go on for nobody, or for ever. */
static void look_for_an_end(struct engine *engine)
{
    char text[RECORD_TEXT_SIZE] = "";

    if (!engine->stays && ferror(stdout)) {
        engine->unheard = engine->quit = true;
    } else if (!engine->stays && has_given_up(engine)) {
        engine->face->message(engine->face_self, _("the simulated technician has given up"));
        engine->quit = true;
    } else if (engine->t >= engine->limit_s && !engine->coach.finished) {
        text_append(text, sizeof text, _("stopped after %.0f min of the session, and not done"),
                    engine->limit_s / 60.0);
        engine->face->message(engine->face_self, text);
        engine->quit = true;
    }
}

static void set_limit(struct engine *engine)
{
    bool unwatched = engine->scene.mount_is_simulated && !engine->stays && !engine->replaying;

    if (engine->limit_s == 0.0) {
        engine->limit_s = unwatched ? unwatched_s : INFINITY;
    }
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
    if ((engine->paused || engine->held) && engine->input_ended) {
        return true; /* nobody can let it go on */
    }
    return (engine->coach.finished && !engine->replaying) ||
           (engine->source_count > 0 && engine->ended == engine->source_count &&
            !goes_on_after_the_end(engine));
}

/* At the other end of a pipe somebody has seen enough. */
static bool is_reader_gone(void)
{
    struct pollfd out = {.fd = STDOUT_FILENO};

    return poll(&out, 1, 0) == 1 && (out.revents & POLLERR);
}

static int end_unheard(const struct engine *engine)
{
    bool logging = engine->log.fd >= 0;

    if (engine->replaying && !logging) { /* no session ends here: as other filters do */
        if (is_reader_gone()) {
            return EXIT_DONE;
        }
        command_complain(_("standard output"), _("it can't be written"), _("is the disk full?"));
    } else {
        command_complain(_("standard output"),
                         _("it is closed or full, and so the session is over"),
                         logging ? _("the log is kept; --resume goes on with it") : NULL);
    }
    return EXIT_NOT_DONE;
}

int engine_run(struct engine *engine)
{
    sigset_t while_waiting;

    stop_catch(&while_waiting);
    set_limit(engine);
    engine_stand(engine, engine->t);
    while (!is_over(engine)) {
        take_time(engine);
        engine_read(engine);
        hear(engine);
        /* where time jumps, its seconds are too short to wait for a disk in each */
        if (isfinite(engine->speed) && engine->t - engine->flush_t >= flush_s) {
            engine->flush_t = engine->t;
            log_flush(&engine->log);
        }
        watch_log(engine);
        engine->face->show(engine->face_self, &engine->scene);
        look_for_an_end(engine);
        if (!is_over(engine)) {
            bool busy = engine->stays && engine->steer && steer_look_ahead(engine, ahead_a_turn);
            wait_for_input(engine, &while_waiting, busy);
        }
    }
    if (engine->unheard) {
        return end_unheard(engine);
    }
    return engine->coach.finished || engine->replaying ? EXIT_DONE : EXIT_NOT_DONE;
}
