#include "peaking/verdict.h"

#include <math.h>
#include <stdbool.h>

/* Inside, side lobes are told apart by whose they are: a name is the same on both lobes. */
enum cause { TARGET_MAIN, TARGET_SIDE, OTHER_MAIN, OTHER_SIDE, NOTHING, CAUSES };

static const enum verdict_kind kind_of[CAUSES] = {
    VERDICT_TARGET, VERDICT_SIDE_LOBE, VERDICT_NEIGHBOUR, VERDICT_SIDE_LOBE, VERDICT_NOISE};

static const double before[CAUSES] = {0.35, 0.10, 0.35, 0.10, 0.10};

/* Side lobes: 0.43 to 0.56 as wide, 13 to 25 dB down, 1.58 to 1.62 widths off. */
static const double side_width = 0.5, side_width_sd = 0.08;
/* A main lobe is as wide as expected, a little wider over a floor. */
static const double main_width = 1.05, main_width_sd = 0.12;
static const double odd_width_density = 0.3;
static const double usual_level_error_db = 2.0;
static const double side_level_db = -18.0, side_level_sd_db = 4.5;
/* Other satellites' carriers may have any strength. */
static const double other_level_sd_db = 7.0;
static const double odd_level_density = 0.01;
/* The highest of many looks at noise stands about 3 sd out; a carrier anywhere. */
static const double noise_height = 3.0, noise_height_sd = 1.0, any_height_density = 0.01;
static const double companion_near = 1.3, companion_far = 1.95;
static const double companion_least_db = 10.0, companion_most_db = 28.0, companion_equal_db = 4.0;
static const double companion_side = 40.0, companion_main = 20.0;
static const double wrong_name = 1e-4;
static const double arc_never = 1e-4;

static const double locks[CAUSES] = {0.95, 0.40, 0.60, 0.30, 0.01};
static const double locks_not[CAUSES] = {0.05, 0.60, 0.40, 0.70, 0.99};

static double normal(double off, double sd)
{
    double z = off / sd;

    return 0.3989422804 / sd * exp(-0.5 * z * z);
}

static void by_width(const struct verdict_evidence *e, double *likes)
{
    double error = isfinite(e->width_error) ? e->width_error : 0.1;
    /* no likelihood vanishes entirely: lobes can be odder than any model */
    double main = normal(e->width_ratio - main_width, hypot(main_width_sd, error)) + 1e-4;
    double side = normal(e->width_ratio - side_width, hypot(side_width_sd, error)) + 1e-4;

    if (!isfinite(e->width_ratio)) {
        return;
    }
    likes[TARGET_MAIN] = likes[OTHER_MAIN] = main;
    likes[TARGET_SIDE] = likes[OTHER_SIDE] = side;
    likes[NOTHING] = odd_width_density;
}

static void by_level(const struct verdict_evidence *e, double *likes)
{
    double error = isfinite(e->level_error_db) ? e->level_error_db : usual_level_error_db;

    if (!isfinite(e->level_db)) {
        return;
    }
    likes[TARGET_MAIN] = normal(e->level_db, error) + 1e-5;
    likes[TARGET_SIDE] = normal(e->level_db - side_level_db, hypot(side_level_sd_db, error)) + 1e-5;
    likes[OTHER_MAIN] = normal(e->level_db, hypot(other_level_sd_db, error)) + 1e-5;
    likes[OTHER_SIDE] = normal(e->level_db - side_level_db,
                               hypot(hypot(other_level_sd_db, side_level_sd_db), error)) +
                        1e-5;
    likes[NOTHING] = odd_level_density;
}

static void by_height(const struct verdict_evidence *e, double *likes)
{
    if (!isfinite(e->height_sd)) {
        return;
    }
    for (int i = 0; i < NOTHING; i++) {
        likes[i] = any_height_density;
    }
    likes[NOTHING] = normal(e->height_sd - noise_height, noise_height_sd) + 1e-5;
}

static bool is_beside(const struct verdict_companion *c)
{
    return fabs(c->offset_widths) >= companion_near && fabs(c->offset_widths) <= companion_far;
}

/*
 * A much stronger top one and a half widths away: this is its side lobe. Two much weaker ones,
 * alike, to both sides: this is the main one between its side lobes.
 */
