#include "view/readout.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

static const double old_after_s = 3.0;
static const double at_best = 0.1;

/* Near enough to say "there": half of what rough pointing is good for. */
static const double there_deg[AXIS_COUNT] = {0.05, 0.05, 0.5};

const char *readout_arrow(enum advice_move move)
{
    static const char *const arrows[ADVICE_MOVE_COUNT] = {
        [ADVICE_LEFT] = "\u25c0",      [ADVICE_RIGHT] = "\u25b6",         [ADVICE_UP] = "\u25b2",
        [ADVICE_DOWN] = "\u25bc",      [ADVICE_CLOCKWISE] = "\u21bb",     [ADVICE_ANTICLOCKWISE] = "\u21ba",
    };

    return arrows[move] ? arrows[move] : "";
}

static void append_degrees(char *text, size_t size, double deg)
{
    text_append(text, size, deg < 9.995 ? "%.2f\u00b0" : "%.1f\u00b0", deg);
}

void readout_move(const struct advice *advice, char text[READOUT_SIZE])
{
    text[0] = '\0';
    if (advice->say[0] == '\0') {
        return; /* no advice yet */
    }
    text_append(text, READOUT_SIZE, "%s", advice_move_name(advice->move));
    for (char *p = text; *p; p++) {
        *p = (char)toupper((unsigned char)*p);
    }
    if (isfinite(advice->deg)) {
        text_append(text, READOUT_SIZE, " ");
        append_degrees(text, READOUT_SIZE, advice->deg);
    }
}

