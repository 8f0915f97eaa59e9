#include "coach/sweep.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

/* A carrier stands out of the noise by this much, whatever the meter (common practice, no source).
 */
static const double rise_db = 2.5, rise_percent = 4.0;
static const double drop_share = 0.7;
static const double rise_noises = 5.0;
static const double assumed_noise = 0.3;
/* Of a pass so much is looked at for its centre, in widths to each side of the highest reading. */
static const double fit_widths = 1.1;

double sweep_rise(double noise, enum level_unit unit)
{
    double least = level_unit_is_db(unit) ? rise_db : unit == LEVEL_PERCENT ? rise_percent : 0.0;

    return fmax(least, rise_noises * (isfinite(noise) ? noise : assumed_noise));
}

void sweep_finder_hear(struct sweep_finder *finder, double noise, enum level_unit unit)
{
    /* while the level runs over a lobe it looks noisier than it is: the least counts */
    if (noise > 0.0 && !(finder->prior.noise <= noise)) {
        finder->prior.noise = noise;
    }
    finder->rise = sweep_rise(finder->prior.noise, unit);
    finder->drop = drop_share * finder->rise;
    finder->prior.is_db = level_unit_is_db(unit);
}

void sweep_finder_init(struct sweep_finder *finder, double width_deg, double lag_s, double noise,
                       enum level_unit unit)
{
    *finder =
        (struct sweep_finder){.floor = INFINITY, .lag_s = lag_s, .before = NAN, .first = true};
    finder->prior.width_deg = width_deg;
    finder->prior.width_known = true;
    finder->prior.saturation = NAN;
    finder->prior.noise = NAN;
    sweep_finder_hear(finder, noise, unit);
}

void sweep_finder_turn_round(struct sweep_finder *finder)
{
    finder->count = 0;
    finder->next = 0;
    finder->inside = false;
    finder->before = NAN;
}

void sweep_finder_settle(struct sweep_finder *finder, double turn_t, double thought_x, double now_x,
                         double times)
{
    bool top_too = false;

    for (int i = 0; i < finder->count; i++) {
        struct two_way_reading *reading = &finder->readings[i];
        if (reading->t > turn_t) {
            top_too |= reading->x_deg == finder->top.x;
            reading->x_deg = now_x + (reading->x_deg - thought_x) * times;
        }
    }
    if (finder->inside && top_too) {
        finder->top.x = now_x + (finder->top.x - thought_x) * times;
    }
}

static void note_id(struct sweep_peak *top, const struct record_lock *lock)
{
    if (lock->locked && lock->id[0] != '\0') {
        text_copy(top->id, sizeof top->id, lock->id);
    }
}

static void keep(struct sweep_finder *finder, double t, double x, double level)
{
    finder->readings[finder->next] = (struct two_way_reading){.t = t, .x_deg = x, .level = level};
    finder->next = (finder->next + 1) % SWEEP_READINGS;
    finder->count += finder->count < SWEEP_READINGS;
}

/* The readings about the top and the one before them, oldest first: from the lobe's foot on, where
 * the meter had nothing to lag behind yet. */
static size_t gather(const struct sweep_finder *finder, struct two_way_reading *ret)
{
    size_t n = 0;

    for (int k = 0; k < finder->count; k++) {
        int i = (finder->next + SWEEP_READINGS - finder->count + k) % SWEEP_READINGS;
        bool near =
            fabs(finder->readings[i].x_deg - finder->top.x) <= fit_widths * finder->prior.width_deg;
        if (!near && n > 1) {
            break;
        }
        n = near ? n : 0;
        ret[n++] = finder->readings[i];
    }
    return n;
}

/* The centre from all readings of the pass, where they have one, without what the lag shifts it
 * by. */
static void refine(struct sweep_finder *finder)
{
    struct two_way_reading readings[SWEEP_READINGS];
    struct two_way_prior prior = {
        .lobe = finder->prior, .on_structure = true, .lag_s = finder->lag_s, .fastest_deg_s = NAN};
    struct two_way_fit two;
    size_t n = gather(finder, readings);
    double speed =
        n > 1 && readings[n - 1].t > readings[0].t
            ? (readings[n - 1].x_deg - readings[0].x_deg) / (readings[n - 1].t - readings[0].t)
            : 0.0;

    finder->top.x -= speed * finder->lag_s;
    if (two_way_fit(readings, n, &prior, &two) == 0 &&
        fabs(two.fit.centre_deg - finder->top.x) < 0.5 * finder->prior.width_deg) {
        finder->top.x = two.fit.centre_deg;
        finder->top.width_deg = two.fit.bracket ? NAN : two.fit.width_seen_deg;
        finder->top.level = finder->prior.is_db ? two.fit.peak : finder->top.level;
    }
}

bool sweep_finder_end(struct sweep_finder *finder, struct sweep_peak *ret)
{
    if (!finder->inside || finder->top.level < finder->floor + finder->rise) {
        return false;
    }
    refine(finder);
    *ret = finder->top;
    finder->inside = false;
    return true;
}

bool sweep_finder_push(struct sweep_finder *finder, double t, double x, double elevation,
                       double level, const struct record_lock *lock, struct sweep_peak *ret)
{
    double steady;

    if (!isfinite(level) || !isfinite(x)) {
        return false;
    }
    keep(finder, t, x, level);
    /* the lower of two: a spark does not count, and it hardly lags */
    steady = isfinite(finder->before) ? fmin(level, finder->before) : level;
    finder->before = level;
    level = steady;
    finder->floor = fmin(finder->floor, level);
    if (!finder->inside) {
        if (level < finder->floor + finder->rise && !finder->first) {
            return false;
        }
        finder->inside = true;
        finder->top = (struct sweep_peak){.x = x,
                                          .elevation = elevation,
                                          .level = level,
                                          .half = finder->first,
                                          .width_deg = NAN,
                                          .peaked_elevation = NAN};
    }
    if (level > finder->top.level) {
        finder->top.x = x;
        finder->top.elevation = elevation;
        finder->top.level = level;
        finder->top.half = finder->first && level < finder->floor + finder->rise;
    }
    note_id(&finder->top, lock);
    if (level > finder->top.level - (finder->first ? finder->rise : finder->drop)) {
        return false;
    }
    finder->first = false;
    sweep_finder_end(finder, ret);
    /* the flank that falls off must not be taken for the next carrier: start from here */
    if (level >= finder->floor + finder->rise) {
        finder->floor = level;
    }
    return true;
}

bool sweep_is_passing(const struct sweep *sweep)
{
    return sweep->phase == SWEEP_RUN || (sweep->phase == SWEEP_TO_START && !sweep->fast_start);
}
