/* The steps that wait for a person or a source: confirm, fix, set, measure, record. */
#include "coach/step.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"
#include "sky/angle.h"

static const double measured_old_s = 5.0;
static const double set_still_s = 1.0;
static const double default_measure_s = 10.0;

/* --- confirm -------------------------------------------------------------------------------- */

static enum step_outcome confirm_update(const struct step_context *context)
{
    if (step_answered(context)) {
        text_copy(context->result, RECORD_TEXT_SIZE, _("confirmed"));
        return STEP_IS_DONE;
    }
    sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ANSWER, "%s", _(context->step->text));
    return STEP_GOES_ON;
}

const struct step_ops step_confirm = {.update = confirm_update};

/* --- fix ------------------------------------------------------------------------------------ */

static void advise_hidden(const struct step_context *context)
{
    double below = -context->state->target.deg[AXIS_ELEVATION];

    sentence_stay(context->advice, ADVICE_HOLD, UNTIL_ANSWER,
                  _("%s is %.1f° below the horizon here: it can't be reached from this site."),
                  job_target_name(context->state->job), below);
    sentence_why(context->advice, _("check the target's longitude and the site's position"));
}

/* Why an azimuth by the compass is to be doubted here; false = it is not. */
static bool doubt_compass(const struct state *state, char *text, size_t size)
{
    const struct magnetic_field *field = &state->field;

    if (!state->field_known) {
        return false;
    }
    if (field->weak) {
        text_append(text, size, "%s",
                    field->blackout
                        ? _("no compass is of use here, the earth's field is too steep: take the "
                            "bearing from a map, the sun or a GNSS compass")
                        : _("a compass is not to be trusted here, the earth's field is too steep: "
                            "take the bearing from a map, the sun or a GNSS compass"));
    } else if (!field->in_date) {
        text_append(text, size,
                    _("the magnetic model %s is out of date (%.1f to %.1f): the declination may be "
                      "off, check the clock"),
                    state->magnetic->name, state->magnetic->valid_from, state->magnetic->valid_to);
    }
    return field->weak || !field->in_date;
}

static enum step_outcome fix_update(const struct step_context *context)
{
    const struct state *state = context->state;
    char place[RECORD_TEXT_SIZE], doubt[RECORD_TEXT_SIZE] = "";

    if (!state->target.known) {
        sentence_stay(context->advice, ADVICE_WAIT, UNTIL_SOURCE, "%s",
                      isfinite(state->fix_t)
                          ? _("The receiver has no position yet; give it open sky.")
                          : _("Waiting for a position from the receiver."));
        return STEP_GOES_ON;
    }
    if (state->target.deg[AXIS_ELEVATION] < 0.0) {
        advise_hidden(context);
        return STEP_GOES_ON;
    }
    snprintf(place, sizeof place, _("%s stands at azimuth %.2f°, elevation %.2f° from %.4f, %.4f"),
             job_target_name(state->job), state->target.deg[AXIS_AZIMUTH],
             state->target.deg[AXIS_ELEVATION], state->site.lat_deg, state->site.lon_deg);
    if (isfinite(step_hidden_by_deg(state))) {
        text_append(context->result, RECORD_TEXT_SIZE,
                    _("%s; but by the job's skyline it is hidden there, up to %.1f°"), place,
                    step_hidden_by_deg(state));
    } else if (doubt_compass(state, doubt, sizeof doubt)) {
        text_append(context->result, RECORD_TEXT_SIZE, _("%s; but %s"), place, doubt);
    } else {
        text_copy(context->result, RECORD_TEXT_SIZE, place);
    }
    return STEP_IS_DONE;
}

const struct step_ops step_fix = {.update = fix_update};

/* --- set ------------------------------------------------------------------------------------ */

