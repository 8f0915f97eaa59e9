#include "peaking/rock.h"

#include <math.h>

/* The grid: as fine as what readings tell, as wide as an antenna may stand off. */
enum { OFFS = 45, GIVES = 9, TOPS = 25 };
static const double most_off = 0.45, most_spread = 2.0;    /* widths; sd */
static const double tops_from_db = -0.5, tops_to_db = 1.5; /* from the highest level read */
static const double lobe_db = 12.0;
/* No reading speaks against anything more than so: fading has its moments. */
static const double least_likely = 1e-9;

/* The step of n from low to high. */
static double grid(int step, int n, double low, double high)
{
    return low + (high - low) * step / (n - 1);
}

static double normal(double x, double sd)
{
    return exp(-0.5 * (x / sd) * (x / sd)) / sd;
}

/* Of a reading, if the antenna stood so far off, a part of it by the hand. */
static double likelihood(const struct rock_reading *reading, const struct rock_prior *prior,
                         double top, double off, double by_hand)
{
    double at = off + by_hand, level = top - lobe_db * at * at;
    double force_db = 2.0 * lobe_db * at * by_hand * prior->force_share;
    double sd = hypot(reading->error_db, force_db);

    return reading->level_db >= prior->saturation_db
               ? 0.5 * erfc((prior->saturation_db - level) / (sd * sqrt(2.0)))
               : normal(reading->level_db - level, sd);
}

static double likelihood_of_all(const struct rock_reading *readings, size_t count,
                                const struct rock_prior *prior, double top, double off, double give)
{
    double product = 1.0;

    for (size_t i = 0; i < count; i++) {
        double by_hand = readings[i].way * give;
        double right = likelihood(&readings[i], prior, top, off, by_hand);
        double slipped =
            readings[i].way == 0 ? right : likelihood(&readings[i], prior, top, off, -by_hand);
        product *= fmax((1.0 - prior->slip) * right + prior->slip * slipped, least_likely);
    }
    return product;
}

struct bend {
    double give, weight; /* widths; as likely beforehand, to any scale */
};

/* The last of them: nothing bends, whatever the readings are called. */
static void list_gives(const struct rock_prior *prior, struct bend gives[GIVES + 1])
{
    double sum = 0.0;

    for (int g = 0; g < GIVES; g++) {
        double spread = grid(g, GIVES, -most_spread, most_spread);
        gives[g].give = prior->give_widths * exp(spread * prior->give_spread);
        gives[g].weight = normal(spread, 1.0);
        sum += gives[g].weight;
    }
    gives[GIVES] = (struct bend){0.0, sum * prior->stiff / (1.0 - prior->stiff)};
}

void rock_fit(const struct rock_reading *readings, size_t count, const struct rock_prior *prior,
              struct rock_fit *ret)
{
    double highest = -INFINITY, sum = 0.0, offs = 0.0, squares = 0.0, gives = 0.0;
    struct bend bends[GIVES + 1];

    list_gives(prior, bends);
    for (size_t i = 0; i < count; i++) {
        highest = fmax(highest, readings[i].level_db);
    }
    for (int o = 0; o < OFFS; o++) {
        double off = grid(o, OFFS, -most_off, most_off);
        for (int g = 0; g <= GIVES; g++) {
            double weight = 0.0;
            for (int t = 0; t < TOPS; t++) {
                double top = highest + grid(t, TOPS, tops_from_db, tops_to_db);
                weight += likelihood_of_all(readings, count, prior, top, off, bends[g].give);
            }
            weight *= normal(off, prior->off_widths) * bends[g].weight;
            sum += weight;
            offs += weight * off;
            squares += weight * off * off;
            gives += weight * bends[g].give;
        }
    }
    ret->off_widths = offs / sum;
    ret->off_error = sqrt(fmax(squares / sum - ret->off_widths * ret->off_widths, 0.0));
    ret->give_widths = gives / sum;
}
