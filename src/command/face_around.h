/*
 * face_around.h - a face that stands in front of the engine's: it takes out of the state what must
 * not be seen while the inner face looks, and hands the rest on.
 */
#ifndef COMMAND_FACE_AROUND_H
#define COMMAND_FACE_AROUND_H

#include "command/engine.h"

/* The first member of every face around another. */
struct face_around {
    const struct face_ops *inner;
    void *inner_self;
};

/*
 * Put it in front of the engine's open face; closing the engine's face then closes both.
 *
 *   around  outlives the engine's face
 *   ops     what the face around does; some of them may be the functions below
 */
void face_around_put(struct face_around *around, struct engine *engine, const struct face_ops *ops);

/* Straight to the inner face, for ops or from within; self points to a face_around. */
int face_around_fd(const void *self);
int face_around_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE]);
void face_around_record(void *self, const struct face_scene *scene, const struct record *record);
void face_around_steered(void *self, const struct face_scene *scene, bool sought);
void face_around_show(void *self, const struct face_scene *scene);
void face_around_message(void *self, const char *text);
double face_around_wake(const void *self, double t);
void face_around_close(void *self);

#endif
