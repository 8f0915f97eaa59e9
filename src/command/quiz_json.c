/* quiz_json.c - a quiz for a program: its objects stand between the session's records. */
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/tongue.h"
#include "command/quiz_face.h"
#include "session/json_line.h"

static void put_object(const char *key, json_t *body)
{
    char line[LOG_LINE_SIZE];

    if (json_line(json_pack("{s:o}", key, body), line, sizeof line) > 0) {
        puts(line);
        fflush(stdout);
    }
}

static void begin(struct quiz *quiz)
{
    (void)quiz;
}

static void question(struct quiz *quiz)
{
    const struct state *state = &quiz->engine->state;
    json_t *body = json_pack("{s:i, s:o, s:s}", "number", quiz->tally.asked + 1, "t",
                             json_line_number(state->t), "step", quiz->asked.advice.step);

    for (int i = 0; i < AXIS_COUNT; i++) {
        json_object_set_new(body, axis_name((enum axis)i),
                            json_line_number(state->measured.deg[i]));
    }
    json_object_set_new(body, "level", json_line_number(quiz_level(quiz)));
    json_object_set_new(body, "best", json_line_number(state->level.best));
    json_object_set_new(body, "unit", json_string(level_unit_name(state->level.unit)));
    json_object_set_new(body, "locked",
                        json_boolean(isfinite(state->lock_t) && state->lock.locked));
    put_object("question", body);
}

static void refuse(struct quiz *quiz)
{
    face_around_message(quiz, _(quiz_ways));
}

static void verdict(struct quiz *quiz, const char *said)
{
    put_object("answer", json_pack("{s:i, s:s, s:b, s:s, s:s}", "number", quiz->tally.asked, "said",
                                   said, "right", quiz->miss == QUIZ_RIGHT, "verdict",
                                   quiz_miss_text(quiz->miss), "coach", quiz->asked.advice.say));
}

static void outcome(struct quiz *quiz)
{
    put_object("outcome",
               json_pack("{s:i, s:o, s:o, s:o, s:o, s:s}", "number", quiz->tally.asked,
                         "turned_deg", json_line_number(quiz_turned_deg(quiz)), "within_s",
                         json_line_number(quiz->engine->state.t - quiz->asked.t), "level_from",
                         json_line_number(quiz->level), "level_to",
                         json_line_number(quiz_level(quiz)), "say",
                         quiz->outcome + strspn(quiz->outcome, " ")));
}

static json_t *score_body(const struct quiz *quiz)
{
    json_t *missed = json_object();

    for (int i = QUIZ_RIGHT + 1; i < QUIZ_MISSES; i++) {
        json_object_set_new(missed, quiz_miss_key((enum quiz_miss)i),
                            json_integer(quiz->tally.misses[i]));
    }
    return json_pack("{s:o, s:i, s:i, s:o, s:b, s:s}", "points",
                     json_line_number(round(quiz_points(&quiz->tally))), "asked", quiz->tally.asked,
                     "right", quiz->tally.misses[QUIZ_RIGHT], "missed", missed, "finished",
                     !quiz->left, "log", quiz->log_path);
}

static void put_score(struct quiz *quiz)
{
    put_object("score", score_body(quiz));
}

const struct quiz_voice quiz_in_json = {
    .shows_session = true,
    .begin = begin,
    .question = question,
    .refuse = refuse,
    .verdict = verdict,
    .outcome = outcome,
    .score = put_score,
};
