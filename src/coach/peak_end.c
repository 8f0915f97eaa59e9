/* What an axis ends with: remembered, said, and held against the axis before it. */
#include "coach/step_peak.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"

/* Fading and noise alone hardly take this much from one axis to the other. */
static const double most_lost_db = 0.35;
/* Of the level at the top: below it lies the skirt. */
static const double skirt_share = 0.5;

/* What was lost meanwhile on the other axis: somebody or something has moved it. */
static double lost_meanwhile_db(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;
    double lost = peak->before - peak->level;

    return level_unit_is_db(context->state->level.unit) && lost > most_lost_db ? lost : 0.0;
}

/*
 * The other axis was peaked on the skirt of the lobe, where a meter that is not in dB shows it
 * bent, if at all: there this one stood far off.
 */
static bool was_on_skirt(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;

    return !level_unit_is_db(context->state->level.unit) &&
           peak->before < skirt_share * peak->level;
}

static void remember(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct peak *peak = &coach->peak;
    const char *unit = level_unit_symbol(context->state->level.unit, true);

    coach->learned.peak_x[peak->axis] = travel_position(context->state, peak->axis);
    coach->learned.peak_level = peak->level;
    snprintf(context->result, RECORD_TEXT_SIZE, _("%s peaked at %.2f %s"), axis_word(peak->axis),
             peak->level, unit);
    if (isfinite(peak->fit.centre_error_deg)) {
        text_append(context->result, RECORD_TEXT_SIZE, _(", centre sure to %.2f°"),
                    peak->fit.centre_error_deg);
    }
    if (level_unit_is_db(context->state->level.unit) && peak->fit.clipped == 0 &&
        isfinite(peak->loss)) {
        text_append(context->result, RECORD_TEXT_SIZE,
                    !peak->passes         ? _(", %.2f dB lost by standing beside it")
                    : peak->loss < -0.005 ? _(", %.2f dB above the fitted top")
                                          : _(", %.2f dB below the fitted top"),
                    fabs(peak->loss));
    }
    if (lost_meanwhile_db(context) > 0.0) {
        text_append(context->result, RECORD_TEXT_SIZE, _("; %.1f dB lower than before it: again"),
                    lost_meanwhile_db(context));
    }
    if (was_on_skirt(context)) {
        text_append(context->result, RECORD_TEXT_SIZE,
                    _("; the other axis was peaked at a far lower level: again"));
    }
    if (peak->too_fast > 0) {
        text_append(context->result, RECORD_TEXT_SIZE,
                    tongue_say_count("; %d reading was taken too fast and left out",
                                     "; %d readings were taken too fast and left out",
                                     (unsigned long)peak->too_fast),
                    peak->too_fast);
    }
    if (peak->fit.clipped > 0) {
        text_append(context->result, RECORD_TEXT_SIZE, _("; the meter is at its end: attenuate"));
    }
}

enum step_outcome peak_end(const struct step_context *context)
{
    remember(context);
    return lost_meanwhile_db(context) > 0.0 || was_on_skirt(context) ? STEP_SENDS_BACK
                                                                     : STEP_IS_DONE;
}
