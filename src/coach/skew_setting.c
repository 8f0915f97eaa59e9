#include "coach/skew_setting.h"

#include <math.h>

#include "radio/isolation.h"

/* How much a level fades from one station to the next, common practice, no source: a difference
 * that the noise would make as well is no fading. */
static const double usual_fade_db = 0.1;
/* How well a meter's level tells what the other port's would be there; common practice, no source.
 */
static const double ports_apart_db = 2.0;
/* In any other unit: over the noise by so much, or so. */
static const double usual_level_db = 12.0, usual_level_sd_db = 4.0;
static const double least_level_db = 4.0;
/* What an angle set by sensor or scale is right to, common practice, no source. */
static const double set_error_deg = 0.7;
/* Two angles further apart than this many of their errors are not of one thing. */
static const double agree_errors = 3.0;

void skew_setting_take(struct skew_setting *skew, double x, const struct dwell *dwell)
{
    struct skew_place *place = &skew->places[skew->place_count++];

    *place = (struct skew_place){
        .x = x,
        .wanted = skew->by_null ? dwell_level(&skew->wanted) : NAN,
        .wanted_count = skew->wanted.count,
        .first = skew->count,
        .count = dwell->count,
    };
    for (int i = 0; i < dwell->count; i++) {
        skew->readings[skew->count++] =
            (struct skew_reading){.skew_deg = x, .level = dwell->level[i]};
    }
}

/* The wave's own strength at a place: the wanted level there, the loss by its skew made up. */
static double strength_db(const struct skew_setting *skew, const struct skew_place *place)
{
    return place->wanted + isolation_copolar_loss_db(place->x - skew->middle_x);
}

static double fade_db(const struct skew_setting *skew, int at, double noise)
{
    const struct skew_place *place = &skew->places[at];
    double mean = 0.0, error = noise / sqrt(fmax(place->wanted_count, 1.0));
    double trust = usual_fade_db * usual_fade_db / (usual_fade_db * usual_fade_db + error * error);
    double fade;

    for (int i = 0; i < skew->place_count; i++) {
        mean += strength_db(skew, &skew->places[i]) / skew->place_count;
    }
    fade = trust * (strength_db(skew, place) - mean);
    return isfinite(fade) ? fade : 0.0;
}

/* Sd of one reading about the mean of its place; NaN = every place has one reading. */
static double spread_at_places(const struct skew_setting *skew)
{
    double squares = 0.0;

    for (int at = 0; at < skew->place_count; at++) {
        const struct skew_reading *readings = &skew->readings[skew->places[at].first];
        int n = skew->places[at].count;
        double mean = 0.0;
        for (int i = 0; i < n; i++) {
            mean += readings[i].level / n;
        }
        for (int i = 0; i < n; i++) {
            squares += (readings[i].level - mean) * (readings[i].level - mean);
        }
    }
    return skew->count > skew->place_count ? sqrt(squares / (skew->count - skew->place_count))
                                           : NAN;
}

/* What leaks into the other port is noise, mostly: as far down as the wanted level is up. */
static void know_depth(const struct state *state, struct skew_prior *prior)
{
    prior->depth_db = usual_level_db;
    prior->depth_sd_db = usual_level_sd_db;
    if (state->level.unit == LEVEL_DB && isfinite(state->level.filter.level)) {
        prior->depth_db = fmax(state->level.filter.level, least_level_db);
        prior->depth_sd_db = ports_apart_db;
    }
}

int skew_setting_fit(const struct skew_setting *skew, const struct state *state,
                     struct skew_fit *ret)
{
    const struct level_filter *filter = &state->level.filter;
    struct skew_reading readings[SKEW_ROUNDS * SKEW_STATIONS * DWELL_READINGS];
    struct skew_prior prior = {
        /* a level at the meter's end shows no noise */
        .noise = fmax(level_filter_noise(filter), spread_at_places(skew)),
        .is_db = level_unit_is_db(state->level.unit),
        .saturation = filter->maximum,
        .depth_db = NAN,
    };

    if (!skew->by_null) {
        return skew_fit_copolar(skew->readings, (size_t)skew->count, &prior, ret);
    }
    know_depth(state, &prior);
    for (int at = 0; at < skew->place_count; at++) {
        const struct skew_place *place = &skew->places[at];
        double fade = prior.is_db ? fade_db(skew, at, prior.noise) : 0.0;
        for (int i = place->first; i < place->first + place->count; i++) {
            readings[i] = skew->readings[i];
            readings[i].fade_db = fade;
        }
    }
    return skew_fit_null(readings, (size_t)skew->count, &prior, ret);
}

void skew_setting_weigh(struct skew_setting *skew, double set_x)
{
    double found = skew->error_deg * skew->error_deg, set = set_error_deg * set_error_deg;

    if (isfinite(set_x) && isfinite(found) &&
        fabs(set_x - skew->middle_x) <= agree_errors * sqrt(found + set)) {
        skew->middle_x = (skew->middle_x * set + set_x * found) / (set + found);
        skew->error_deg = sqrt(set * found / (set + found));
    }
}
