/*
 * tighten_stage.h - for tests of the bolts being fastened: an antenna that gives by so much and
 * bends under a hand, a signal that becomes weaker, and whoever does what the coach says.
 */
#ifndef TESTS_TIGHTEN_STAGE_H
#define TESTS_TIGHTEN_STAGE_H

#include "given.h"

#include <stdio.h>
#include <string.h>

#include "chance.h"
#include "coach/peak.h"
#include "tell_coach.h"

static const double top_db = 13.0, tick_s = 0.25, sway_s = 9.0, rad = 0.017453292519943295769;

static struct job job;
static struct state state;
static struct procedure procedure;
static struct coach coach;
static struct chance chance;

/* The antenna, and whoever stands at it. */
static struct {
    double noise_db;
    double weaker_db;       /* the signal, once the bolts are tight */
    double gave_deg[2];     /* what sensors show of the bolts */
    double sway_deg;        /* and of the wind */
    double begun_widths[2]; /* from the top, before the bolts */
    double gives_widths[2]; /* what the bolts do to it */
    double turned_widths[2];
    double bends_widths; /* at its edge, either way */
    double most_db;      /* the meter's end */
    bool tight, silent;
    enum level_unit unit; /* percent: 80 at the top, 4 less for each dB below it */
} mount;

/* What came of it. */
static char result[RECORD_TEXT_SIZE];
static bool eased;
static double told_deg[2];   /* sum of the turns that were asked for */
static int pushes[2], pulls; /* by axis; of both */
static int sent_right;       /* times that somebody was sent to the right edge */
static int harder;           /* of the pushes: twice as hard */
static int stops;            /* times that "Stop" was said */
static char stop[RECORD_TEXT_SIZE];
static double since_t; /* the advice at hand */

static inline bool is_turn(const struct advice *advice)
{
    return advice->move <= ADVICE_ANTICLOCKWISE;
}

static inline void note(const struct record *made)
{
    static enum advice_move move;
    static enum axis axis;
    const struct advice *advice = &made->advice;

    if (made->kind == RECORD_STEP && made->step.event == STEP_LEAVE && made->step.number == 1) {
        strcpy(result, made->step.result);
    }
    if (made->kind != RECORD_ADVICE) {
        return;
    }
    eased |= is_turn(advice);
    if (advice->move == ADVICE_PUSH) {
        pushes[advice->axis]++;
        harder += strstr(advice->say, "twice as hard") != NULL;
    }
    sent_right += advice->move == ADVICE_CONFIRM && strstr(advice->say, "right edge");
    pulls += advice->move == ADVICE_PULL;
    if (strncmp(advice->say, "Stop", 4) == 0) {
        stops++;
        strcpy(stop, advice->say);
    }
    since_t = advice->move == move && advice->axis == axis ? since_t : made->t;
    move = advice->move;
    axis = advice->axis;
}

static inline void hear(struct record record)
{
    record.t = state.t;
    tell_coach(&coach, &state, &record, note);
}

static inline void say(enum record_step_event event)
{
    hear((struct record){.kind = RECORD_STEP, .step.event = event});
}

static inline void tell_move(enum axis axis, double deg)
{
    struct record record = {.kind = RECORD_MOVE};

    record.move.axis = axis;
    record.move.deg = deg;
    record.move.turns = NAN;
    hear(record);
}

static inline double width_deg(int axis)
{
    return peak_expected_width_deg(&state, (enum axis)axis);
}

/* How far from the top it stands, in widths. */
static inline double off_widths(int axis)
{
    return mount.begun_widths[axis] + mount.turned_widths[axis] +
           (mount.tight ? mount.gives_widths[axis] : 0.0);
}

/* By the hand on its edge, half a second after the word. */
static inline double bent_widths(int axis)
{
    const struct advice *advice = &state.advice;
    double widths = mount.bends_widths * (strstr(advice->say, "twice as hard") ? 2.0 : 1.0);

    if ((int)advice->axis != axis || state.t < since_t + 0.5) {
        return 0.0;
    }
    return advice->move == ADVICE_PUSH ? -widths : advice->move == ADVICE_PULL ? widths : 0.0;
}

