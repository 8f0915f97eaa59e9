#include "command/quiz.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/language.h"
#include "command/options.h"
#include "command/quiz_score.h"
#include "command/start_log.h"
#include "sky/angle.h"
#include "view/words.h"

static const char ways[] = N_("right, left, up, down, clockwise or anticlockwise, and how far: "
                              "\"left 0.4 deg\", \"up 1/4 turns\"; an empty line to pass; quit");

struct quiz {
    struct engine *engine; /* borrowed: its job, its state, the log of the quiz */
    struct quiz_tally tally;
    bool open;                  /* a question has been answered, what came of it is not known yet */
    struct advice advice;       /* asked about last */
    double asked_t, level, deg; /* when it was: the time, the level, the axis's angle */
    double told_deg;            /* said to have been turned since */
    bool told;
    bool left; /* the trainee has had enough */
};

/* --- what there is to see ------------------------------------------------------------------- */

static double level_now(const struct state *state)
{
    return state->level.known ? state->level.filter.level : NAN;
}

static void show_angles(const struct state *state)
{
    const char *before = "  ";

    for (int i = 0; i < AXIS_COUNT; i++) {
        const char *axis = axis_word((enum axis)i);
        if (!isfinite(state->measured.deg[i])) {
            continue;
        }
        if (state->target.known && isfinite(state->target.deg[i])) {
            command_say(_("%s%s %.2f° (target %.2f°)"), before, axis, state->measured.deg[i],
                        state->target.deg[i]);
        } else {
            command_say("%s%s %.2f°", before, axis, state->measured.deg[i]);
        }
        before = ", ";
    }
    command_say("%s\n", before[0] == ' ' ? _("  no angle is known") : "");
}

static void show_situation(const struct quiz *quiz, const struct advice *advice)
{
    const struct state *state = &quiz->engine->state;
    const char *unit = level_unit_symbol(state->level.unit, true);
    int s = (int)state->t;

    command_say(_("\nQuestion %d, %d:%02d into the session: %s.\n"), quiz->tally.asked + 1, s / 60,
                s % 60, _(advice->step));
    show_angles(state);
    if (isfinite(level_now(state))) {
        command_say(_("  level %.1f %s, best so far %.1f %s"), level_now(state), unit,
                    state->level.best, unit);
        command_say(!state->lock.locked ? _("; no lock\n")
                    : state->lock.id[0] ? _("; locked on %s\n")
                                        : _("; locked\n"),
                    state->lock.id);
    }
    command_say(_("Which way, and how far? "));
}

/* --- the answer ----------------------------------------------------------------------------- */

/* True when it is one: also when the trainee passes or leaves. */
static bool understand(struct quiz *quiz, const char *line, struct quiz_answer *ret)
{
    char words[FACE_WORDS_SIZE], why[RECORD_TEXT_SIZE], way[32];
    struct words parsed;
    int sign;

    *ret = (struct quiz_answer){.axis = AXIS_NONE, .deg = NAN};
    if (*text_skip_blanks(line) == '\0') {
        return true;
    }
    if (strcmp(line, "quit") == 0) {
        quiz->left = true;
        return true;
    }
    snprintf(way, sizeof way, "%.31s", line);
    if (axis_parse_way(way, &ret->axis, &ret->way)) {
        return true;
    }
    snprintf(words, sizeof words, "moved %.400s", line);
    if (words_parse(words, LEVEL_DB, &parsed, why) < 0 || parsed.kind != WORDS_RECORD ||
        parsed.record.kind != RECORD_MOVE) {
        return false;
    }
    double deg = state_move_deg(&quiz->engine->state, &parsed.record.move);
    double said =
        isfinite(parsed.record.move.deg) ? parsed.record.move.deg : parsed.record.move.turns;
    sign = said < 0.0 ? -1 : 1;
    *ret = (struct quiz_answer){.axis = parsed.record.move.axis, .way = sign, .deg = fabs(deg)};
    return true;
}

static struct quiz_answer hear_answer(struct quiz *quiz, char line[FACE_WORDS_SIZE])
{
    struct quiz_answer answer = {.axis = AXIS_NONE, .deg = NAN};

    while (fgets(line, FACE_WORDS_SIZE, stdin)) {
        line[strcspn(line, "\r\n")] = '\0';
        if (understand(quiz, line, &answer)) {
            return answer;
        }
        command_say("%s\n? ", _(ways));
    }
    line[0] = '\0';
    quiz->left = true;
    return answer;
}

/* --- what is kept --------------------------------------------------------------------------- */

static void keep(struct quiz *quiz, const char *text)
{
    struct record note = {.t = quiz->engine->state.t, .kind = RECORD_NOTE};

    text_copy(note.note.text, sizeof note.note.text, text);
    record_round(&note);
    log_write(&quiz->engine->log, &note);
}

static void keep_answer(struct quiz *quiz, const char *line, enum quiz_miss miss)
{
    char text[RECORD_TEXT_SIZE], clean[100];

    text_sanitize(clean, sizeof clean, line, strlen(line));
    /* TRANSLATORS: kept in the log: the step, the judgement, what was answered, what the coach
     * said. "quiz: " stays: the report looks for it */
    text[0] = '\0';
    text_append(text, sizeof text, _("quiz: %.40s: %s; said: %s; the coach: %s"),
                _(quiz->advice.step), quiz_miss_text(miss), clean, quiz->advice.say);
    keep(quiz, text);
}

