/*
 * timeline.h - a recorded session as a whole: how long it is, where its steps, marks and advice
 * begin, and the level over all of it. A replay is steered by it and shows what is ahead. Pure: a
 * fold over the same records as the state.
 */
#ifndef SESSION_TIMELINE_H
#define SESSION_TIMELINE_H

#include <stdbool.h>
#include <stddef.h>

#include "session/state.h"

enum { TIMELINE_PLACES = 2048, TIMELINE_LEVELS = 32768 };

enum timeline_kind {
    TIMELINE_STEP,   /* a step of the procedure was entered */
    TIMELINE_MARK,   /* somebody set a mark or wrote a note */
    TIMELINE_ADVICE, /* the coach said something else than before, not only another distance */
    TIMELINE_KINDS
};

struct timeline_place {
    double t;
    enum timeline_kind kind;
    int number;                  /* of the step, 1-based; 0 = none */
    char text[RECORD_NAME_SIZE]; /* the step's name or what was marked, cut to fit */
};

struct timeline {
    double end_t; /* of the newest record */
    bool whole;   /* all of the session is in */

    /* By time. When there are too many the last ones are left out. */
    struct timeline_place places[TIMELINE_PLACES];
    size_t place_count;

    /* By time. Of a long session only every so many readings are kept. */
    struct {
        double t;
        float filtered; /* NaN = a source went down */
    } levels[TIMELINE_LEVELS];
    size_t level_count;
    unsigned every, passed;

    struct advice advice; /* the newest; step "" = none yet */
};

void timeline_init(struct timeline *timeline);

/* A record was folded into the state. */
void timeline_add(struct timeline *timeline, const struct state *state,
                  const struct record *record);

/* A mark that somebody sets now, in its place by time. */
void timeline_add_mark(struct timeline *timeline, double t, const char *text);

/* The next place of a kind after t; NULL = none. */
const struct timeline_place *timeline_after(const struct timeline *timeline,
                                            enum timeline_kind kind, double t);

/* The last one before t; NULL = none. */
const struct timeline_place *timeline_before(const struct timeline *timeline,
                                             enum timeline_kind kind, double t);

/*
 * A step by its number, its name or the beginning of its name, in any case of letters: where it was
 * entered next after t, else where it was entered first. NULL = never.
 */
const struct timeline_place *timeline_step(const struct timeline *timeline, const char *name,
                                           double t);

#endif