static void by_companions(const struct verdict_evidence *e, double *likes)
{
    double below[2] = {NAN, NAN};
    bool under_another = false;

    for (int i = 0; i < e->companion_count && i < VERDICT_COMPANIONS; i++) {
        const struct verdict_companion *c = &e->companions[i];
        double size = fabs(c->level_db);
        if (!is_beside(c) || !(size >= companion_least_db) || size > companion_most_db) {
            continue;
        }
        under_another = under_another || c->level_db > 0.0;
        if (c->level_db < 0.0) {
            below[c->offset_widths > 0.0] = c->level_db;
        }
    }
    if (under_another) {
        likes[TARGET_SIDE] = likes[OTHER_SIDE] = companion_side;
    }
    if (fabs(below[0] - below[1]) <= companion_equal_db) {
        likes[TARGET_MAIN] = likes[OTHER_MAIN] = companion_main;
    }
}

static void by_lock(const struct verdict_evidence *e, double *likes)
{
    for (int i = 0; i < CAUSES && e->lock != LOCK_UNKNOWN; i++) {
        likes[i] = e->lock == LOCK_YES ? locks[i] : locks_not[i];
    }
}

static void by_name(const struct verdict_evidence *e, double *likes)
{
    if (e->name == NAME_NONE) {
        return;
    }
    likes[TARGET_MAIN] = likes[TARGET_SIDE] = e->name == NAME_TARGET ? 1.0 : wrong_name;
    likes[OTHER_MAIN] = likes[OTHER_SIDE] = e->name == NAME_TARGET ? wrong_name : 1.0;
    likes[NOTHING] = wrong_name;
}

/* The place speaks of main lobes: a side lobe lies beside. */
static void by_arc(const struct verdict_evidence *e, double *likes)
{
    double p = fmin(fmax(e->arc_probability, arc_never), 1.0 - arc_never);

    if (!isfinite(e->arc_probability)) {
        return;
    }
    likes[TARGET_MAIN] = 2.0 * p;
    likes[OTHER_MAIN] = 2.0 * (1.0 - p);
    likes[TARGET_SIDE] = likes[OTHER_SIDE] = likes[NOTHING] = 1.0 - p;
}

/* The likeliest cause, leaving out those of a kind. */
static int likeliest(const double *weights, enum verdict_kind but)
{
    int best = -1;

    for (int i = 0; i < CAUSES; i++) {
        if (kind_of[i] != but && (best < 0 || weights[i] > weights[best])) {
            best = i;
        }
    }
    return best;
}

struct verdict verdict_of(const struct verdict_evidence *evidence)
{
    static void (*const judges[GROUND_COUNT])(const struct verdict_evidence *, double *) = {
        [GROUND_WIDTH] = by_width,   [GROUND_LEVEL] = by_level,
        [GROUND_HEIGHT] = by_height, [GROUND_COMPANIONS] = by_companions,
        [GROUND_LOCK] = by_lock,     [GROUND_NAME] = by_name,
        [GROUND_ARC] = by_arc,
    };
    double likes[GROUND_COUNT][CAUSES], weights[CAUSES], sum = 0.0;
    struct verdict verdict = {.kind = VERDICT_UNSURE};
    int first, second;

    for (int i = 0; i < CAUSES; i++) {
        weights[i] = before[i];
    }
    for (int g = 0; g < GROUND_COUNT; g++) {
        for (int i = 0; i < CAUSES; i++) {
            likes[g][i] = 1.0;
        }
        judges[g](evidence, likes[g]);
        for (int i = 0; i < CAUSES; i++) {
            weights[i] *= likes[g][i];
        }
    }
    for (int i = 0; i < CAUSES; i++) {
        sum += weights[i];
    }
    for (int i = 0; i < CAUSES; i++) {
        verdict.probability[kind_of[i]] += weights[i] / sum;
    }
    for (int k = 1; k < VERDICT_KINDS; k++) {
        if (verdict.probability[k] > verdict.probability[verdict.nearest]) {
            verdict.nearest = (enum verdict_kind)k;
        }
    }
    second = likeliest(weights, verdict.nearest);
    first = verdict.nearest == VERDICT_SIDE_LOBE
                ? (weights[TARGET_SIDE] > weights[OTHER_SIDE] ? TARGET_SIDE : OTHER_SIDE)
                : likeliest(weights, VERDICT_UNSURE);
    for (int g = 0; g < GROUND_COUNT; g++) {
        verdict.grounds[g] = log10(likes[g][first] / likes[g][second]);
    }
    if (verdict.probability[verdict.nearest] >= evidence->sure) {
        verdict.kind = verdict.nearest;
    }
    return verdict;
}

struct verdict_evidence verdict_no_evidence(void)
{
    return (struct verdict_evidence){
        .width_ratio = NAN,
        .width_error = NAN,
        .level_db = NAN,
        .level_error_db = NAN,
        .height_sd = NAN,
        .arc_probability = NAN,
        .sure = 0.98,
    };
}