static double set_tolerance(const struct step_context *context)
{
    static const double usual[AXIS_COUNT] = {
        [AXIS_AZIMUTH] = 1.0, [AXIS_ELEVATION] = 0.3, [AXIS_SKEW] = 0.6};

    return isfinite(context->step->tolerance_deg) ? context->step->tolerance_deg
                                                  : usual[context->step->axis];
}

static void set_enter(const struct step_context *context)
{
    enum axis axis = context->step->axis;

    travel_start(&context->coach->travel, context->state, axis, step_target_x(context, axis),
                 set_tolerance(context));
    travel_hold_if_near(&context->coach->travel, context->state);
    by_scale_start(&context->coach->by_scale, axis, context->state->target.deg[axis]);
    context->coach->settled_t = NAN;
}

static enum step_outcome set_is_done(const struct step_context *context)
{
    enum axis axis = context->step->axis;
    const struct state *state = context->state;
    double here = by_scale_position(&context->coach->by_scale, state, axis);
    bool counted = state->job->mount.axes[axis].from == JOB_FROM_NUDGES, by_word = false;

    if (counted || !isfinite(here)) {
        by_word = !(state->measured.t[axis] >= state->step_t); /* nothing was read in this step */
        here = by_word ? state->target.deg[axis] : state_stands_deg(state, axis);
        context->coach->arc.begun = false; /* turns are counted from here now */
    }
    snprintf(context->result, RECORD_TEXT_SIZE,
             by_word ? _("%s set to %.2f° by the operator's word") : _("%s set to %.2f°"),
             axis_word(axis), axis == AXIS_AZIMUTH ? angle_wrap_deg(here) : here);
    return STEP_IS_DONE;
}

static void say_why_so_set(const struct step_context *context)
{
    enum axis axis = context->step->axis;
    double target = context->state->target.deg[axis];
    char doubt[RECORD_TEXT_SIZE] = "";

    if (axis == AXIS_AZIMUTH && context->state->field_known) {
        sentence_why(context->advice, _("azimuth %.1f° true, %.1f° by a compass"), target,
                     target - context->state->field.declination_deg);
    } else {
        sentence_why(context->advice, _("%s %.2f° true"), axis_word(axis),
                     sentence_number(target, 2));
    }
    if (axis == AXIS_AZIMUTH && doubt_compass(context->state, doubt, sizeof doubt)) {
        text_append(context->advice->why, sizeof context->advice->why, "; %s", doubt);
    }
}

/* No angle to compare with: say what the scale or a level must show, and take the word for it. */
static void advise_by_word(const struct step_context *context, const char *word)
{
    enum axis axis = context->step->axis;
    const struct job_axis *mount = &context->state->job->mount.axes[axis];
    double target = context->state->target.deg[axis];

    context->advice->axis = axis;
    sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ANSWER,
                  _("Set the %s to %.1f° on the scale, then say %s."), axis_word(axis),
                  sentence_number(job_scale_from_true(mount, target), 1), word);
    say_why_so_set(context);
}

/* By a scale alone. */
static enum step_outcome set_by_scale(const struct step_context *context)
{
    struct by_scale *set = &context->coach->by_scale;

    if (by_scale_update(set, context->state, context->record)) {
        return set_is_done(context);
    }
    by_scale_advise(set, context->state, context->advice);
    say_why_so_set(context);
    return STEP_GOES_ON;
}

static enum step_outcome set_update(const struct step_context *context)
{
    enum axis axis = context->step->axis;
    const struct state *state = context->state;
    const struct job_axis *mount = &state->job->mount.axes[axis];
    bool known = isfinite(state->measured.deg[axis]);
    char doubt[RECORD_TEXT_SIZE] = "";