/* --- going through -------------------------------------------------------------------------- */

static void ask(struct quiz *quiz, const struct advice *advice)
{
    const struct state *state = &quiz->engine->state;
    char line[FACE_WORDS_SIZE];
    struct quiz_answer answer;
    enum quiz_miss miss;

    show_situation(quiz, advice);
    answer = hear_answer(quiz, line);
    if (quiz->left) {
        return;
    }
    miss = quiz_judge(advice, &answer);
    quiz_count(&quiz->tally, advice, miss);
    quiz->advice = *advice;
    quiz->asked_t = state->t;
    quiz->level = level_now(state);
    quiz->deg = state->measured.deg[advice->axis];
    quiz->told_deg = 0.0;
    quiz->told = false;
    quiz->open = true;
    if (miss == QUIZ_RIGHT) {
        command_say(_("Right.\n"));
    } else {
        command_say(_("Not so: %s.\n"), quiz_miss_text(miss));
    }
    command_say(_("  The coach said: %s\n"), advice->say);
    if (advice->why[0]) {
        command_say(_("  Why: %s.\n"), advice->why);
    }
    keep_answer(quiz, line, miss);
}

/* What the technician did, and what came of it. */
static void tell_outcome(struct quiz *quiz)
{
    const struct state *state = &quiz->engine->state;
    enum axis axis = quiz->advice.axis;
    double now = state->measured.deg[axis];
    double deg = quiz->told             ? quiz->told_deg
                 : axis == AXIS_AZIMUTH ? angle_turn_deg(quiz->deg, now)
                                        : now - quiz->deg;

    if (!quiz->open) {
        return;
    }
    quiz->open = false;
    if (isfinite(deg)) {
        command_say(_("  The technician turned it %s %.2f° within %.0f s"),
                    axis_way_word(axis, deg), fabs(deg), state->t - quiz->asked_t);
    } else {
        command_say(_("  How far the technician turned it is not known"));
    }
    if (isfinite(quiz->level) && isfinite(level_now(state))) {
        command_say(_("; the level went from %.1f to %.1f %s"), quiz->level, level_now(state),
                    level_unit_symbol(state->level.unit, true));
    }
    command_say(".\n");
}

static void take(struct quiz *quiz, const struct record *record, const struct advice *last)
{
    const struct advice *advice = &record->advice;
    bool same = record->kind == RECORD_ADVICE && advice->axis == last->axis &&
                advice->move == last->move && strcmp(advice->step, last->step) == 0;

    if (record->kind == RECORD_MOVE && quiz->open && record->move.axis == quiz->advice.axis) {
        quiz->told = true;
        quiz->told_deg += state_move_deg(&quiz->engine->state, &record->move);
    }
    if (record->kind != RECORD_ADVICE || same) {
        return;
    }
    tell_outcome(quiz);
    if (quiz_can_ask(advice)) {
        ask(quiz, advice);
    }
}

static int go_through(struct quiz *quiz, struct log_reader *reader)
{
    struct state *state = &quiz->engine->state;
    char why[JOB_ERROR_SIZE];
    struct record record;
    int r = 0;

    while (!quiz->left && (r = log_reader_next(reader, &record, why)) == 1) {
        struct advice last = state->advice;
        if (record.kind != RECORD_ADVICE) {
            state_apply(state, &record);
        }
        take(quiz, &record, &last);
        if (record.kind == RECORD_ADVICE) {
            state_apply(state, &record);
        }
    }
    if (r < 0) {
        command_complain("replay", why, _("mend or remove that line"));
    }
    return r;
}

static void sum_up(struct quiz *quiz)
{
    char sentence[RECORD_TEXT_SIZE], note[RECORD_TEXT_SIZE] = "quiz: ";

    tell_outcome(quiz);
    quiz_tell(&quiz->tally, sentence);
    command_say(_("\n%s\nlog: %s\n"), sentence, quiz->engine->log_path);
    text_append(note, sizeof note, "%s", sentence);
    keep(quiz, note);
}

int quiz_run(struct engine *engine, const char *path, const char *log_path)
{
    struct quiz quiz = {.engine = engine};
    struct log_reader reader;
    char why[JOB_ERROR_SIZE];
    int r;

    if (log_reader_open(&reader, path, &engine->job, &engine->procedure, why) < 0) {
        command_complain(why, NULL, _("give the log of a session, as peak wrote it"));
        return EXIT_WRONG;
    }
    language_of_log(reader.language);
    if (options_magnetic(&engine->job, &engine->magnetic) < 0 || start_log(engine, log_path) < 0) {
        log_reader_close(&reader);
        return EXIT_WRONG;
    }
    engine_reset(engine);
    command_say(_("Before each new turn you are asked for it. Answer with\n%s\n"), _(ways));
    r = go_through(&quiz, &reader);
    log_reader_close(&reader);
    sum_up(&quiz);
    return r < 0 ? EXIT_WRONG : quiz.left ? EXIT_NOT_DONE : EXIT_DONE;
}
