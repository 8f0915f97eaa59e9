/*
 * json.c - the session's records on standard output exactly as logged, one a line, flushed once a
 * turn; the operator's words on standard input. A replay that is steered says where it stands by a
 * line of its own: {"replay":{...}}. What is no record goes to standard error.
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
#include "view/face.h"
#include "view/line_input.h"

enum { JSON_LINE_SIZE = 4096 };

struct json {
    struct line_input input;
};

static int json_open(void **ret_self, char why[RECORD_TEXT_SIZE])
{
    struct json *json = calloc(1, sizeof *json);

    if (!json) {
        text_copy(why, RECORD_TEXT_SIZE, fault_words(ENOMEM));
        return -ENOMEM;
    }
    line_input_init(&json->input, STDIN_FILENO);
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

static int json_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct json *json = self;
    int r;

    (void)scene;
    while ((r = line_input_next(&json->input, words)) == -EMSGSIZE) {
        json_message(json, _("standard input: a line was too long and is left out"));
    }
    return r;
}

static void json_record(void *self, const struct face_scene *scene, const struct record *record)
{
    char line[JSON_LINE_SIZE];

    (void)self;
    (void)scene;
    if (record_format(record, line, sizeof line) > 0) {
        puts(line);
    }
}

static void json_steered(void *self, const struct face_scene *scene, bool sought)
{
    const struct state *state = scene->state;
    bool in_step = isfinite(state->step_t);
    char line[JSON_LINE_SIZE];
    json_t *body =
        json_pack("{s:f, s:f, s:b, s:b, s:o, s:b}", "t", scene->t, "end", scene->timeline->end_t,
                  "paused", scene->paused, "ended", scene->ended, "speed",
                  isfinite(scene->speed) ? json_real(scene->speed) : json_null(), "sought", sought);

    (void)self;
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
    (void)self;
    (void)scene;
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
    fflush(stdout);
    free(self);
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
