#include "radio/modcods.h"

#include <math.h>
#include <strings.h>

/* clang-format off */
const struct modcod modcods[MODCODS_COUNT] = {
    {"QPSK 1/4", 0.490243, -2.35, false},
    {"QPSK 1/3", 0.656448, -1.24, false},
    {"QPSK 2/5", 0.789412, -0.30, false},
    {"QPSK 1/2", 0.988858, 1.00, false},
    {"QPSK 3/5", 1.188304, 2.23, false},
    {"QPSK 2/3", 1.322253, 3.10, false},
    {"QPSK 3/4", 1.487473, 4.03, false},
    {"QPSK 4/5", 1.587196, 4.68, false},
    {"QPSK 5/6", 1.654663, 5.18, false},
    {"QPSK 8/9", 1.766451, 6.20, false},
    {"QPSK 9/10", 1.788612, 6.42, false},
    {"8PSK 3/5", 1.779991, 5.50, false},
    {"8PSK 2/3", 1.980636, 6.62, false},
    {"8PSK 3/4", 2.228124, 7.91, false},
    {"8PSK 5/6", 2.478562, 9.35, false},
    {"8PSK 8/9", 2.646012, 10.69, false},
    {"8PSK 9/10", 2.679207, 10.98, false},
    {"16APSK 2/3", 2.637201, 8.97, false},
    {"16APSK 3/4", 2.966728, 10.21, false},
    {"16APSK 4/5", 3.165623, 11.03, false},
    {"16APSK 5/6", 3.300184, 11.61, false},
    {"16APSK 8/9", 3.523143, 12.89, false},
    {"16APSK 9/10", 3.567342, 13.13, false},
    {"32APSK 3/4", 3.703295, 12.73, false},
    {"32APSK 4/5", 3.951571, 13.64, false},
    {"32APSK 5/6", 4.119540, 14.28, false},
    {"32APSK 8/9", 4.397854, 15.69, false},
    {"32APSK 9/10", 4.453027, 16.05, false},
    {"QPSK 2/9", 0.434841, -2.85, true},
    {"QPSK 13/45", 0.567805, -2.03, true},
    {"QPSK 9/20", 0.889135, 0.22, true},
    {"QPSK 11/20", 1.088581, 1.45, true},
    {"8APSK 5/9-L", 1.647211, 4.73, true},
    {"8APSK 26/45-L", 1.713601, 5.13, true},
    {"8PSK 23/36", 1.896173, 6.12, true},
    {"8PSK 25/36", 2.062148, 7.02, true},
    {"8PSK 13/18", 2.145136, 7.49, true},
    {"16APSK 1/2-L", 1.972253, 5.97, true},
    {"16APSK 8/15-L", 2.104850, 6.55, true},
    {"16APSK 5/9-L", 2.193247, 6.84, true},
    {"16APSK 26/45", 2.281645, 7.51, true},
    {"16APSK 3/5", 2.370043, 7.80, true},
    {"16APSK 3/5-L", 2.370043, 7.41, true},
    {"16APSK 28/45", 2.458441, 8.10, true},
    {"16APSK 23/36", 2.524739, 8.38, true},
    {"16APSK 2/3-L", 2.635236, 8.43, true},
    {"16APSK 25/36", 2.745734, 9.27, true},
    {"16APSK 13/18", 2.856231, 9.71, true},
    {"16APSK 7/9", 3.077225, 10.65, true},
    {"16APSK 77/90", 3.386618, 11.99, true},
    {"32APSK 2/3-L", 3.291954, 11.10, true},
    {"32APSK 32/45", 3.510192, 11.75, true},
    {"32APSK 11/15", 3.620536, 12.17, true},
    {"32APSK 7/9", 3.841226, 13.05, true},
    {"64APSK 32/45-L", 4.206428, 13.98, true},
    {"64APSK 11/15", 4.338659, 14.81, true},
    {"64APSK 7/9", 4.603122, 15.47, true},
    {"64APSK 4/5", 4.735354, 15.87, true},
    {"64APSK 5/6", 4.936639, 16.55, true},
    {"128APSK 3/4", 5.163248, 17.73, true},
    {"128APSK 7/9", 5.355556, 18.53, true},
    {"256APSK 29/45-L", 5.065690, 16.98, true},
    {"256APSK 2/3-L", 5.241514, 17.24, true},
    {"256APSK 31/45-L", 5.417338, 18.10, true},
    {"256APSK 32/45", 5.593162, 18.59, true},
    {"256APSK 11/15-L", 5.768987, 18.84, true},
    {"256APSK 3/4", 5.900855, 19.57, true},
};
/* clang-format on */

/* More bits, or the same with less signal. */
static bool is_better(const struct modcod *one, const struct modcod *other)
{
    return !other || one->bits_per_symbol > other->bits_per_symbol ||
           (one->bits_per_symbol == other->bits_per_symbol &&
            one->threshold_db < other->threshold_db);
}

/* The best of those whose threshold is not above (or, strictly, below) a limit. */
static const struct modcod *best_within(enum modcods_standard standard, double limit_db,
                                        bool strictly)
{
    const struct modcod *best = NULL;

    for (const struct modcod *m = modcods; m < modcods + MODCODS_COUNT; m++) {
        bool holds = strictly ? m->threshold_db < limit_db : m->threshold_db <= limit_db;
        if (holds && (standard == MODCODS_S2X || !m->s2x) && is_better(m, best)) {
            best = m;
        }
    }
    return best;
}

/* The one that carries more and lacks the least. */
static const struct modcod *next_above(enum modcods_standard standard, const struct modcod *best)
{
    const struct modcod *above = NULL;

    for (const struct modcod *m = modcods; m < modcods + MODCODS_COUNT; m++) {
        bool more = !best || m->bits_per_symbol > best->bits_per_symbol;
        if (more && (standard == MODCODS_S2X || !m->s2x) &&
            (!above || m->threshold_db < above->threshold_db)) {
            above = m;
        }
    }
    return above;
}

struct modcods_choice modcods_choose(enum modcods_standard standard, double esn0_db,
                                     double margin_db)
{
    struct modcods_choice choice = {.spare_db = NAN, .missing_db = NAN};

    choice.best = best_within(standard, esn0_db - margin_db, false);
    choice.above = next_above(standard, choice.best);
    if (choice.best) {
        choice.spare_db = esn0_db - margin_db - choice.best->threshold_db;
        choice.below = best_within(standard, choice.best->threshold_db, true);
    }
    if (choice.above) {
        choice.missing_db = choice.above->threshold_db - (esn0_db - margin_db);
    }
    return choice;
}

double modcods_tenth_bits(enum modcods_standard standard, double esn0_db, double margin_db)
{
    const struct modcod *now = modcods_choose(standard, esn0_db, margin_db).best;
    const struct modcod *then = modcods_choose(standard, esn0_db - 1.0, margin_db).best;

    return now ? (now->bits_per_symbol - (then ? then->bits_per_symbol : 0.0)) / 10.0 : NAN;
}

const struct modcod *modcods_find(const char *name)
{
    for (const struct modcod *m = modcods; m < modcods + MODCODS_COUNT; m++) {
        if (strcasecmp(m->name, name) == 0) {
            return m;
        }
    }
    return NULL;
}

double modcods_rate_mbps(const struct modcod *modcod, double symbol_rate_mbd)
{
    return modcod->bits_per_symbol * symbol_rate_mbd;
}
