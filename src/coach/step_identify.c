/* Is it the target? By what the receiver names, or by the operator's word; never by silence. */
#include "coach/step.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "coach/sentence.h"
#include "sky/angle.h"

static const double assumed_lock_delay_s = 5.0;

static void identify_enter(const struct step_context *context)
{
    context->coach->settled_t = context->state->t;
    context->coach->travel.arrived = true;
    context->coach->travel.axis = AXIS_NONE;
}

static double patience_s(const struct state *state)
{
    const struct job_meter *meter = job_find_meter(state->job, "");

    return 2.0 *
           (meter && isfinite(meter->lock_delay_s) ? meter->lock_delay_s : assumed_lock_delay_s);
}

/* What the receiver said on the way here is of the past: it has to say it standing still. */
static double settle_s(const struct state *state)
{
    const struct job_meter *meter = job_find_meter(state->job, "");
    double delay = meter && isfinite(meter->lock_delay_s) ? meter->lock_delay_s : 2.0;
    double lag = meter && isfinite(meter->lag_s) ? meter->lag_s : 0.8;

    return delay + 3.0 * lag;
}

static const struct job_satellite *find_neighbour(const struct job *job, const char *id)
{
    for (size_t i = 0; i < job->neighbour_count; i++) {
        if (job->neighbours[i].id[0] != '\0' && strcmp(job->neighbours[i].id, id) == 0) {
            return &job->neighbours[i];
        }
    }
    return NULL;
}

/* The receiver names a neighbour: from there the way to the target is known exactly. */
static void go_from_neighbour(const struct step_context *context,
                              const struct job_satellite *neighbour)
{
    const struct state *state = context->state;
    struct look there = look_at_geostationary(&look_earth_wgs84, &state->site, neighbour->lon_deg);
    double azimuth = angle_turn_deg(there.azimuth_deg, state->target.look.azimuth_deg);

    travel_start(&context->coach->travel, state, AXIS_AZIMUTH,
                 travel_position(state, AXIS_AZIMUTH) + azimuth, 0.1);
    snprintf(context->coach->learned.grounds, RECORD_TEXT_SIZE,
             "that was %s; the target is %.1f\u00b0 to the %s of it", neighbour->name,
             fabs(azimuth), azimuth < 0 ? "left" : "right");
}

static bool is_named(const struct state *state)
{
    return isfinite(state->lock_t) && state->lock.locked && state->lock.id[0] != '\0';
}

static enum step_outcome settle(const struct step_context *context, const char *how)
{
    struct coach_learned *learned = &context->coach->learned;
    const struct state *state = context->state;

    learned->sure = true;
    learned->azimuth_bias_deg =
        angle_turn_deg(state->target.deg[AXIS_AZIMUTH], state->measured.deg[AXIS_AZIMUTH]);
    text_copy(learned->grounds, sizeof learned->grounds, how);
    text_copy(context->result, RECORD_TEXT_SIZE, how);
    /* come over from a neighbour: what was peaked was the neighbour */
    return context->coach->travel.axis == AXIS_NONE ? STEP_IS_DONE : STEP_SENDS_BACK;
}

static void ask(const struct step_context *context)
{
    const struct job_satellite *target = &context->state->job->target.satellite;

    sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ANSWER,
                  "Is this %s? Say done if the receiver shows it, back to sweep on.", target->name);
    if (is_named(context->state)) {
        sentence_why(context->advice,
                     "not sure: the receiver names %s, which the job does not know",
                     context->state->lock.id);
    } else if (context->state->lock.locked) {
        sentence_why(context->advice, "not sure: locked, but a neighbour could lock, too, and the "
                                      "receiver names nothing");
    } else {
        sentence_why(context->advice, "not sure: there is a level, but no lock");
    }
}

static enum step_outcome judge(const struct step_context *context)
{
    const struct state *state = context->state;
    const struct job_satellite *target = &state->job->target.satellite;
    const struct job_satellite *neighbour;
    char how[RECORD_TEXT_SIZE];

    if (state->t - context->coach->settled_t < settle_s(state)) {
        sentence_stay(context->advice, ADVICE_HOLD, UNTIL_DWELL,
                      "Hands off, the receiver is looking at the carrier.");
        return STEP_GOES_ON;
    }
    if (is_named(state) && target->id[0] != '\0' && strcmp(state->lock.id, target->id) == 0) {
        snprintf(how, sizeof how, "it is %s: the receiver names %s", target->name, target->id);
        return settle(context, how);
    }
    neighbour = is_named(state) ? find_neighbour(state->job, state->lock.id) : NULL;
    if (neighbour) {
        go_from_neighbour(context, neighbour);
        return STEP_GOES_ON;
    }
    if (state->t - context->coach->settled_t < patience_s(state)) {
        sentence_stay(context->advice, ADVICE_HOLD, UNTIL_DWELL,
                      "Hands off, the receiver is looking at the carrier.");
        return STEP_GOES_ON;
    }
    ask(context);
    return STEP_GOES_ON;
}

static enum step_outcome identify_update(const struct step_context *context)
{
    struct travel *travel = &context->coach->travel;
    enum step_outcome outcome = STEP_GOES_ON;

    if (step_answered(context)) {
        return settle(context, "the operator says that the receiver shows the target");
    }
    if (travel->axis == AXIS_NONE || travel->arrived) {
        outcome = judge(context);
    } else if (travel_update(travel, context->state, context->record)) {
        context->coach->settled_t = context->state->t;
        context->coach->learned.grounds[0] = '\0';
    }
    if (outcome == STEP_GOES_ON && travel->axis != AXIS_NONE && !travel->arrived) {
        travel_advise(travel, context->state, "", context->advice);
        sentence_why(context->advice, "%s", context->coach->learned.grounds);
    } else if (outcome == STEP_GOES_ON && context->advice->say[0] == '\0') {
        sentence_stay(context->advice, ADVICE_HOLD, UNTIL_DWELL,
                      "Hands off, the receiver is looking at the carrier.");
    }
    return outcome;
}

const struct step_ops step_identify = {.enter = identify_enter, .update = identify_update};
