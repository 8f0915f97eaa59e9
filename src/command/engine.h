/*
 * engine.h - the one loop: sources in, records through state, coach and log, a face out. One
 * thread, one poll(), one clock read a turn.
 */
#ifndef COMMAND_ENGINE_H
#define COMMAND_ENGINE_H

#include <stdbool.h>

#include "coach/coach.h"
#include "session/log.h"
#include "source/source.h"
#include "view/face.h"
#include "view/history.h"

struct steer;

struct engine {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct coach coach;
    struct history history; /* for the graphs */
    struct log_writer log;
    char log_path[512];
    struct source sources[JOB_SOURCES];
    size_t source_count;
    const struct face_ops *face;
    void *face_self;
    struct face_scene scene;

    bool replaying;
    bool stays;                /* a screen: until it is told to quit */
    double speed;              /* session seconds per second, > 0; INFINITY = time jumps to the
                                  next thing to happen */
    bool paused;               /* a replay that stands still */
    double base_t, base_clock; /* session time and clock at the last start or change of pace */
    double t;                  /* of this turn */
    double flush_t;
    size_t ended; /* sources that will give nothing more */
    bool quit, input_ended;
    bool refused;   /* a reading, and it was said */
    bool unheard;   /* standard output, which a face writes to, is closed or full */
    double limit_s; /* of the session; 0 = what it is without asking */

    /* a replay */
    char seek_path[512];  /* the source's address, to open it again */
    char notes_path[512]; /* of the copy that takes notes; "" = nothing is added */
    struct steer *steer;  /* owned; NULL = it can't be steered */
    bool straight_on;     /* it can't be taken to another time */
    bool held;            /* by a face that asks: nothing more comes until it is answered */
    bool silent;          /* what is folded is shown to nobody */
};

/* All zero but for what can't be; the job and procedure are set by the caller, then begin. */
struct engine *engine_create(void);
void engine_destroy(struct engine *engine); /* NULL is allowed; closes what is open */

/* State and coach anew for the job. */
void engine_reset(struct engine *engine);

/* Open the job's sources. 0 or -EINVAL after complaining. */
int engine_open_sources(struct engine *engine);

/* Open a face; a screen that can't be opened falls back to plain sentences. 0 or -errno. */
int engine_open_face(struct engine *engine, const struct face_ops *face, const char *title);

/* Fold a record in: state, log, face, coach, and what the coach says of it. */
void engine_apply(struct engine *engine, const struct record *record);

/* What the sources have up to the engine's time. */
void engine_read(struct engine *engine);

/* Until the session ends. Returns the exit status. */
int engine_run(struct engine *engine);

/* When the sources want to be read next; INFINITY = without input never. */
double engine_wake(const struct engine *engine);

/* Time is t, and goes on from there at the engine's pace, or stands. */
void engine_stand(struct engine *engine, double t);

#endif