void readout_turns(double turns, char text[READOUT_SIZE])
{
    static const char *const parts[8] = {"", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"};
    long eighths = lround(fabs(turns) * 8.0);

    text[0] = '\0';
    if (!isfinite(turns)) {
        return;
    }
    if (eighths == 0) {
        text_append(text, READOUT_SIZE, "under 1/8 turn");
    } else if (eighths < 8) {
        text_append(text, READOUT_SIZE, "%s turn", parts[eighths]);
    } else if (eighths % 8 == 0) {
        text_append(text, READOUT_SIZE, "%ld turn%s", eighths / 8, eighths == 8 ? "" : "s");
    } else {
        text_append(text, READOUT_SIZE, "%ld %s turns", eighths / 8, parts[eighths % 8]);
    }
}

static void number(char *text, size_t size, double value)
{
    snprintf(text, size, isfinite(value) ? "%.2f\u00b0" : "-", value);
}

void readout_axis(const struct face_scene *scene, enum axis axis, struct readout_axis *ret)
{
    const struct state *state = scene->state;
    double to_go = state_to_go_deg(state, axis), age = scene->t - state->measured.t[axis];
    const struct job_axis *mount = &state->job->mount.axes[axis];
    char turns[READOUT_SIZE];

    *ret = (struct readout_axis){.way = ADVICE_HOLD, .known = isfinite(to_go)};
    number(ret->target, sizeof ret->target, state->target.deg[axis]);
    number(ret->measured, sizeof ret->measured, state->measured.deg[axis]);
    if (mount->scale_zero_deg != 0.0 || mount->scale_sense != 1) {
        number(ret->scale, sizeof ret->scale, job_scale_from_true(mount, state->target.deg[axis]));
    }
    ret->old = isfinite(age) && age > old_after_s && mount->from == JOB_FROM_SENSOR;
    if (ret->old) {
        text_append(ret->measured, sizeof ret->measured, " %.0f s old", age);
    }
    if (!ret->known) {
        text_copy(ret->to_go, sizeof ret->to_go, "-");
        return;
    }
    if (fabs(to_go) <= there_deg[axis]) {
        text_copy(ret->to_go, sizeof ret->to_go, "there");
        return;
    }
    ret->way = advice_move_toward(axis, to_go);
    text_append(ret->to_go, sizeof ret->to_go, "%s ", advice_move_name(ret->way));
    append_degrees(ret->to_go, sizeof ret->to_go, fabs(to_go));
    readout_turns(to_go / mount->turn_deg, turns);
    if (turns[0] != '\0') {
        text_append(ret->to_go, sizeof ret->to_go, ", %s", turns);
    }
}

void readout_level(const struct state *state, double value, char text[READOUT_SIZE])
{
    text_copy(text, READOUT_SIZE, "-");
    if (state->level.known && isfinite(value)) {
        snprintf(text, READOUT_SIZE, "%.2f %s", value,
                 level_unit_symbol(state->level.unit, true));
    }
}

void readout_below(const struct state *state, char text[READOUT_SIZE])
{
    double below = state->level.best - state->level.filter.level;

    text[0] = '\0';
    if (!state->level.known || !isfinite(below)) {
        return;
    }
    if (below <= at_best) {
        text_copy(text, READOUT_SIZE, "at best");
    } else {
        text_append(text, READOUT_SIZE, "%.2f %s below best", below,
                    level_unit_symbol(state->level.unit, true));
    }
}

void readout_lock(const struct state *state, char text[READOUT_SIZE])
{
    text[0] = '\0';
    if (!isfinite(state->lock_t)) {
        text_append(text, READOUT_SIZE, "lock not known");
    } else if (!state->lock.locked) {
        text_append(text, READOUT_SIZE, "no lock");
    } else {
        text_append(text, READOUT_SIZE, "locked%s%s", state->lock.id[0] ? " on " : "",
                    state->lock.id);
    }
}

void readout_source(const struct state_source *source, double t, char text[READOUT_SIZE])
{
    text[0] = '\0';
    if (source->status == SOURCE_UP) {
        text_append(text, READOUT_SIZE, "%s up", source->name);
        if (isfinite(source->last_t) && t - source->last_t > old_after_s) {
            text_append(text, READOUT_SIZE, ", %.0f s old", t - source->last_t);
        }
    } else {
        text_append(text, READOUT_SIZE, "%s %s %.0f s", source->name,
                    source->status == SOURCE_DOWN ? "DOWN" : "SILENT", fmax(t - source->t, 0.0));
    }
    if (source->bad > 0) {
        text_append(text, READOUT_SIZE, ", %u refused", source->bad);
    }
    if (source->status != SOURCE_UP && source->why[0] != '\0') {
        text_append(text, READOUT_SIZE, ": %s", source->why);
    }
}

void readout_fix(const struct state *state, double t, char text[READOUT_SIZE])
{
    text[0] = '\0';
    if (state->site_from == SITE_JOB) {
        text_append(text, READOUT_SIZE, "position from the job");
    }
    if (isfinite(state->fix_t)) {
        text_append(text, READOUT_SIZE, "%sfix %s", text[0] ? "; " : "",
                    state->fix.mode >= 3   ? "3D"
                    : state->fix.mode == 2 ? "2D"
                                           : "none");
        if (state->fix.satellites >= 0) {
            text_append(text, READOUT_SIZE, ", %d satellites", state->fix.satellites);
        }
        if (isfinite(state->fix.error_m)) {
            text_append(text, READOUT_SIZE, ", %.0f m", state->fix.error_m);
        }
        if (t - state->fix_t > old_after_s) {
            text_append(text, READOUT_SIZE, ", %.0f s old", t - state->fix_t);
        }
    } else if (state->site_from == SITE_NONE) {
        text_append(text, READOUT_SIZE, "no position yet");
    }
}

void readout_time(double t, char text[READOUT_SIZE])
{
    long s = (long)fmax(t, 0.0);

    if (s >= 3600) {
        snprintf(text, READOUT_SIZE, "%ld:%02ld:%02ld", s / 3600, s / 60 % 60, s % 60);
    } else {
        snprintf(text, READOUT_SIZE, "%ld:%02ld", s / 60, s % 60);
    }
}
