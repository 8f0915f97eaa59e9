#include "view/history.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "sky/angle.h"

/* A new fit comes at most so often, s: a screen that is looked at need not know more often. */
static const double fit_every_s = 0.5;
/* So long after the hand the meter has followed, where its lag is not known, s. */
static const double settle_s = 1.5;
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
    history->lobe.x = history->lobe.stood_x = NAN;
    history->lobe.stood_t = history->t;
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

/* The readings of a hand that stood, oldest first. Returns how many. */
static size_t gather_settled(const struct history *history, struct lobe_reading *ret_readings)
{
    size_t n = 0;

    for (size_t i = 0; i < history->lobe.count; i++) {
        if (history->lobe.settled[i]) {
            ret_readings[n++] = history->lobe.readings[i];
        }
    }
    return n;
}

static void fit(struct history *history, const struct state *state)
{
    struct lobe_prior prior = prior_of(state, history->lobe.axis);
    struct lobe_reading settled[LOBE_READINGS];
    size_t n = gather_settled(history, settled);

    history->lobe.fit_t = history->t;
    if (history->lobe.axis == AXIS_SKEW) {
        return;
    }
    history->lobe.rough = lobe_fit(settled, n, &prior, &history->lobe.fit) < 0;
    history->lobe.fitted =
        !history->lobe.rough ||
        lobe_fit(history->lobe.readings, history->lobe.count, &prior, &history->lobe.fit) == 0;
}

/* Follow the hand: which way it went since it last stood, 0 = it stands. */
static int follow_hand(struct history *history, const struct state *state, double x)
{
    double error = state->job->mount.axes[history->lobe.axis].sensor_error_deg;
    double least = fmax(still_deg, isfinite(error) ? 3.0 * error : 0.0);
    double turn = x - history->lobe.stood_x;

    if (fabs(turn) <= least) {
        return 0;
    }
    history->lobe.stood_x = x;
    history->lobe.stood_t = history->t;
    return isnan(turn) ? 0 : turn > 0.0 ? 1 : -1;
}

static void add_level(struct history *history, const struct state *state)
{
    enum axis axis = history->lobe.axis;
    double x = axis < AXIS_COUNT ? position(state, axis) : NAN;
    const struct job_meter *meter = job_find_meter(state->job, "");
    double settle = meter && isfinite(meter->lag_s) ? fmax(settle_s, 4.0 * meter->lag_s) : settle_s;
    size_t at = history->lobe.next;

    if (!isfinite(x) || !isfinite(state->level.value)) {
        return;
    }
    if (isfinite(history->lobe.x) && axis == AXIS_AZIMUTH) {
        x = history->lobe.x + angle_turn_deg(history->lobe.x, x);
    }
    history->lobe.way[at] = (signed char)follow_hand(history, state, x);
    history->lobe.settled[at] = history->t - history->lobe.stood_t >= settle;
    history->lobe.readings[at] = (struct lobe_reading){.x_deg = x, .level = state->level.value};
    history->lobe.next = (at + 1) % LOBE_READINGS;
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
