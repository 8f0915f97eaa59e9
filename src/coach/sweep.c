#include "coach/sweep.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

/* A carrier stands out of the noise by this much, whatever the meter (common practice, no source).
 */
static const double rise_db = 2.0;
static const double drop_db = 1.5;
static const double rise_noises = 5.0;
static const double assumed_noise = 0.3;

void sweep_finder_init(struct sweep_finder *finder, double noise, bool is_db)
{
    double sd = isfinite(noise) ? noise : assumed_noise;

    *finder = (struct sweep_finder){.floor = INFINITY};
    finder->rise = is_db ? fmax(rise_db, rise_noises * sd) : rise_noises * fmax(sd, 1e-9);
    finder->drop = is_db ? fmax(drop_db, 0.75 * rise_noises * sd) : 0.75 * finder->rise;
}

static void note_id(struct sweep_peak *top, const struct record_lock *lock)
{
    if (lock->locked && lock->id[0] != '\0') {
        text_copy(top->id, sizeof top->id, lock->id);
    }
}

bool sweep_finder_push(struct sweep_finder *finder, double x, double elevation, double level,
                       const struct record_lock *lock, struct sweep_peak *ret)
{
    if (!isfinite(level) || !isfinite(x)) {
        return false;
    }
    finder->floor = fmin(finder->floor, level);
    if (!finder->inside) {
        if (level < finder->floor + finder->rise) {
            return false;
        }
        finder->inside = true;
        finder->top = (struct sweep_peak){.x = x, .elevation = elevation, .level = level};
    }
    if (level > finder->top.level) {
        finder->top.x = x;
        finder->top.elevation = elevation;
        finder->top.level = level;
    }
    note_id(&finder->top, lock);
    if (level > finder->top.level - finder->drop) {
        return false;
    }
    *ret = finder->top;
    finder->inside = false;
    /* the flank that falls off must not be taken for the next carrier: start from here */
    finder->floor = fmin(finder->floor, level);
    if (level >= finder->floor + finder->rise) {
        finder->floor = level;
    }
    return true;
}

int sweep_choose(const struct sweep_peak *peaks, int count, const char *target_id)
{
    int best = -1;

    for (int i = 0; i < count; i++) {
        if (target_id[0] != '\0' && strcmp(peaks[i].id, target_id) == 0) {
            return i;
        }
        if (best < 0 || peaks[i].level > peaks[best].level) {
            best = i;
        }
    }
    return best;
}
