#include "command/drill_face.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"

static const double speaks_s = 20.0; /* an answer is shown, and kept up to date, for so long */

/* --- what is hidden ------------------------------------------------------------------------- */

static bool is_about_turning(enum procedure_do act)
{
    return act == DO_SET || act == DO_SWEEP || act == DO_IDENTIFY || act == DO_PEAK ||
           act == DO_NULL;
}

/* Where to turn, and what is done to find that out; not cautions, questions and the rest. */
static bool is_secret(const struct drill_face *face, const struct advice *advice)
{
    const struct procedure *procedure = &face->engine->procedure;
    bool question = advice->move == ADVICE_CONFIRM && advice->axis == AXIS_NONE;

    for (size_t i = 0; i < procedure->step_count && !question; i++) {
        if (strcmp(procedure->steps[i].name, advice->step) == 0) {
            return is_about_turning(procedure->steps[i].act);
        }
    }
    return false;
}

static bool speaks(const struct drill_face *face)
{
    return face->coach != DRILL_COACH_ASK || face->engine->state.t - face->asked_t < speaks_s;
}

static struct advice silence(const struct advice *advice)
{
    struct advice silent = {
        .axis = AXIS_NONE, .move = ADVICE_WAIT, .deg = NAN, .turns = NAN, .rate = NAN};

    text_copy(silent.step, sizeof silent.step, advice->step);
    text_copy(silent.say, sizeof silent.say, _("The coach is silent; say ask to hear it."));
    return silent;
}

/* When all is done: the score, and how it comes about. */
static void put_score(const struct drill_face *face, struct advice *advice)
{
    char sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE];
    size_t count = face->tell(face, sentences);

    text_copy(advice->say, sizeof advice->say, count > 0 ? sentences[count - 1] : "");
    advice->why[0] = '\0';
    for (size_t i = 0; i + 1 < count; i++) {
        text_append(advice->why, sizeof advice->why, "%s%s", i > 0 ? " " : "", sentences[i]);
    }
}

/* What the operator must not see is taken out of the scene while a face looks at it. */
static struct advice cover(struct drill_face *face)
{
    struct engine *engine = face->engine;
    struct advice advice = engine->state.advice;
    bool silent = is_secret(face, &advice) && !speaks(face);

    if (silent) {
        engine->state.advice = silence(&advice);
    } else if (engine->coach.finished && engine->stays) {
        put_score(face, &engine->state.advice);
    }
    engine->scene.coach = silent ? NULL : &engine->coach;
    return advice;
}

static void uncover(struct drill_face *face, const struct advice *advice)
{
    face->engine->state.advice = *advice;
}

/* --- the score ------------------------------------------------------------------------------ */

static struct drill_stand stand_of(const struct world *world)
{
    const struct scenario *scenario = world_scenario(world);
    struct world_truth truth = world_truth(world);
    struct drill_stand stand;

    for (int i = 0; i < AXIS_COUNT; i++) {
        const struct scenario_axis *axis = &scenario->mount.axes[i];
        double scale = world_scale_deg(world, (enum world_axis)i);
        stand.deg[i] = (scale - axis->scale_zero_deg) * axis->scale_sense;
        stand.off_deg[i] = truth.error_deg[i];
    }
    return stand;
}

/* --- the face ------------------------------------------------------------------------------- */

static void answer(struct drill_face *face, const struct face_scene *scene)
{
    struct record record = {.t = face->engine->state.t, .kind = RECORD_ADVICE};

    face->asked_t = face->engine->state.t;
    drill_score_reveal(face->score);
    if (is_secret(face, &face->engine->state.advice)) {
        record.advice = face->engine->state.advice;
        face_around_record(face, scene, &record);
    }
}

static void face_record(void *self, const struct face_scene *scene, const struct record *record)
{
    struct drill_face *face = self;
    struct drill_stand stand = stand_of(face->world);
    bool secret =
        record->kind == RECORD_ADVICE && is_secret(face, &record->advice) && !speaks(face);
    struct advice advice = cover(face);

    drill_score_add(face->score, record, !secret, &stand);
    if (!secret) {
        face_around_record(face, scene, record);
    }
    uncover(face, &advice);
    if (face->coach == DRILL_COACH_ASK && record->kind == RECORD_MARK &&
        strcmp(record->mark.text, _(drill_asked_mark)) == 0) {
        answer(face, scene);
    }
}

static int face_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct drill_face *face = self;
    struct advice advice = cover(face);
    int r = face_around_input(face, scene, words);

    uncover(face, &advice);
    if (r != 1 || strcmp(words, "ask") != 0) {
        return r;
    }
    if (face->coach == DRILL_COACH_ASK) {
        snprintf(words, FACE_WORDS_SIZE, "mark %s", _(drill_asked_mark));
    } else {
        face_around_message(face, face->coach == DRILL_COACH_ON
                                      ? _("the coach speaks without being asked")
                                      : _("this drill is without the coach"));
        words[0] = '\0';
    }
    return r;
}

static void face_show(void *self, const struct face_scene *scene)
{
    struct drill_face *face = self;
    struct advice advice = cover(face);

    face_around_show(face, scene);
    uncover(face, &advice);
}

static double face_wake(const void *self, double t)
{
    const struct drill_face *face = self;
    double wake = face_around_wake(self, t), silent_t = face->asked_t + speaks_s;

    return silent_t > t ? fmin(wake, silent_t) : wake;
}

static const struct face_ops face_drill = {
    .name = "drill",
    .fd = face_around_fd,
    .input = face_input,
    .record = face_record,
    .steered = face_around_steered,
    .show = face_show,
    .message = face_around_message,
    .wake = face_wake,
    .close = face_around_close,
};

void drill_face_put(struct drill_face *face, struct engine *engine)
{
    face->engine = engine;
    face->asked_t = NAN;
    engine->scene.on_request = face->coach == DRILL_COACH_ASK;
    face_around_put(&face->around, engine, &face_drill);
}
