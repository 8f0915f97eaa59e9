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

struct engine {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct coach coach;
    struct log_writer log;
    char log_path[512];
    struct source sources[JOB_SOURCES];
    size_t source_count;
    const struct face_ops *face;
    void *face_self;
    struct face_scene scene;

    bool replaying;
    bool stays;                /* a screen: until it is told to quit */
    bool as_fast_as_possible;  /* time jumps to the next thing to happen */
    double speed;              /* session seconds per second */
    double base_t, base_clock; /* session time and clock at the last start or change of pace */
    double t;                  /* of this turn */
    double flush_t;
    size_t ended; /* sources that will give nothing more */
    bool quit, input_ended, log_failed;
    char seek_path[512]; /* replay: the file to open again for a step back */
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

/* Until the session ends. Returns the exit status. */
int engine_run(struct engine *engine);

/* Change of pace: session seconds per second; 0 = paused. */
void engine_set_speed(struct engine *engine, double speed);

#endif
