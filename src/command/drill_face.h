/*
 * drill_face.h - a face around a face, for practice: it keeps the coach's advice from the operator
 * until asked, and follows how the mount really stands. The log and a simulated hand still get all.
 */
#ifndef COMMAND_DRILL_FACE_H
#define COMMAND_DRILL_FACE_H

#include "command/drill_score.h"
#include "command/face_around.h"
#include "sim/world.h"

enum drill_coach {
    DRILL_COACH_ON,
    DRILL_COACH_ASK, /* speaks when the operator says ask */
    DRILL_COACH_OFF, /* the procedure has no advice on turns */
};

struct drill_face {
    struct face_around around; /* first; filled by drill_face_put() */
    struct engine *engine;     /* borrowed */
    const struct world *world; /* borrowed */
    struct drill_score *score; /* borrowed */
    enum drill_coach coach;
    /* What it is worth as the mount stands now: sentences, the score last; returns how many. */
    size_t (*tell)(const struct drill_face *face,
                   char ret_sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE]);
    double asked_t; /* of the last asking; NaN = not yet */
};

/*
 * Put it in front of the engine's open face; closing the engine's face then closes both.
 *
 *   face  the rest of it filled; outlives the engine's face
 */
void drill_face_put(struct drill_face *face, struct engine *engine);

#endif
