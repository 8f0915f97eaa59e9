/*
 * ear.h - what is to be heard of a session, on any face: the level as a tone, and the sentences,
 * read aloud. Both are off until they are asked for.
 */
#ifndef VIEW_EAR_H
#define VIEW_EAR_H

#include "view/sound.h"
#include "view/tell.h"

struct ear {
    struct sound sound;
    bool wanted[SOUND_PARTS];
    struct tell tell;
    char words[SOUND_LINE_SIZE - 8]; /* of this turn, to be said as one: the next ones cut it off */
};

void ear_init(struct ear *ear);
void ear_finish(struct ear *ear);

/*
 * Turn a part on or off, whichever it is not.
 *
 *   returns  a sentence: what is so now
 */
const char *ear_toggle(struct ear *ear, enum sound_part part);

/* As of face_ops. */
void ear_record(struct ear *ear, const struct face_scene *scene, const struct record *record);
void ear_steered(struct ear *ear, const struct face_scene *scene, bool sought);

/*
 * Once a turn: the level at t, what was told, and what was toggled.
 *
 *   returns  a sentence: why a part can't be heard; it is not wanted any more then; NULL = all is
 *            well
 */
const char *ear_show(struct ear *ear, const struct state *state, double t);

#endif