/* Turns as far as was said, goes where it is sent, fastens what was eased. */
static inline void obey(void)
{
    const struct advice *advice = &state.advice;

    if (state.t < since_t + 3.0) {
        return;
    }
    if (is_turn(advice)) {
        double deg =
            advice->move == ADVICE_RIGHT || advice->move == ADVICE_UP ? advice->deg : -advice->deg;
        mount.tight = false;
        mount.turned_widths[advice->axis] += deg / width_deg((int)advice->axis);
        told_deg[advice->axis] += deg;
        tell_move(advice->axis, deg);
    } else if (advice->move == ADVICE_CONFIRM) {
        say(STEP_DONE);
    } else if (advice->move == ADVICE_TIGHTEN && coach.tighten.round > 1) {
        mount.tight = true;
        say(STEP_DONE);
    } else {
        return;
    }
    since_t = state.t;
}

static inline double read_level(void)
{
    double level = top_db - (mount.tight ? mount.weaker_db : 0.0);

    for (int i = 0; i < 2; i++) {
        double x = off_widths(i) + bent_widths(i);
        level -= 12.0 * x * x;
    }
    level = fmin(level + chance_normal(&chance, mount.noise_db), mount.most_db);
    return mount.unit == LEVEL_DB ? level : 80.0 + 4.0 * (level - top_db);
}

static inline void tick(void)
{
    struct record level = {.kind = RECORD_LEVEL}, angles = {.kind = RECORD_ANGLES};

    state.t += tick_s;
    if (!mount.silent) {
        level.level.value = read_level();
        level.level.unit = mount.unit;
        strcpy(level.level.meter, "finder");
        hear(level);
    }
    for (int i = 0; i < AXIS_COUNT; i++) {
        angles.angles.deg[i] = NAN;
        if (job.mount.axes[i].from == JOB_FROM_SENSOR) {
            angles.angles.deg[i] =
                (i == 0 ? 160.0 : 35.0) + (mount.tight ? mount.gave_deg[i] : 0.0) +
                mount.sway_deg * sin(rad * 360.0 * state.t / sway_s) + chance_normal(&chance, 0.03);
        }
    }
    hear(angles);
    obey();
}

static inline void run(double seconds)
{
    for (double end = state.t + seconds; state.t < end;) {
        tick();
    }
}

enum sensors { NO_SENSOR, AZIMUTH_SENSOR, BOTH_SENSORS };

static inline void begin(enum sensors sensors)
{
    job_init(&job);
    given_hut(&job);
    given_dish(&job);
    given_job(&job, "meter finder", "unit", "dB");
    given_job(&job, "meter finder", "lag", "0.3");
    if (sensors != NO_SENSOR) {
        given_job(&job, "mount", "azimuth_from", "sensor");
        given_job(&job, "mount", "azimuth_sensor_error", "0.03");
    }
    if (sensors == BOTH_SENSORS) {
        given_job(&job, "mount", "elevation_from", "sensor");
        given_job(&job, "mount", "elevation_sensor_error", "0.03");
    }
    procedure_init(&procedure, "test");
    given_step(&procedure, "step tighten", "do", "tighten");
    given_step(&procedure, "step tighten", "limit", "0.2");
    given_step(&procedure, "step close", "do", "record");
    memset(&mount, 0, sizeof mount);
    mount.noise_db = 0.2;
    mount.bends_widths = 0.15;
    mount.most_db = INFINITY;
    mount.unit = LEVEL_DB;
    chance.state = 5;
    result[0] = stop[0] = '\0';
    eased = false;
    stops = pulls = harder = sent_right = 0;
    since_t = 0.0;
    memset(told_deg, 0, sizeof told_deg);
    memset(pushes, 0, sizeof pushes);
    begin_coach(&coach, &state, &job, &procedure);
}

/* Read before, fasten, say so. */
static inline void fasten(void)
{
    run(20.0);
    mount.tight = true;
    run(4.0);
    say(STEP_DONE);
}

/* Whatever is asked until the step is left. */
static inline void finish(void)
{
    for (double end = state.t + 300.0; result[0] == '\0' && state.t < end;) {
        tick();
    }
}

static inline void fasten_and_finish(void)
{
    fasten();
    finish();
}

static inline bool says(const char *text, const char *what)
{
    return strstr(text, what) != NULL;
}

#endif
