#include "coach/step.h"

#include <math.h>

#include "base/known.h"
#include "base/tongue.h"
#include "coach/sentence.h"

static const double usual_width_deg = 2.0;

bool step_heard(const struct step_context *context, enum record_step_event event)
{
    return context->record->kind == RECORD_STEP && context->record->step.event == event;
}

bool step_answered(const struct step_context *context)
{
    return step_heard(context, STEP_DONE);
}

size_t step_last(const struct coach *coach, enum procedure_do act)
{
    for (size_t i = coach->at; i-- > 0;) {
        if (coach->procedure->steps[i].act == act) {
            return i;
        }
    }
    return coach->at;
}

double step_target_x(const struct step_context *context, enum axis axis)
{
    const struct state *state = context->state;
    double bias = context->coach->learned.azimuth_bias_deg;
    bool trusted = axis == AXIS_AZIMUTH && isfinite(bias) &&
                   state->job->mount.axes[axis].from == JOB_FROM_SENSOR;

    return travel_from_angle(state, axis, state->target.deg[axis]) + (trusted ? bias : 0.0);
}

double step_width_deg(const struct step_context *context, enum axis axis)
{
    return known_or(peak_expected_width_deg(context->state, axis), usual_width_deg);
}

double step_end_level(const struct step_context *context)
{
    double noise = level_filter_noise(&context->state->level.filter);

    /* near its end the half of the noise that lies above it is missing */
    return coach_saturation(context->coach, context->state) - known_or(noise, 0.0);
}

void step_read(const struct step_context *context, enum axis axis, double at_least_s)
{
    dwell_start(&context->coach->dwell, context->state, axis,
                coach_lag_s(context->coach, context->state), context->coach->still_t, at_least_s,
                false);
}

void step_read_briefly(const struct step_context *context, enum axis axis)
{
    dwell_start(&context->coach->dwell, context->state, axis,
                coach_lag_s(context->coach, context->state), context->coach->still_t, 0.0, true);
}

static bool is_unread(const struct state *state, enum axis axis)
{
    return state->job->mount.axes[axis].from == JOB_FROM_SCALE &&
           !isfinite(state->measured.deg[axis]);
}

/* Where turns were counted before a scale is read, they would count from another place after. */
bool step_asks_scale(const struct step_context *context)
{
    enum procedure_do act = context->step->act;
    enum axis axis = act == DO_SWEEP && !is_unread(context->state, AXIS_AZIMUTH)
                         ? AXIS_ELEVATION
                         : context->step->axis;

    if ((act != DO_SWEEP && act != DO_PEAK) || axis == AXIS_SKEW ||
        !is_unread(context->state, axis)) {
        return false;
    }
    context->advice->axis = axis;
    sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ARRIVED,
                  _("Leave the %s as it is, and say what its scale shows: %s."), axis_word(axis),
                  axis == AXIS_AZIMUTH ? _("az and the number") : _("el and the number"));
    sentence_why(context->advice, _("turns are counted from there"));
    return true;
}

bool step_can_search(const struct coach *coach)
{
    return step_last(coach, DO_SWEEP) < coach->at;
}

enum step_outcome step_search_on(const struct step_context *context)
{
    struct arc *arc = &context->coach->arc;

    arc_refuse(arc, travel_position(context->state, AXIS_AZIMUTH));
    arc->resume = arc->begun;
    return STEP_SEARCHES;
}

double step_hidden_by_deg(const struct state *state)
{
    struct skyline skyline = job_skyline(state->job);
    double top = skyline_elevation_deg(&skyline, state->target.deg[AXIS_AZIMUTH]);

    return top > state->target.deg[AXIS_ELEVATION] ? top : NAN;
}

void step_say_causes(const struct step_context *context)
{
    double top = step_hidden_by_deg(context->state);

    if (isfinite(top)) {
        sentence_why(context->advice,
                     _("look at the path first: by the job's skyline it is blocked, up to %.0f° of "
                       "elevation; then at the elevation, the polarisation, cable and power, the "
                       "frequency"),
                     top);
        return;
    }
    sentence_why(context->advice, "%s",
                 context->coach->arc.top_count > 0
                     ? _("other carriers came in, so cable and power are good: check azimuth and "
                         "elevation, then the polarisation, what stands in the way, the frequency; "
                         "what lies beyond was not searched")
                     : _("check in this order: the elevation, the polarisation, what stands in the "
                         "way, cable and power, the frequency; what lies beyond was not searched"));
}
