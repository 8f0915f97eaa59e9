#include "command/steer.h"

#include <errno.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/stop.h"
#include "base/tongue.h"
#include "base/text.h"
#include "command/fold.h"

/* Going back while time runs: this near a place's start, s of watching, the one before is meant. */
static const double near_s = 2.0;
/* Folding without showing looks up this often whether it is to end. */
enum { LOOK_UP_RECORDS = 1000 };

struct steer {
    struct timeline timeline;
    struct state state; /* of the look ahead */
    struct coach coach;
    struct source source; /* ops NULL = it has seen all */
};

/* --- looking ahead -------------------------------------------------------------------------- */

static int open_recording(struct engine *engine, struct source *source)
{
    struct source_setup setup = {.job = &engine->job};
    char why[RECORD_TEXT_SIZE] = "";

    if (source_open(source, engine->seek_path, &setup, why) < 0) {
        engine->face->message(engine->face_self, why);
        return -EINVAL;
    }
    return 0;
}

int steer_begin(struct engine *engine)
{
    struct steer *steer = calloc(1, sizeof *steer);

    if (!steer) {
        return -ENOMEM;
    }
    if (open_recording(engine, &steer->source) < 0) {
        free(steer);
        return -EINVAL;
    }
    state_init(&steer->state, &engine->job, &engine->magnetic);
    coach_init(&steer->coach, &engine->job, &engine->procedure);
    timeline_init(&steer->timeline);
    engine->steer = steer;
    engine->scene.timeline = &steer->timeline;
    return 0;
}

void steer_end(struct engine *engine)
{
    if (engine->steer) {
        source_close(&engine->steer->source);
        free(engine->steer);
    }
    engine->steer = NULL;
}

static void see(void *to, const struct record *record)
{
    struct steer *steer = to;

    timeline_add(&steer->timeline, &steer->state, record);
}

bool steer_look_ahead(struct engine *engine, size_t records)
{
    struct steer *steer = engine->steer;
    bool more = steer->source.ops != NULL;
    struct record record;

    for (size_t i = 0; i < records && steer->source.ops && !stop_requested(); i++) {
        if (steer->source.ops->read(steer->source.self, INFINITY, &record) != 1) {
            source_close(&steer->source);
            steer->timeline.whole = true;
            if (engine->stays) {
                engine->face->steered(engine->face_self, &engine->scene, false); /* to show it */
            }
            break;
        }
        fold_record(&steer->state, &steer->coach, &record, see, steer);
    }
    return more;
}

void steer_add_mark(struct engine *engine, const struct record *mark)
{
    timeline_add_mark(&engine->steer->timeline, mark->t, mark->mark.text);
}

static const struct timeline *whole(struct engine *engine)
{
    steer_look_ahead(engine, SIZE_MAX);
    return &engine->steer->timeline;
}

/* --- going somewhere ------------------------------------------------------------------------ */

static int start_anew(struct engine *engine)
{
    source_close(&engine->sources[0]);
    engine->ended = 0;
    engine_reset(engine);
    return open_recording(engine, &engine->sources[0]);
}

/* Everything up to a time, shown to nobody. */
static void fold_to(struct engine *engine, double t)
{
    struct source *source = &engine->sources[0];
    struct record record;

    engine->silent = true;
    for (unsigned n = 1; source->ops; n++) {
        int r = source->ops->read(source->self, t, &record);
        if (r < 0) {
            source_close(source);
            engine->ended++;
        }
        if (r != 1 || (n % LOOK_UP_RECORDS == 0 && stop_requested())) {
            break;
        }
        engine_apply(engine, &record);
    }
    engine->silent = false;
}

/*
 * Go to a time, forward or back, without showing what lies between. The source's records at that
 * very time are in. Beyond the end is the end.
 */
static void seek(struct engine *engine, double t)
{
    t = fmax(t, 0.0);
    if (t < engine->state.t && start_anew(engine) < 0) {
        return;
    }
    fold_to(engine, t);
    engine_stand(engine, engine->ended > 0 ? engine->state.t : t);
}

/* The next moment that something was recorded at; its records are shown. */
static void go_one_on(struct engine *engine)
{
    const struct source *source = &engine->sources[0];

    if (source->ops) {
        engine_stand(engine, fmax(source->ops->wake(source->self), engine->state.t));
        engine_read(engine);
    }
}

static void tell_face(struct engine *engine, bool sought)
{
    if (!engine->stays) {
        whole(engine);
    }
    engine->face->steered(engine->face_self, &engine->scene, sought);
}

void steer_stop_at_end(struct engine *engine)
{
    engine->paused = true;
    engine_stand(engine, engine->state.t);
    tell_face(engine, false);
}

/* Where a word leads; NaN and why when nowhere. */
static double place_of(struct engine *engine, const struct words *words, const char **ret_why)
{
    static const struct {
        enum timeline_kind kind;
        const char *none_on, *none_back;
    } kinds[] = {
        [PLACE_STEP] = {TIMELINE_STEP, N_("no step comes after this one"),
                        N_("this is the first step")},
        [PLACE_MARK] = {TIMELINE_MARK, N_("no mark comes from here on"),
                        N_("no mark was set before")},
        [PLACE_ADVICE] = {TIMELINE_ADVICE, N_("no advice comes from here on"),
                          N_("no advice was given before")},
    };
    double back = engine->paused ? 0.0 : near_s * fmin(engine->speed, 16.0), t = engine->t;
    const struct timeline_place *place;

    switch (words->place) {
    case PLACE_TIME:
        return words->number;
    case PLACE_AWAY:
        return fmax(t + words->number, 0.0);
    case PLACE_OF_STEP:
        place = timeline_step(whole(engine), words->name, t);
        *ret_why = N_("no step of that name or number is in this recording");
        break;
    default:
        place = words->number > 0.0
                    ? timeline_after(whole(engine), kinds[words->place].kind, t)
                    : timeline_before(whole(engine), kinds[words->place].kind, t - back);
        *ret_why =
            words->number > 0.0 ? kinds[words->place].none_on : kinds[words->place].none_back;
        break;
    }
    return place ? place->t : NAN;
}

void steer_obey(struct engine *engine, const struct words *words)
{
    bool sought = words->kind == WORDS_SEEK || words->kind == WORDS_ONE;
    const char *why = "";
    double t = engine->t;

    if (sought && engine->straight_on) {
        engine->face->message(engine->face_self, _("this goes straight on, without leaps"));
        return;
    }
    if (words->kind == WORDS_SEEK) {
        t = place_of(engine, words, &why);
    } else if (words->kind == WORDS_ONE && words->number < 0.0) {
        t = nextafter(engine->state.t, -INFINITY);
    }
    if (isnan(t)) {
        engine->face->message(engine->face_self, _(why));
        return;
    }
    switch (words->kind) {
    case WORDS_PAUSE:
    case WORDS_PLAY:
        engine->paused = words->kind == WORDS_PAUSE;
        break;
    case WORDS_SPEED:
        engine->speed = words->number;
        break;
    case WORDS_ONE:
        engine->paused = true;
        if (words->number > 0.0) {
            go_one_on(engine);
            return;
        }
        seek(engine, t);
        engine_stand(engine, engine->state.t);
        break;
    default:
        seek(engine, t);
        break;
    }
    engine_stand(engine, engine->t);
    tell_face(engine, sought);
}
