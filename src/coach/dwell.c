#include "coach/dwell.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/known.h"
#include "coach/travel.h"

static const double settle_lags = 3.0, brief_lags = 2.0;
static const double assumed_noise = 0.3;
static const double wanted_error = 0.1, brief_error = 0.14;

static double meter_noise(const struct state *state)
{
    return known_or(level_filter_noise(&state->level.filter), assumed_noise);
}

static int needed_readings(const struct state *state, bool brief)
{
    double ratio = meter_noise(state) / (brief ? brief_error : wanted_error);
    double n = ceil(ratio * ratio);

    /* in percent or raw units a noise of many units is no reason to read for minutes */
    return (int)fmin(fmax(n, 3.0), 10.0);
}

void dwell_start(struct dwell *dwell, const struct state *state, enum axis axis, double lag_s,
                 double still_t, double at_least_s, bool brief)
{
    double from_t = fmax(state->t, still_t + (brief ? brief_lags : settle_lags) * lag_s);

    *dwell = (struct dwell){
        .axis = axis,
        .from_t = from_t,
        .until_t = from_t + at_least_s,
        .needed = needed_readings(state, brief),
    };
}

bool dwell_update(struct dwell *dwell, const struct state *state, const struct record *record)
{
    if (state->t < dwell->from_t) {
        return false;
    }
    if (record->kind == RECORD_ANGLES && dwell->axis != AXIS_NONE &&
        isfinite(record->angles.deg[dwell->axis])) {
        dwell->x_sum += travel_position(state, dwell->axis);
        dwell->x_count++;
    }
    if (record->kind == RECORD_LEVEL) {
        if (dwell->count == DWELL_READINGS) {
            memmove(dwell->level, dwell->level + 1, sizeof dwell->level - sizeof *dwell->level);
            dwell->count--;
        }
        dwell->level[dwell->count++] = record->level.value;
    }
    return dwell->count >= dwell->needed && state->t >= dwell->until_t;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

double dwell_level(const struct dwell *dwell)
{
    double sorted[DWELL_READINGS], sum = 0.0;
    int cut = dwell->count / 4;

    if (dwell->count == 0) {
        return NAN;
    }
    memcpy(sorted, dwell->level, (size_t)dwell->count * sizeof *sorted);
    qsort(sorted, (size_t)dwell->count, sizeof *sorted, compare);
    for (int i = cut; i < dwell->count - cut; i++) {
        sum += sorted[i];
    }
    return sum / (dwell->count - 2 * cut);
}

double dwell_level_error(const struct dwell *dwell)
{
    double mean = dwell_level(dwell), sum = 0.0;

    if (dwell->count < 2) {
        return NAN;
    }
    for (int i = 0; i < dwell->count; i++) {
        sum += (dwell->level[i] - mean) * (dwell->level[i] - mean);
    }
    return sqrt(sum / (dwell->count - 1) / dwell->count);
}
