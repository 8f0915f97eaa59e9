#include "command/quiz_face.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/angle.h"
#include "view/words.h"

const char quiz_ways[] = N_("right, left, up, down, clockwise or anticlockwise, and how far: "
                            "\"left 0.4 deg\", \"up 1/4 turns\"; an empty line to pass; quit");

double quiz_level(const struct quiz *quiz)
{
    const struct state *state = &quiz->engine->state;

    return state->level.known ? state->level.filter.level : NAN;
}

/* --- the question --------------------------------------------------------------------------- */

static void ask(struct quiz *quiz, const struct record *record)
{
    const struct state *state = &quiz->engine->state;

    quiz->asking = quiz->engine->held = true;
    quiz->asked = *record;
    quiz->level = quiz_level(quiz);
    quiz->deg = state->measured.deg[record->advice.axis];
    quiz->told_deg = 0.0;
    quiz->told = false;
    engine_stand(quiz->engine, state->t);
    quiz->voice->question(quiz);
}

/* --- the answer ----------------------------------------------------------------------------- */

/* True when it is one: also when the trainee passes. */
static bool understand(const struct quiz *quiz, const char *line, struct quiz_answer *ret)
{
    char words[FACE_WORDS_SIZE], why[RECORD_TEXT_SIZE], way[32];
    struct words parsed;

    *ret = (struct quiz_answer){.axis = AXIS_NONE, .deg = NAN};
    if (*text_skip_blanks(line) == '\0' || strcmp(line, "pass") == 0) {
        return true;
    }
    text_copy(way, sizeof way, line);
    way[strcspn(way, " ")] = '\0';
    if (line[strcspn(line, " ")] == '\0' || *text_skip_blanks(line + strlen(way)) == '\0') {
        return axis_parse_way(way, &ret->axis, &ret->way);
    }
    snprintf(words, sizeof words, "moved %.400s", line);
    if (words_parse(words, LEVEL_DB, &parsed, why) < 0 || parsed.kind != WORDS_RECORD ||
        parsed.record.kind != RECORD_MOVE) {
        return false;
    }
    double deg = state_move_deg(&quiz->engine->state, &parsed.record.move);
    double said =
        isfinite(parsed.record.move.deg) ? parsed.record.move.deg : parsed.record.move.turns;
    *ret = (struct quiz_answer){
        .axis = parsed.record.move.axis, .way = said < 0.0 ? -1 : 1, .deg = fabs(deg)};
    return true;
}

static void keep_answer(struct quiz *quiz, const char *line, enum quiz_miss miss)
{
    const struct advice *advice = &quiz->asked.advice;
    char text[RECORD_TEXT_SIZE], clean[100];

    text_sanitize(clean, sizeof clean, line, strlen(line));
    /* TRANSLATORS: kept in the log: the step, the judgement, what was answered, what the coach
     * said. "quiz: " stays: the report looks for it */
    text[0] = '\0';
    text_append(text, sizeof text, _("quiz: %.40s: %s; said: %s; the coach: %s"), _(advice->step),
                quiz_miss_text(miss), clean, advice->say);
    quiz_keep(quiz, text);
}

static void take_answer(struct quiz *quiz, const struct face_scene *scene, const char *line,
                        const struct quiz_answer *answer)
{
    enum quiz_miss miss = quiz_judge(&quiz->asked.advice, answer);

    quiz_count(&quiz->tally, &quiz->asked.advice, miss);
    quiz->miss = miss;
    keep_answer(quiz, line, miss);
    quiz->asking = quiz->engine->held = false;
    quiz->open = true;
    quiz->voice->verdict(quiz, line);
    if (quiz->voice->shows_session) {
        face_around_record(quiz, scene, &quiz->asked);
    }
    engine_stand(quiz->engine, quiz->engine->state.t);
}

/* --- what came of it ------------------------------------------------------------------------ */

double quiz_turned_deg(const struct quiz *quiz)
{
    enum axis axis = quiz->asked.advice.axis;
    double now = quiz->engine->state.measured.deg[axis];

    if (quiz->told) {
        return quiz->told_deg;
    }
    return axis == AXIS_AZIMUTH ? angle_turn_deg(quiz->deg, now) : now - quiz->deg;
}

static void describe_outcome(struct quiz *quiz)
{
    const struct state *state = &quiz->engine->state;
    double deg = quiz_turned_deg(quiz);
    char *text = quiz->outcome;

    text[0] = '\0';
    if (isfinite(deg)) {
        text_append(text, RECORD_TEXT_SIZE, _("  The technician turned it %s %.2f° within %.0f s"),
                    axis_way_word(quiz->asked.advice.axis, deg), fabs(deg),
                    state->t - quiz->asked.t);
    } else {
        text_append(text, RECORD_TEXT_SIZE, "%s",
                    _("  How far the technician turned it is not known"));
    }
    if (isfinite(quiz->level) && isfinite(quiz_level(quiz))) {
        text_append(text, RECORD_TEXT_SIZE, _("; the level went from %.1f to %.1f %s"), quiz->level,
                    quiz_level(quiz), level_unit_symbol(state->level.unit, true));
    }
    text_append(text, RECORD_TEXT_SIZE, ".");
}

static void tell_outcome(struct quiz *quiz)
{
    if (quiz->open) {
        quiz->open = false;
        describe_outcome(quiz);
        quiz->voice->outcome(quiz);
    }
}

