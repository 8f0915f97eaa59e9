#include "view/history.h"

#include <math.h>
#include <string.h>

#include "coach/travel.h"

/* Readings are counted over so long, s. */
static const double count_s = 5.0;
/* Less than this between two readings is no turn, deg. */
static const double still_deg = 0.01;

void history_init(struct history *history)
{
    *history = (struct history){.t = -INFINITY};
    history->lobe.axis = AXIS_NONE;
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

static void start_lobe(struct history *history, const struct state *state, enum axis axis)
{
    history->lobe.axis = axis;
    history->lobe.step = isfinite(state->step_t) ? state->step.number : 0;
    history->lobe.over = false;
    history->lobe.next = history->lobe.count = 0;
    history->lobe.stood_x = NAN;
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
    return isnan(turn) ? 0 : turn > 0.0 ? 1 : -1;
}

const struct history_level *history_level(const struct history *history, size_t i)
{
    size_t oldest = history->level_next + HISTORY_LEVELS - history->level_count;

    return &history->levels[(oldest + i) % HISTORY_LEVELS];
}

/* The newest of a second takes the place of those before it in that second. */
static void keep_level(struct history *history, const struct state *state)
{
    size_t count = history->level_count;

    if (count > 0 && floor(history_level(history, count - 1)->t) == floor(state->level.t)) {
        history->level_next = (history->level_next + HISTORY_LEVELS - 1) % HISTORY_LEVELS;
        history->level_count--;
    }
    history->levels[history->level_next] =
        (struct history_level){.t = state->level.t, .filtered = state->level.filter.level};
    history->level_next = (history->level_next + 1) % HISTORY_LEVELS;
    history->level_count += history->level_count < HISTORY_LEVELS;
}

static void add_level(struct history *history, const struct state *state)
{
    enum axis axis = history->lobe.axis;
    double x = axis < AXIS_COUNT ? travel_position(state, axis) : NAN;
    size_t at = history->lobe.next;

    /* bent by a hand it is not where its angle says */
    if (!isfinite(x) || !isfinite(state->level.value) || state->t < state->level.free_t) {
        return;
    }
    history->lobe.way[at] = (signed char)follow_hand(history, state, x);
    history->lobe.readings[at] = (struct lobe_reading){.x_deg = x, .level = state->level.value};
    history->lobe.next = (at + 1) % LOBE_READINGS;
    history->lobe.count += history->lobe.count < LOBE_READINGS;
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
        if (record->advice.axis < AXIS_COUNT && !advice_bends(record->advice.move) &&
            (history->lobe.over || record->advice.axis != history->lobe.axis)) {
            start_lobe(history, state, record->advice.axis);
        }
        break;
    case RECORD_LEVEL:
        keep_level(history, state);
        add_level(history, state);
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
