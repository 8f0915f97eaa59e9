/*
 * json.c - the session's records on standard output exactly as logged, one a line, flushed once a
 * turn; the operator's words on standard input. A replay that is steered says where it stands by a
 * line of its own: {"replay":{...}}, and the word now is answered by {"now":{...}}. What is no
 * record goes to standard error.
 */
#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "session/json_line.h"
#include "session/timeline.h"
#include "view/ear.h"
#include "view/face.h"
#include "view/line_input.h"
#include "view/now.h"
#include "view/own_words.h"

enum { JSON_LINE_SIZE = 4096 };

struct json {
    struct line_input input;
    struct ear ear;
};

static int json_open(void **ret_self, char why[RECORD_TEXT_SIZE])
{
    struct json *json = calloc(1, sizeof *json);

    if (!json) {
        text_copy(why, RECORD_TEXT_SIZE, fault_words(ENOMEM));
        return -ENOMEM;
    }
    line_input_init(&json->input, STDIN_FILENO);
    ear_init(&json->ear);
    *ret_self = json;
    return 0;
}

static int json_fd(const void *self)
{
    (void)self;
    return STDIN_FILENO;
}

static void json_message(void *self, const char *text)
{
    (void)self;
    fprintf(stderr, "peakward: %s\n", text);
}

/* Whether the line is for this face itself. */
static bool obeys(struct json *json, const struct face_scene *scene, const char *words)
{
    char line[JSON_LINE_SIZE];

    switch (own_word_find(words)) {
    case OWN_WORD_NOW:
        if (json_line(json_pack("{s:o}", "now", now_json(scene)), line, sizeof line) > 0) {
            puts(line);
        }
        return true;
    case OWN_WORD_TONE:
        json_message(json, ear_toggle(&json->ear, SOUND_TONE));
        return true;
    case OWN_WORD_ALOUD:
        json_message(json, ear_toggle(&json->ear, SOUND_SPEECH));
        return true;
    default:
        return false;
    }
}

static int json_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct json *json = self;
    int r;

    while ((r = line_input_next(&json->input, words)) == -EMSGSIZE ||
           (r == 1 && obeys(json, scene, words))) {
        if (r == -EMSGSIZE) {
            json_message(json, _("standard input: a line was too long and is left out"));
        }
    }
    return r;
}

static void json_record(void *self, const struct face_scene *scene, const struct record *record)
{
    struct json *json = self;
    char line[JSON_LINE_SIZE];

    ear_record(&json->ear, scene, record);
    if (record_format(record, line, sizeof line) > 0) {
        puts(line);
    }
}

static void json_steered(void *self, const struct face_scene *scene, bool sought)
{
    const struct state *state = scene->state;
    struct json *json = self;
    bool in_step = isfinite(state->step_t);
    char line[JSON_LINE_SIZE];
    json_t *body =
        json_pack("{s:f, s:f, s:b, s:b, s:o, s:b}", "t", scene->t, "end", scene->timeline->end_t,
                  "paused", scene->paused, "ended", scene->ended, "speed",
                  isfinite(scene->speed) ? json_real(scene->speed) : json_null(), "sought", sought);

    ear_steered(&json->ear, scene, sought);
    if (in_step) {
        json_object_set_new(body, "step", json_string(state->step.name));
        json_object_set_new(body, "number", json_integer(state->step.number));
        json_object_set_new(body, "count", json_integer(state->step.count));
    }
    if (json_line(json_pack("{s:o}", "replay", body), line, sizeof line) > 0) {
        puts(line);
    }
}

static void json_show(void *self, const struct face_scene *scene)
{
    struct json *json = self;
    const char *why = ear_show(&json->ear, scene->state, fmax(scene->t, scene->state->t));

    if (why) {
        json_message(json, why);
    }
    fflush(stdout);
}

static double json_wake(const void *self, double t)
{
    (void)self;
    (void)t;
    return INFINITY;
}

static void json_close(void *self)
{
    struct json *json = self;

    fflush(stdout);
    if (json) {
        ear_finish(&json->ear);
        free(json);
    }
}

const struct face_ops face_json = {
    .name = "json",
    .open = json_open,
    .fd = json_fd,
    .input = json_input,
    .record = json_record,
    .steered = json_steered,
    .show = json_show,
    .message = json_message,
    .wake = json_wake,
    .close = json_close,
};
