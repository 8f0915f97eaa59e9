/*
 * Is it the target? By what the receiver names, by the place on the arc and what else is known, or
 * by the operator's word; never by silence. What is not the target is remembered, and the search
 * goes on from there.
 */
#include "coach/step.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/identity.h"
#include "coach/sentence.h"
#include "sky/angle.h"

static const double assumed_lock_delay_s = 5.0;
/* The arc speaks for another place, or for one not met yet, by so much: look there. */
static const double other_place = 0.9;
enum { MOST_SEARCHES = 5 }; /* on the arc's word alone */

/* --- where in the procedure ------------------------------------------------------------------- */

static bool is_last(const struct step_context *context)
{
    const struct procedure *procedure = context->coach->procedure;

    for (size_t i = context->coach->at + 1; i < procedure->step_count; i++) {
        if (procedure->steps[i].act == DO_IDENTIFY) {
            return false;
        }
    }
    return true;
}

/* Both axes were peaked since the sweep. */
static bool is_peaked(const struct step_context *context)
{
    const struct procedure *procedure = context->coach->procedure;
    bool peaked[AXIS_COUNT] = {false};

    for (size_t i = context->coach->at; i-- > 0 && procedure->steps[i].act != DO_SWEEP;) {
        if (procedure->steps[i].act == DO_PEAK && procedure->steps[i].axis != AXIS_NONE) {
            peaked[procedure->steps[i].axis] = true;
        }
    }
    return peaked[AXIS_AZIMUTH] && peaked[AXIS_ELEVATION];
}

/* --- where the antenna stands ----------------------------------------------------------------- */

/* The place is a top like those of the sweep, and known better once it was peaked. */
static void note_place(const struct step_context *context)
{
    struct arc *arc = &context->coach->arc;
    const struct state *state = context->state;
    double x = travel_position(state, AXIS_AZIMUTH);
    double elevation = travel_position(state, AXIS_ELEVATION);

    if (!arc->begun || !isfinite(x)) {
        return;
    }
    if (arc->chosen < 0) {
        struct sweep_peak top = {.x = x,
                                 .elevation = elevation,
                                 .level = state->level.filter.level,
                                 .width_deg = NAN,
                                 .peaked_elevation = NAN};
        arc->chosen = arc_add(arc, state, &top);
    }
    if (arc->chosen >= 0 && is_peaked(context)) {
        arc->tops[arc->chosen].x = x;
        arc->tops[arc->chosen].peaked_elevation = elevation;
    }
    arc_compare(arc, state);
}

static void identify_enter(const struct step_context *context)
{
    context->coach->settled_t = context->coach->still_t;
    context->coach->learned.sure = false;
    context->coach->refuted = false;
    note_place(context);
}

static double lock_delay_s(const struct state *state, double otherwise)
{
    const struct job_meter *meter = job_find_meter(state->job, "");

    return meter && isfinite(meter->lock_delay_s) ? meter->lock_delay_s : otherwise;
}

static double patience_s(const struct state *state)
{
    return 2.0 * lock_delay_s(state, assumed_lock_delay_s);
}

/* What the receiver said on the way here is of the past: it has to say it standing still. */
static double settle_s(const struct step_context *context)
{
    return lock_delay_s(context->state, 2.0) + 3.0 * coach_lag_s(context->coach, context->state);
}

/* --- answers ---------------------------------------------------------------------------------- */

static enum step_outcome settle(const struct step_context *context, const char *how)
{
    struct coach_learned *learned = &context->coach->learned;
    const struct state *state = context->state;

    learned->sure = true;
    context->coach->lost = 0;
    if (isfinite(state->measured.deg[AXIS_AZIMUTH])) {
        learned->azimuth_bias_deg =
            angle_turn_deg(state->target.deg[AXIS_AZIMUTH], state->measured.deg[AXIS_AZIMUTH]);
    }
    text_copy(learned->grounds, sizeof learned->grounds, how);
    text_copy(context->result, RECORD_TEXT_SIZE, how);
    return STEP_IS_DONE;
}

/* Not it: search on; where nothing searches the operator has to say what next. */
static enum step_outcome leave(const struct step_context *context)
{
    const struct coach *coach = context->coach;

    if (step_can_search(coach)) {
        return step_search_on(context);
    }
    context->coach->refuted = true;
    sentence_stay(
        context->advice, ADVICE_CONFIRM, UNTIL_ANSWER,
        _("This is not where %s is, and nothing here searches. Say quit and point anew with a "
          "procedure that does; skip goes on all the same."),
        job_target_name(context->state->job));
    sentence_why(context->advice, "%s", context->result);
    text_copy(context->coach->learned.grounds, RECORD_TEXT_SIZE, context->result);
    return STEP_GOES_ON;
}

