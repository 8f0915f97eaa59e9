/* handover_stage.h - a short session in memory, and the record of its first lines. */
#ifndef TESTS_HANDOVER_STAGE_H
#define TESTS_HANDOVER_STAGE_H

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "record/handover_fold.h"
#include "record/handover_judge.h"

/* A session in the making, as the engine makes one: what comes in, and what the coach says of it.
 */
static struct session {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct coach coach;
    struct record lines[4096];
    size_t count;
    double t;
} live;

static struct handover_fold *fold;
static struct handover handover;

static inline void set_job(const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    if (job_set(&live.job, section, key, value, why) < 0) {
        fail_msg("%s", why);
    }
}

static inline void add_step(const char *name, const char *act, const char *key, const char *value)
{
    char section[80], why[JOB_ERROR_SIZE] = "";

    snprintf(section, sizeof section, "step %s", name);
    if (procedure_set(&live.procedure, section, "do", act, why, sizeof why) < 0 ||
        (key && procedure_set(&live.procedure, section, key, value, why, sizeof why) < 0)) {
        fail_msg("%s", why);
    }
}

/* A caution, a position, a level, an end; a meter whose readings need no settling. */
static inline int set_up(void **unused)
{
    (void)unused;
    fold = malloc(sizeof *fold);
    memset(&live, 0, sizeof live);
    magnetic_builtin(&live.magnetic);
    job_init(&live.job);
    set_job("target", "longitude", "21.5E");
    set_job("target", "polarisation", "V");
    set_job("target", "expected_level", "13");
    set_job("meter finder", "unit", "dB");
    set_job("meter finder", "quantity", "C/N");
    set_job("meter finder", "lag", "0");
    procedure_init(&live.procedure, "short");
    add_step("caution", "confirm", "text", "Mind the edge.");
    add_step("position", "fix", NULL, NULL);
    add_step("measure", "measure", "dwell", "5");
    add_step("close", "record", NULL, NULL);
    return fold ? 0 : -1;
}

static inline int tear_down(void **unused)
{
    (void)unused;
    free(fold);
    return 0;
}

static inline void begin(void)
{
    state_init(&live.state, &live.job, &live.magnetic);
    coach_init(&live.coach, &live.job, &live.procedure);
}

static inline void keep(const struct record *record)
{
    assert_true(live.count < sizeof live.lines / sizeof *live.lines);
    live.lines[live.count++] = *record;
    state_apply(&live.state, record);
}

static inline void hear(struct record record)
{
    struct record made;

    if (live.count == 0) {
        begin();
    }
    record.t = live.t;
    record_round(&record);
    keep(&record);
    coach_update(&live.coach, &live.state, &record);
    while (coach_take(&live.coach, &made)) {
        record_round(&made);
        keep(&made);
    }
}

static inline void say(enum record_step_event event)
{
    hear((struct record){.kind = RECORD_STEP, .step = {.event = event}});
}

static inline void hear_fix(double height_m, int mode)
{
    hear((struct record){.kind = RECORD_FIX, .fix = {46.6, 10.1, height_m, 4.0, mode, 9}});
}

static inline void hear_level(double value)
{
    hear((struct record){.kind = RECORD_LEVEL,
                         .level = {.value = value, .unit = LEVEL_DB, .meter = "finder"}});
}

static inline void hear_note(const char *text)
{
    struct record record = {.kind = RECORD_NOTE};

    text_copy(record.note.text, sizeof record.note.text, text);
    hear(record);
}

static inline void hear_angle(enum axis axis, double deg, bool scale)
{
    struct record record = {.kind = RECORD_ANGLES, .angles = {.deg = {NAN, NAN, NAN}}};

    record.angles.deg[axis] = deg;
    record.angles.scale = scale;
    hear(record);
}

/* Ten readings in five seconds, 10.0 to 10.9 but for one wild one. */
static inline void measure(void)
{
    for (int i = 0; i <= 10; i++) {
        live.t += 0.5;
        hear_level(i == 7 ? 30.0 : 10.0 + 0.1 * i);
    }
}

/* The record of the first `count` lines. */
static inline const struct handover *record_of(size_t count)
{
    handover_fold_init(fold, &handover, &live.job, &live.procedure, &live.magnetic);
    for (size_t i = 0; i < count; i++) {
        handover_fold_apply(fold, &live.lines[i]);
    }
    handover_fold_finish(fold);
    handover_judge(&handover);
    return &handover;
}

#endif
