#include "coach/step.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "coach/sentence.h"
#include "sky/angle.h"

/* A loss of this size is to be noticed while a bolt is turned (docs/peaking.md). */
static const double noticed_db = 0.5;
static const double assumed_noise = 0.3;
static const double default_limit_db = 0.2;
static const double reference_s = 5.0;

static double limit_db(const struct step_context *context)
{
    return isfinite(context->step->limit_db) ? context->step->limit_db : default_limit_db;
}

static void tighten_enter(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;

    *tighten = (struct tighten){.phase = TIGHTEN_REFERENCE, .reference = NAN};
    memcpy(tighten->angle, context->state->measured.deg, sizeof tighten->angle);
    dwell_start(&context->coach->dwell, context->state, AXIS_NONE, reference_s);
}

static void begin_watch(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    double noise = level_filter_noise(&context->state->level.filter);

    tighten->phase = TIGHTEN_WATCH;
    tighten->reference = dwell_level(&context->coach->dwell);
    change_init(&tighten->change, tighten->reference, isfinite(noise) ? noise : assumed_noise,
                noticed_db, level_filter_period_s(&context->state->level.filter));
}

/* "; it went right 0.2 deg": the sensor that moved most since the reference. */
static void append_drift(const struct step_context *context, char *text, size_t size)
{
    const struct state *state = context->state;
    double most = 0.0;
    enum axis axis = AXIS_NONE;

    for (int i = 0; i < AXIS_SKEW; i++) {
        double before = context->coach->tighten.angle[i], error;
        double moved = i == AXIS_AZIMUTH ? angle_turn_deg(before, state->measured.deg[i])
                                         : state->measured.deg[i] - before;
        if (state->job->mount.axes[i].from != JOB_FROM_SENSOR || !isfinite(moved)) {
            continue;
        }
        error = state->job->mount.axes[i].sensor_error_deg;
        if (fabs(moved) > fabs(most) && fabs(moved) > 2.0 * (isfinite(error) ? error : 0.05)) {
            most = moved;
            axis = (enum axis)i;
        }
    }
    if (axis != AXIS_NONE) {
        text_append(text, size, " It went %s ", axis_way(axis, most));
        sentence_append_degrees(text, size, most);
        text_append(text, size, ": ease that bolt and press it %s while you tighten.",
                    axis_way(axis, -most));
    }
}

static void advise_watch(const struct step_context *context)
{
    const struct tighten *tighten = &context->coach->tighten;
    struct advice *advice = context->advice;
    const char *unit = level_unit_symbol(context->state->level.unit, true);
    double loss = tighten->reference - context->state->level.filter.level;

    if (tighten->falling) {
        sentence_stay(advice, ADVICE_TIGHTEN, UNTIL_ANSWER, "Stop: the level has fallen.");
        append_drift(context, advice->say, sizeof advice->say);
        sentence_why(advice, "%.1f %s below the level before this bolt", fmax(loss, 0.0), unit);
        return;
    }
    sentence_stay(advice, ADVICE_TIGHTEN, UNTIL_ANSWER,
                  "Tighten the bolts crosswise, a little at a time; say done when all are tight.");
    sentence_why(advice, "the level must come back to %.1f %s", tighten->reference, unit);
}

static enum step_outcome judge(const struct step_context *context)
{
    const struct tighten *tighten = &context->coach->tighten;
    const char *unit = level_unit_symbol(context->state->level.unit, true);
    double level = dwell_level(&context->coach->dwell);
    double error = dwell_level_error(&context->coach->dwell);
    double before = fmax(tighten->reference, context->coach->learned.peak_level);
    double loss = (isfinite(before) ? before : tighten->reference) - level;
    double allowed = limit_db(context) + 2.0 * (isfinite(error) ? error : 0.0);

    if (level_unit_is_db(context->state->level.unit) && loss > allowed) {
        snprintf(context->result, RECORD_TEXT_SIZE,
                 "tightened, but %.2f %s below the peak: peaking again", loss, unit);
        append_drift(context, context->result, RECORD_TEXT_SIZE);
        return STEP_SENDS_BACK;
    }
    snprintf(context->result, RECORD_TEXT_SIZE, "tight at %.2f %s, %.2f below the best reading",
             level, unit, fmax(loss, 0.0));
    return STEP_IS_DONE;
}

static enum step_outcome tighten_update(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct tighten *tighten = &coach->tighten;
    bool read = false;

    if (tighten->phase == TIGHTEN_WATCH) {
        if (step_answered(context)) {
            tighten->phase = TIGHTEN_CHECK;
            dwell_start(&coach->dwell, context->state, AXIS_NONE, reference_s);
        } else if (context->record->kind == RECORD_LEVEL) {
            /* once rung it rings until the fall is over: no flicker */
            bool rings = change_push(&tighten->change, context->record->level.value);
            tighten->falling = rings || (tighten->falling && tighten->change.sum > 0.0);
        }
    } else {
        read = dwell_update(&coach->dwell, context->state, context->record);
    }
    if (read && tighten->phase == TIGHTEN_CHECK) {
        return judge(context);
    }
    if (read) {
        begin_watch(context);
    }
    if (tighten->phase == TIGHTEN_WATCH) {
        advise_watch(context);
    } else {
        sentence_stay(context->advice, ADVICE_HOLD, UNTIL_DWELL, "Hands off, reading the level.");
        sentence_why(context->advice, "%s",
                     tighten->phase == TIGHTEN_CHECK ? "comparing with the level before the bolts"
                                                     : "the level to come back to");
    }
    return STEP_GOES_ON;
}

const struct step_ops step_tighten = {.enter = tighten_enter, .update = tighten_update};
