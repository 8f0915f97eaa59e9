#include "view/history.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "sky/angle.h"

/* A new fit comes at most so often, s: a screen that is looked at need not know more often. */
static const double fit_every_s = 0.5;
/* Readings are counted over so long, s. */
static const double count_s = 5.0;
/* Less than this between two readings is no turn, deg. */
static const double still_deg = 0.01;
/* Where the beam is not known. */
static const double guessed_width_deg = 3.0;

void history_init(struct history *history)
{
    *history = (struct history){.t = -INFINITY};
    history->lobe.axis = AXIS_NONE;
    history->lobe.x = NAN;
    history->counted_t = NAN;
    for (int i = 0; i < STATE_SOURCES; i++) {
        history->sources[i].rate = NAN;
    }
}

/* How often each source speaks. */
static void count_readings(struct history *history, const struct state *state)
{
    double seconds = history->t - history->counted_t;

    if (seconds < count_s) {
        return;
    }
    for (size_t i = 0; i < state->source_count; i++) {
        if (isfinite(seconds)) {
            history->sources[i].rate =
                (double)(state->sources[i].count - history->sources[i].count) / seconds;
        }
        history->sources[i].count = state->sources[i].count;
    }
    history->counted_t = history->t;
}

/* Angle of an axis as far as it is known: read, and nudged since; nudges alone count from 0. */
static double position(const struct state *state, enum axis axis)
{
    double deg = state->measured.deg[axis], nudged = state->measured.nudged_deg[axis];

    if (isfinite(deg)) {
        return deg + nudged;
    }
    return state->job->mount.axes[axis].from == JOB_FROM_NUDGES ? nudged : NAN;
}

static void start_lobe(struct history *history, enum axis axis)
{
    history->lobe.axis = axis;
    history->lobe.over = false;
    history->lobe.next = history->lobe.count = 0;
    history->lobe.x = NAN;
    history->lobe.fit_t = -INFINITY;
    history->lobe.fitted = false;
}

static struct lobe_prior prior_of(const struct state *state, enum axis axis)
{
    const struct job_meter *meter = job_find_meter(state->job, "");
    struct lobe_prior prior = {.width_deg = guessed_width_deg,
                               .noise = meter ? meter->noise : NAN,
                               .is_db = level_unit_is_db(state->level.unit),
                               .saturation = meter ? meter->maximum : NAN};
    double width = NAN;
    struct beam beam;

    if (axis != AXIS_SKEW && job_beam(state->job, state->target.deg[AXIS_SKEW], &beam)) {
        width = axis == AXIS_AZIMUTH
                    ? beam_azimuth_width_deg(&beam, state->target.deg[AXIS_ELEVATION])
                    : beam_elevation_width_deg(&beam);
    }
    if (width > 0.0) {
        prior.width_deg = width;
        prior.width_known = true;
    }
    return prior;
}

static void fit(struct history *history, const struct state *state)
{
    struct lobe_prior prior = prior_of(state, history->lobe.axis);

    history->lobe.fit_t = history->t;
    history->lobe.fitted =
        history->lobe.axis != AXIS_SKEW &&
        lobe_fit(history->lobe.readings, history->lobe.count, &prior, &history->lobe.fit) == 0;
}

static void add_level(struct history *history, const struct state *state)
{
    enum axis axis = history->lobe.axis;
    double x = axis < AXIS_COUNT ? position(state, axis) : NAN, turn = NAN;

    if (!isfinite(x) || !isfinite(state->level.filter.level)) {
        return;
    }
    if (isfinite(history->lobe.x)) {
        turn = axis == AXIS_AZIMUTH ? angle_turn_deg(history->lobe.x, x) : x - history->lobe.x;
        x = history->lobe.x + turn;
    }
    history->lobe.readings[history->lobe.next] =
        (struct lobe_reading){.x_deg = x, .level = state->level.filter.level};
    history->lobe.way[history->lobe.next] = (signed char)(turn > still_deg    ? 1
                                                          : turn < -still_deg ? -1
                                                                              : 0);
    history->lobe.next = (history->lobe.next + 1) % LOBE_READINGS;
    history->lobe.count += history->lobe.count < LOBE_READINGS;
    history->lobe.x = x;
    if (history->t - history->lobe.fit_t >= fit_every_s) {
        fit(history, state);
    }
}

static void add_lock(struct history *history, const struct state *state,
                     const struct record_lock *lock)
{
    double azimuth = position(state, AXIS_AZIMUTH), level = state->level.filter.level;
    size_t i = 0;

    if (!lock->locked || lock->id[0] == '\0' || !isfinite(azimuth) || !isfinite(level)) {
        return;
    }
    while (i < history->named_count && strcmp(history->named[i].id, lock->id) != 0) {
        i++;
    }
    if (i == HISTORY_NAMED) {
        return;
    }
    if (i == history->named_count) {
        history->named_count++;
        text_copy(history->named[i].id, RECORD_NAME_SIZE, lock->id);
        history->named[i].level = -INFINITY;
    }
    if (level > history->named[i].level) {
        history->named[i].level = level;
        history->named[i].azimuth_deg = azimuth;
    }
}

static void add_step(struct history *history, const struct record *record)
{
    if (history->step_count == HISTORY_STEPS) {
        memmove(history->steps, history->steps + 1, sizeof history->steps - sizeof *history->steps);
        history->step_count--;
    }
    history->steps[history->step_count].t = record->t;
    history->steps[history->step_count++].number = record->step.number;
}

void history_add(struct history *history, const struct state *state, const struct record *record)
{
    if (record->t < history->t) {
        history_init(history);
    }
    history->t = record->t;
    count_readings(history, state);
    switch (record->kind) {
    case RECORD_STEP:
        if (record->step.event == STEP_ENTER) {
            add_step(history, record);
            history->lobe.over = true;
        }
        break;
    case RECORD_ADVICE:
        if (record->advice.axis < AXIS_COUNT &&
            (history->lobe.over || record->advice.axis != history->lobe.axis)) {
            start_lobe(history, record->advice.axis);
        }
        break;
    case RECORD_LEVEL:
        add_level(history, state);
        if (isfinite(state->lock_t)) {
            add_lock(history, state, &state->lock);
        }
        break;
    default:
        break;
    }
}

struct lobe_reading history_reading(const struct history *history, size_t i, int *ret_way)
{
    size_t oldest = history->lobe.next + LOBE_READINGS - history->lobe.count;
    size_t at = (oldest + i) % LOBE_READINGS;

    *ret_way = history->lobe.way[at];
    return history->lobe.readings[at];
}
