#include "command/face_around.h"

void face_around_put(struct face_around *around, struct engine *engine, const struct face_ops *ops)
{
    around->inner = engine->face;
    around->inner_self = engine->face_self;
    engine->face = ops;
    engine->face_self = around;
}

int face_around_fd(const void *self)
{
    const struct face_around *around = self;

    return around->inner->fd(around->inner_self);
}

int face_around_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct face_around *around = self;

    return around->inner->input(around->inner_self, scene, words);
}

void face_around_record(void *self, const struct face_scene *scene, const struct record *record)
{
    struct face_around *around = self;

    around->inner->record(around->inner_self, scene, record);
}

void face_around_steered(void *self, const struct face_scene *scene, bool sought)
{
    struct face_around *around = self;

    around->inner->steered(around->inner_self, scene, sought);
}

void face_around_show(void *self, const struct face_scene *scene)
{
    struct face_around *around = self;

    around->inner->show(around->inner_self, scene);
}

void face_around_message(void *self, const char *text)
{
    struct face_around *around = self;

    around->inner->message(around->inner_self, text);
}

double face_around_wake(const void *self, double t)
{
    const struct face_around *around = self;

    return around->inner->wake(around->inner_self, t);
}

void face_around_close(void *self)
{
    struct face_around *around = self;

    around->inner->close(around->inner_self);
}