static enum step_outcome leave_neighbour(const struct step_context *context,
                                         const struct job_satellite *neighbour)
{
    struct arc *arc = &context->coach->arc;

    if (arc->chosen >= 0) {
        text_copy(arc->tops[arc->chosen].id, RECORD_NAME_SIZE, neighbour->id);
    }
    snprintf(context->result, RECORD_TEXT_SIZE,
             _("not the target: the receiver names %s, that is %s"), neighbour->id,
             neighbour->name);
    return leave(context);
}

static void ask(const struct step_context *context)
{
    sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ANSWER,
                  step_can_search(context->coach)
                      ? _("Is this %s? Say done if the receiver shows it, skip if it can't tell, "
                          "back to search on.")
                      : _("Is this %s? Say done if the receiver shows it, skip if it can't tell. "
                          "If it is not, say quit and point anew: nothing here searches."),
                  job_target_name(context->state->job));
    sentence_why(context->advice, "%s", context->coach->learned.grounds);
}

static enum step_outcome go_on_unsure(const struct step_context *context)
{
    text_copy(context->result, RECORD_TEXT_SIZE, context->coach->learned.grounds);
    return STEP_IS_DONE;
}

/* The arc says that the target is elsewhere, and where. */
static bool is_elsewhere(const struct step_context *context)
{
    struct arc *arc = &context->coach->arc;
    double probability;
    int top = arc_likeliest(arc, &probability);

    if (!arc->matched || arc->looked > MOST_SEARCHES || context->state->job->neighbour_count == 0) {
        return false;
    }
    return (top >= 0 && top != arc->chosen && probability >= other_place) ||
           (top < 0 && arc->match.missing_probability >= other_place);
}

/* No name decides: what else is known. */
static enum step_outcome weigh(const struct step_context *context)
{
    struct arc *arc = &context->coach->arc;
    bool waited = context->state->t - context->coach->settled_t >= settle_s(context);
    struct verdict_evidence evidence = identity_evidence(context->state, arc, waited);
    struct verdict verdict = verdict_of(&evidence);

    identity_say(context->state, arc, &evidence, &verdict, context->coach->learned.grounds);
    if (verdict.kind == VERDICT_TARGET && evidence.arc_probability >= evidence.sure &&
        (evidence.lock == LOCK_YES || !isfinite(context->state->lock_t))) {
        return settle(context, context->coach->learned.grounds);
    }
    if (is_elsewhere(context)) {
        snprintf(context->result, RECORD_TEXT_SIZE, _("not the target: by the arc it is %s"),
                 arc_name(arc, context->state->job, arc->chosen));
        return leave(context);
    }
    if (!is_last(context)) {
        return go_on_unsure(context);
    }
    ask(context);
    return STEP_GOES_ON;
}

static void look(const struct step_context *context)
{
    sentence_stay(context->advice, ADVICE_HOLD, UNTIL_DWELL,
                  _("Hands off, the receiver is looking at the carrier."));
}

static enum step_outcome judge(const struct step_context *context)
{
    const struct state *state = context->state;
    const struct job_satellite *target = &state->job->target.satellite;
    const struct job_satellite *neighbour;
    double since = state->t - context->coach->settled_t;
    char how[RECORD_TEXT_SIZE];

    if (!job_target_has_id(state->job) && !is_last(context)) {
        return weigh(context); /* a lamp tells nothing here: peak first */
    }
    if (since < settle_s(context)) {
        look(context);
        return STEP_GOES_ON;
    }
    if (job_names(target, state_carrier(state))) {
        struct verdict_evidence evidence = identity_evidence(state, &context->coach->arc, true);
        if (verdict_of(&evidence).kind == VERDICT_SIDE_LOBE && context->coach->arc.begun &&
            context->coach->arc.looked <= MOST_SEARCHES) {
            snprintf(context->result, RECORD_TEXT_SIZE,
                     _("a side lobe of %s: its name, but not its width and level"),
                     job_target_name(state->job));
            return leave(context);
        }
        snprintf(how, sizeof how, _("it is %s: the receiver names %s"), job_target_name(state->job),
                 target->id);
        return settle(context, how);
    }
    neighbour = job_find_neighbour(state->job, state_carrier(state));
    if (neighbour) {
        return leave_neighbour(context, neighbour);
    }
    if (since < patience_s(state) && job_target_has_id(state->job)) {
        look(context);
        return STEP_GOES_ON;
    }
    return weigh(context);
}

static enum step_outcome identify_update(const struct step_context *context)
{
    if (step_answered(context) && !context->coach->refuted) {
        return settle(context, _("the operator says that the receiver shows the target"));
    }
    if (step_heard(context, STEP_BACK)) {
        text_copy(context->result, RECORD_TEXT_SIZE, _("not the target: the operator says so"));
        return leave(context);
    }
    return judge(context);
}

/* Asked whether it is the target: back says that it is not. */
static bool hears_back(const struct coach *coach)
{
    return coach->advice.until == UNTIL_ANSWER && step_can_search(coach);
}

const struct step_ops step_identify = {
    .hears_back = hears_back, .enter = identify_enter, .update = identify_update};
