/* There is no lobe here: what was read rises nowhere. */
#include "coach/step_peak.h"

#include <math.h>
#include <stdio.h>

#include "base/tongue.h"
#include "coach/sentence.h"

/* A lobe falls by 12 (x / width)^2 dB, so readings over a span of s widths differ by 3 s^2 at the
 * least; half of that is none. A span less than this says nothing. */
static const double least_share = 0.5, least_span = 0.6, least_fall_db = 3.0;

/* In other units than dB: over such a span a carrier rises by as much as a search goes by. */
static const double least_rough_span = 0.9;

struct range {
    double low, high;
};

static void widen(struct range *range, double value)
{
    range->low = fmin(range->low, value);
    range->high = fmax(range->high, value);
}

static double rise_of_carrier(const struct step_context *context)
{
    return sweep_rise(level_filter_noise(&context->state->level.filter),
                      context->state->level.unit);
}

static bool is_flat_over_passes(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;
    struct range level = {INFINITY, -INFINITY};

    for (int i = 0; i < peak->count; i++) {
        widen(&level, peak->pass[i].level);
    }
    return level.high - level.low < rise_of_carrier(context);
}

static bool is_flat_over_stations(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;
    struct range level = {INFINITY, -INFINITY}, place = {INFINITY, -INFINITY};
    double at = 0.0, span;

    for (int i = 0; i < peak->walk.count; i++) {
        at += peak->walk.stop[i].told_deg;
        if (isfinite(peak->walk.stop[i].level)) {
            widen(&level, peak->walk.stop[i].level);
            widen(&place, at);
        }
    }
    span = (place.high - place.low) / peak->width_deg;
    if (!level_unit_is_db(context->state->level.unit)) {
        return span > least_rough_span && level.high - level.low < rise_of_carrier(context);
    }
    return span > least_span && level.high - level.low < least_share * least_fall_db * span * span;
}

bool peak_is_flat(const struct step_context *context)
{
    const struct state *state = context->state;

    if (state->level.filter.level >= coach_saturation(context->coach, state)) {
        return false;
    }
    return context->coach->peak.passes ? is_flat_over_passes(context)
                                       : is_flat_over_stations(context);
}

void peak_lose(const struct step_context *context)
{
    struct coach *coach = context->coach;

    coach->peak.phase = PEAK_LOST;
    coach->peak.level = context->state->level.filter.level;
    coach->lost += !step_can_search(coach); /* else the search counts */
}

static void advise(const struct step_context *context)
{
    const struct coach *coach = context->coach;
    const char *unit = level_unit_symbol(context->state->level.unit, true);

    sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ANSWER,
                  coach->lost <= 1
                      ? _("No carrier here: the level stays at %.1f %s wherever the %s is turned. "
                          "Say repeat to look once more, or quit and point anew with a procedure "
                          "that searches.")
                      : _("Again no carrier here: the level stays at %.1f %s wherever the %s is "
                          "turned. Say quit and point anew with a procedure that searches; the log "
                          "is kept."),
                  coach->peak.level, unit, axis_word(coach->peak.axis));
    step_say_causes(context);
}

enum step_outcome peak_leave(const struct step_context *context)
{
    if (step_can_search(context->coach)) {
        snprintf(context->result, RECORD_TEXT_SIZE,
                 _("no carrier: the level does not change with the %s"),
                 axis_word(context->coach->peak.axis));
        return step_search_on(context);
    }
    advise(context);
    return STEP_GOES_ON;
}