    if (!isfinite(state->target.deg[axis])) {
        text_copy(context->result, RECORD_TEXT_SIZE, _("nothing to set: circular polarisation"));
        return STEP_IS_DONE;
    }
    if (by_scale_applies(state, axis)) {
        return set_by_scale(context);
    }
    if (step_answered(context)) {
        return set_is_done(context);
    }
    if (mount->from == JOB_FROM_NUDGES) {
        advise_by_word(context, "done");
        return STEP_GOES_ON;
    }
    if (!known && mount->from == JOB_FROM_SCALE) {
        advise_by_word(context, axis == AXIS_AZIMUTH     ? _("az and the number")
                                : axis == AXIS_ELEVATION ? _("el and the number")
                                                         : _("skew and the number"));
        return STEP_GOES_ON;
    }
    if (!known || state->t - state->measured.t[axis] > measured_old_s + set_still_s) {
        if (mount->from == JOB_FROM_SENSOR) {
            context->advice->axis = axis;
            sentence_stay(
                context->advice, ADVICE_WAIT, UNTIL_SOURCE,
                _("No reading of the %s; check its sensor, or set it to %.1f° and say done."),
                axis_word(axis), sentence_number(state->target.deg[axis], 1));
            return STEP_GOES_ON;
        }
    }
    if (travel_update(&context->coach->travel, state, context->record)) {
        return set_is_done(context);
    }
    travel_advise(&context->coach->travel, state, _("%s."), context->advice);
    if (axis == AXIS_AZIMUTH && doubt_compass(state, doubt, sizeof doubt)) {
        sentence_why(context->advice, "%s", doubt);
    }
    return STEP_GOES_ON;
}

const struct step_ops step_set = {.enter = set_enter, .update = set_update};

/* --- measure -------------------------------------------------------------------------------- */

static void measure_enter(const struct step_context *context)
{
    double seconds = context->step->dwell_s;

    /* first everybody stands clear */
    dwell_start(&context->coach->dwell, context->state, AXIS_NONE,
                coach_lag_s(context->coach, context->state), context->state->t,
                isfinite(seconds) ? seconds : default_measure_s, false);
}

static void say_measured(const struct step_context *context)
{
    const struct dwell *dwell = &context->coach->dwell;
    const char *unit = level_unit_symbol(context->state->level.unit, true);
    char *result = context->result;

    if (isfinite(dwell_level_error(dwell))) {
        snprintf(result, RECORD_TEXT_SIZE, _("level %.2f %s, sure to %.2f"), dwell_level(dwell),
                 unit, dwell_level_error(dwell));
    } else {
        snprintf(result, RECORD_TEXT_SIZE, _("level %.2f %s"), dwell_level(dwell), unit);
    }
    if (level_unit_is_db(context->state->level.unit) &&
        context->state->level.best > dwell_level(dwell)) {
        text_append(result, RECORD_TEXT_SIZE, _("; best so far %.2f %s"),
                    context->state->level.best, unit);
    }
}

static enum step_outcome measure_update(const struct step_context *context)
{
    if (dwell_update(&context->coach->dwell, context->state, context->record)) {
        say_measured(context);
        return STEP_IS_DONE;
    }
    sentence_stay(context->advice, ADVICE_HOLD, UNTIL_DWELL,
                  _("Hands off and stand clear, measuring the level."));
    return STEP_GOES_ON;
}

const struct step_ops step_measure = {.enter = measure_enter, .update = measure_update};

/* --- record --------------------------------------------------------------------------------- */

/* The last word on identity is what the receiver says now, not what it said before the peaking. */
static enum step_outcome record_update(const struct step_context *context)
{
    struct coach_learned *learned = &context->coach->learned;
    const struct state *state = context->state;
    const struct job_satellite *target = &state->job->target.satellite;
    const char *named = state_carrier(state);

    if (named[0] != '\0' && job_target_has_id(state->job) && !job_names(target, named)) {
        learned->sure = false;
        snprintf(learned->grounds, sizeof learned->grounds,
                 _("NOT the target: the receiver now names %s instead of %s"), named, target->id);
    }
    text_copy(context->result, RECORD_TEXT_SIZE,
              learned->grounds[0] != '\0' ? learned->grounds : _("closed"));
    return STEP_IS_DONE;
}

const struct step_ops step_record = {.update = record_update};