void quiz_sum_up(struct quiz *quiz)
{
    char note[RECORD_TEXT_SIZE];

    if (quiz->over) {
        return;
    }
    quiz->left = quiz->left || quiz->asking || quiz->engine->ended < quiz->engine->source_count;
    tell_outcome(quiz);
    quiz->over = true;
    quiz_tell(&quiz->tally, quiz->score);
    snprintf(note, sizeof note, "quiz: %.*s", (int)sizeof note - 8, quiz->score);
    quiz_keep(quiz, note);
    quiz->voice->score(quiz);
}

/* --- what is covered ------------------------------------------------------------------------ */

/* The question, or at the end the score, in the place of advice. */
static void describe_cover(const struct quiz *quiz, struct advice *ret)
{
    *ret = (struct advice){.axis = AXIS_NONE,
                           .move = quiz->over ? ADVICE_DONE : ADVICE_WAIT,
                           .deg = NAN,
                           .turns = NAN,
                           .rate = NAN};
    if (quiz->over) {
        text_copy(ret->say, sizeof ret->say, quiz->score);
        text_append(ret->why, sizeof ret->why, _("It is kept in %s"), quiz->log_path);
        return;
    }
    text_copy(ret->step, sizeof ret->step, quiz->asked.advice.step);
    text_append(ret->say, sizeof ret->say, _("Question %d: which way, and how far?"),
                quiz->tally.asked + 1);
    if (quiz->outcome[0]) {
        text_append(ret->why, sizeof ret->why, "%s. %s", quiz_miss_text(quiz->miss),
                    quiz->outcome + strspn(quiz->outcome, " "));
        text_capitalise(ret->why);
    }
}

/* What is not to be seen yet is taken out of the state while a face looks at it. */
static struct advice cover(struct quiz *quiz)
{
    struct engine *engine = quiz->engine;
    struct advice advice = engine->state.advice;

    if (quiz->asking || quiz->over) {
        describe_cover(quiz, &engine->state.advice);
    }
    engine->scene.coach = quiz->asking ? NULL : &engine->coach;
    engine->scene.asking = quiz->asking;
    return advice;
}

static void uncover(struct quiz *quiz, const struct advice *advice)
{
    quiz->engine->state.advice = *advice;
}

/* --- the face ------------------------------------------------------------------------------- */

static bool is_new(const struct advice *advice, const struct advice *last)
{
    return advice->axis != last->axis || advice->move != last->move ||
           strcmp(advice->step, last->step) != 0;
}

static void face_record(void *self, const struct face_scene *scene, const struct record *record)
{
    struct quiz *quiz = self;
    const struct advice *advice = &record->advice;

    if (record->kind == RECORD_MOVE && quiz->open && record->move.axis == quiz->asked.advice.axis) {
        quiz->told = true;
        quiz->told_deg += state_move_deg(&quiz->engine->state, &record->move);
    }
    if (record->kind == RECORD_ADVICE && is_new(advice, &quiz->last)) {
        tell_outcome(quiz);
        if (quiz_can_ask(advice)) {
            ask(quiz, record);
        }
    }
    if (record->kind == RECORD_ADVICE) {
        quiz->last = *advice;
    }
    if (quiz->voice->shows_session && !(quiz->asking && record->kind == RECORD_ADVICE)) {
        struct advice hidden = cover(quiz);
        face_around_record(quiz, scene, record);
        uncover(quiz, &hidden);
    }
}

/* Line by line an answer must not be taken before its question. */
static bool listens(const struct quiz *quiz)
{
    return quiz->asking || quiz->voice->hears_always;
}

static int face_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct quiz *quiz = self;

    if (!listens(quiz)) {
        return 0;
    }

    struct advice hidden = cover(quiz);
    int r = face_around_input(quiz, scene, words);
    struct quiz_answer answer;

    uncover(quiz, &hidden);
    if (r != 1 || strcmp(words, "quit") == 0) {
        quiz->left = quiz->left || (r == 1 && !quiz->over);
        return r;
    }
    if (quiz->asking) {
        if (understand(quiz, words, &answer)) {
            take_answer(quiz, scene, words, &answer);
        } else {
            quiz->voice->refuse(quiz);
        }
        words[0] = '\0';
    }
    return r;
}

static void face_show(void *self, const struct face_scene *scene)
{
    struct quiz *quiz = self;
    struct advice hidden;

    if (scene->ended) {
        quiz_sum_up(quiz);
    }
    hidden = cover(quiz);
    face_around_show(quiz, scene);
    uncover(quiz, &hidden);
}

static void face_steered(void *self, const struct face_scene *scene, bool sought)
{
    struct quiz *quiz = self;

    if (quiz->voice->shows_session) {
        face_around_steered(self, scene, sought);
    }
}

static int face_fd(const void *self)
{
    const struct quiz *quiz = self;

    return listens(quiz) ? face_around_fd(self) : -1;
}

static const struct face_ops face_quiz = {
    .name = "quiz",
    .fd = face_fd,
    .input = face_input,
    .record = face_record,
    .steered = face_steered,
    .show = face_show,
    .message = face_around_message,
    .wake = face_around_wake,
    .close = face_around_close,
};

void quiz_face_put(struct quiz *quiz)
{
    face_around_put(&quiz->around, quiz->engine, &face_quiz);
    quiz->voice->begin(quiz);
}
