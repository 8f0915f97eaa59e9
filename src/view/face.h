/*
 * face.h - one engine, several faces: the curses screen, plain sentences, JSON lines. A face shows
 * the state and turns what the operator does into words of one grammar (words.h).
 */
#ifndef VIEW_FACE_H
#define VIEW_FACE_H

#include <stdbool.h>
#include <stddef.h>

#include "coach/procedure.h"
#include "session/record.h"
#include "session/state.h"

struct coach;
struct history;
struct timeline;

enum { FACE_WORDS_SIZE = 512 };

/* What a face may look at. All borrowed, all const. */
struct face_scene {
    double t; /* of this turn; ages count from it */
    const struct state *state;
    const struct procedure *procedure;
    const struct coach *coach;       /* NULL = nobody coaches, or it is silent */
    const struct history *history;   /* for the graphs */
    const struct timeline *timeline; /* a replay: all of it; NULL = live */
    const char *title;               /* "peak", "replay LOG" */
    const char *log_path;            /* "" = none */
    bool log_is_stuck;               /* it can't be written */
    bool mount_is_simulated;         /* arrow keys move it */
    bool replaying;                  /* the operator's words steer the replay, not the session */
    bool paused;
    bool ended;      /* the recording is at its end */
    bool asking;     /* for a way to turn and how far, as in a quiz */
    bool on_request; /* the coach speaks when asked to, by the word "ask" */
    bool covered;    /* what is ahead is not shown unless asked for */
    double speed;    /* session seconds per second; INFINITY = as fast as it goes */
};

struct face_ops {
    const char *name;

    /* 0 or -errno and why. */
    int (*open)(void **ret_self, char why[RECORD_TEXT_SIZE]);

    /* To poll for the operator's input; -1 = none. */
    int (*fd)(const void *self);

    /* The operator's next words (a line of the grammar in words.h): 1, 0 = none now,
     * -EPIPE = the input has ended. */
    int (*input)(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE]);

    /* A record was applied. */
    void (*record)(void *self, const struct face_scene *scene, const struct record *record);

    /* A replay was steered: its pace is another; `sought`: so is the state, without records. */
    void (*steered)(void *self, const struct face_scene *scene, bool sought);

    /* Once a turn at most: bring the display up to date. */
    void (*show)(void *self, const struct face_scene *scene);

    /* A sentence about something that is no record (a word not understood). */
    void (*message)(void *self, const char *text);

    /* t at which it wants show() without a record (a blinking cursor, an age); INFINITY = none. */
    double (*wake)(const void *self, double t);

    void (*close)(void *self); /* NULL is allowed; leaves the terminal as it was */
};

extern const struct face_ops face_screen, face_plain, face_json;

#endif
