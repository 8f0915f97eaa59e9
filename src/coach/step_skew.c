/* Skew by the meter: `peak` by equal drops to both sides, `null` by the other polarisation. */
#include "coach/step.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"
#include "radio/isolation.h"
#include "sky/angle.h"

/* Wanted polarisation: 3 dB down at 45 degrees, 1.7 dB and 0.1 dB a degree steep at this. */
static const double equal_drop_deg = 35.0;
/* The other one is steepest where it rises out of the noise; between these where that is. */
/* ... a little beyond, where the noise counts for less; by the bench. */
static const double beyond = 1.3;
static const double nearest_deg = 5.0, farthest_deg = 24.0, usual_off_deg = 12.0;
/* A middle further off than this share of the stations' distance is looked at once more. */
static const double lopsided = 0.35;
/* What an angle set by sensor or scale is right to, common practice, no source. */
static const double set_error_deg = 0.7;
static const double usual_cross_polar_db = 30.0;
/* The level fades and the meter jumps: so long is read at a station. */
static const double station_s = 5.0;

static bool is_cross(const char *name)
{
    return strcmp(name, "cross") == 0;
}

static bool sees_cross(const struct state *state)
{
    for (size_t i = 0; i < state->aux_count; i++) {
        if (is_cross(state->aux[i].name)) {
            return true;
        }
    }
    return false;
}

/* Play between the hand and the angle that is counted; a sensor or a scale shows the angle. */
static double play_deg(const struct state *state)
{
    const struct job_axis *mount = &state->job->mount.axes[AXIS_SKEW];

    if (mount->from != JOB_FROM_NUDGES) {
        return 0.0;
    }
    return isfinite(mount->backlash_deg) ? 1.5 * mount->backlash_deg : 3.0;
}

/* Where the other polarisation is as strong as the noise: the wanted level under that. */
static double steepest_deg(const struct state *state)
{
    double level = state->level.filter.level;
    double deg = asin(fmin(1.0, pow(10.0, -level / 20.0))) / ANGLE_RAD_PER_DEG;

    if (state->level.unit != LEVEL_DB || !isfinite(deg)) {
        return usual_off_deg;
    }
    return fmin(fmax(beyond * deg, nearest_deg), farthest_deg);
}

/* --- moves ---------------------------------------------------------------------------------- */

static void go(const struct step_context *context, enum skew_phase phase, double x,
               double tolerance)
{
    context->coach->skew.phase = phase;
    travel_start(&context->coach->travel, context->state, AXIS_SKEW, x, tolerance);
}

static double station_x(const struct skew_setting *skew)
{
    return skew->middle_x + (skew->station == 0 ? -skew->off_deg : skew->off_deg);
}

static void go_to_station(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;

    go(context, SKEW_STATION, station_x(skew), 0.2 * skew->off_deg);
}

static void begin_round(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    double play = play_deg(context->state);

    skew->station = 0;
    if (play > 0.0) {
        go(context, SKEW_RUNUP, station_x(skew) - play, 0.2 * skew->off_deg);
    } else {
        go_to_station(context);
    }
}

static void go_to_middle(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    double play = play_deg(context->state);

    if (play > 0.0) {
        go(context, SKEW_BELOW, skew->middle_x - play, 1.0);
    } else {
        go(context, SKEW_MIDDLE, skew->middle_x, 0.1);
    }
}

static void stays(struct skew_setting *skew, const char *why_not)
{
    skew->phase = SKEW_STAYS;
    text_copy(skew->why_not, sizeof skew->why_not, why_not);
}

static void skew_enter(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    const struct state *state = context->state;
    const struct job_axis *mount = &state->job->mount.axes[AXIS_SKEW];
    enum job_axis_from from = mount->from;
    bool null = context->step->act == DO_NULL;
    double here = travel_position(state, AXIS_SKEW);

    *skew = (struct skew_setting){.by_null = null && sees_cross(state), .error_deg = NAN};
    skew->off_deg = skew->by_null ? steepest_deg(state) : equal_drop_deg;
    skew->begun_x = skew->middle_x =
        isfinite(here) ? here : travel_from_angle(state, AXIS_SKEW, state->target.deg[AXIS_SKEW]);
    if (!isfinite(state->target.deg[AXIS_SKEW])) {
        stays(skew, _("there is none with circular polarisation"));
    } else if (from == JOB_FROM_NUDGES && !isfinite(mount->turn_deg)) {
        stays(skew,
              _("nothing tells how far it is turned: no sensor, no scale, no turns to count"));
    } else if (null && !skew->by_null && from != JOB_FROM_NUDGES) {
        stays(skew, _("the meter does not show the other polarisation, and the level of this one "
                      "tells it no better than the angle does"));
    } else {
        begin_round(context);
    }
}

/* --- what was read -------------------------------------------------------------------------- */

static int fit(const struct step_context *context, struct skew_fit *ret)
{
    const struct skew_setting *skew = &context->coach->skew;
    const struct level_filter *filter = &context->state->level.filter;
    struct skew_prior prior = {
        .noise = level_filter_noise(filter),
        .is_db = level_unit_is_db(context->state->level.unit),
        .saturation = filter->maximum,
    };

    return (skew->by_null ? skew_fit_null : skew_fit_copolar)(skew->readings, (size_t)skew->count,
                                                              &prior, ret);
}

/* The wanted polarisation says where the top is less surely than a sensor or a scale does: both
 * are weighed by their errors. */
static void weigh(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    const struct state *state = context->state;
    double set_x = travel_from_angle(state, AXIS_SKEW, state->target.deg[AXIS_SKEW]);
    double found = skew->error_deg * skew->error_deg, set = set_error_deg * set_error_deg;

    if (!skew->by_null && isfinite(set_x) && isfinite(found)) {
        skew->middle_x = (skew->middle_x * set + set_x * found) / (set + found);
        skew->error_deg = sqrt(set * found / (set + found));
    }
}

static void conclude(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    struct skew_fit found;

    if (fit(context, &found) < 0 || fabs(found.skew_deg - skew->middle_x) > 2.0 * skew->off_deg) {
        text_copy(skew->why_not, sizeof skew->why_not,
                  _("the level does not tell it: it hardly changes with skew"));
        skew->middle_x = skew->begun_x;
        go_to_middle(context);
        return;
    }
    bool once_more = fabs(found.skew_deg - skew->middle_x) > lopsided * skew->off_deg &&
                     skew->round + 1 < SKEW_ROUNDS;
    skew->middle_x = found.skew_deg;
    skew->error_deg = found.error_deg;
    if (once_more) {
        skew->round++;
        begin_round(context);
        return;
    }
    weigh(context);
    go_to_middle(context);
}

static void read_station(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    const struct dwell *dwell = &context->coach->dwell;
    double x = dwell->x_count > 0 ? dwell->x_sum / dwell->x_count
                                  : travel_position(context->state, AXIS_SKEW);

    for (int i = 0; i < dwell->count; i++) {
        skew->readings[skew->count++] =
            (struct skew_reading){.skew_deg = x, .level = dwell->level[i]};
    }
    skew->station++;
    if (skew->station < SKEW_STATIONS) {
        go_to_station(context);
    } else {
        conclude(context);
    }
}

/* The other port's reading stands for a level while the null is looked for. True: enough is in. */
static bool dwells(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct record record = *context->record;

    if (record.kind == RECORD_MOVE && record.move.axis == AXIS_SKEW) {
        dwell_start(&coach->dwell, context->state, AXIS_SKEW, station_s);
        return false;
    }
    if (coach->skew.by_null && record.kind == RECORD_LEVEL) {
        return false;
    }
    if (coach->skew.by_null && record.kind == RECORD_AUX && is_cross(context->record->aux.name)) {
        record.kind = RECORD_LEVEL;
        record.level = (struct record_level){.value = context->record->aux.value,
                                             .unit = context->state->level.unit};
    }
    return dwell_update(&coach->dwell, context->state, &record);
}

/* --- the step ------------------------------------------------------------------------------- */

static void tell_result(const struct step_context *context)
{
    const struct skew_setting *skew = &context->coach->skew;
    const struct state *state = context->state;
    double own = state->job->antenna.cross_polar_db, deg = state->measured.deg[AXIS_SKEW];
    double sure, isolation;
    char *result = context->result;

    if (!isfinite(skew->error_deg)) {
        snprintf(result, RECORD_TEXT_SIZE, _("skew stays as it was set: %s"), skew->why_not);
        return;
    }
    sure = fmax(skew->error_deg, 0.1);
    isolation = isolation_db(2.0 * sure, isfinite(own) ? own : usual_cross_polar_db);
    if (isfinite(deg)) {
        snprintf(result, RECORD_TEXT_SIZE,
                 skew->by_null ? _("skew %.1f° by the other polarisation's null, sure to %.1f°: "
                                   "isolation %.0f dB or better")
                               : _("skew %.1f° by equal drops to both sides, sure to %.1f°: "
                                   "isolation %.0f dB or better"),
                 deg, sure, isolation);
    } else {
        snprintf(result, RECORD_TEXT_SIZE,
                 skew->by_null ? _("skew by the other polarisation's null, sure to %.1f°: "
                                   "isolation %.0f dB or better")
                               : _("skew by equal drops to both sides, sure to %.1f°: "
                                   "isolation %.0f dB or better"),
                 sure, isolation);
    }
}

static void advise(const struct step_context *context)
{
    const struct skew_setting *skew = &context->coach->skew;
    const struct travel *travel = &context->coach->travel;
    struct advice *advice = context->advice;
    const char *why = skew->by_null
                          ? _("the other polarisation is read to both sides of its null")
                          : _("the level is flat at its top: it is read well to both sides");

    switch (skew->phase) {
    case SKEW_READ:
        advice->axis = AXIS_SKEW;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL, "%s",
                      skew->by_null ? _("Hands off, reading the other polarisation.")
                                    : _("Hands off, reading the level."));
        break;
    case SKEW_RUNUP:
        travel_advise(travel, context->state, _("%s, below the first reading."), advice);
        break;
    case SKEW_BELOW:
        travel_advise(travel, context->state, _("%s, past the middle."), advice);
        break;
    case SKEW_MIDDLE:
        travel_advise(travel, context->state, _("%s, to the middle."), advice);
        why = isfinite(skew->error_deg) ? _("the middle between equal levels") : skew->why_not;
        break;
    default:
        travel_advise(travel, context->state, _("%s."), advice);
        break;
    }
    if (advice->why[0] == '\0') {
        sentence_why(advice, "%s", why);
    }
}

static void arrive(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;

    switch (skew->phase) {
    case SKEW_RUNUP:
        go_to_station(context);
        break;
    case SKEW_BELOW:
        go(context, SKEW_MIDDLE, skew->middle_x, 0.1);
        break;
    default:
        skew->phase = SKEW_READ;
        dwell_start(&context->coach->dwell, context->state, AXIS_SKEW, station_s);
        break;
    }
}

static enum step_outcome skew_update(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;

    if (skew->phase == SKEW_STAYS) {
        tell_result(context);
        return STEP_IS_DONE;
    }
    if (!context->state->level.known) {
        sentence_stay(context->advice, ADVICE_WAIT, UNTIL_SOURCE,
                      _("Waiting for a level from the meter."));
        return STEP_GOES_ON;
    }
    if (step_answered(context) && skew->phase != SKEW_MIDDLE) {
        text_copy(context->result, RECORD_TEXT_SIZE, _("the operator says that skew is set"));
        return STEP_IS_DONE;
    }
    if (skew->phase == SKEW_READ) {
        if (dwells(context)) {
            read_station(context);
        }
    } else if (travel_update(&context->coach->travel, context->state, context->record) ||
               step_answered(context)) {
        if (skew->phase == SKEW_MIDDLE) {
            tell_result(context);
            return STEP_IS_DONE;
        }
        arrive(context);
    }
    advise(context);
    return STEP_GOES_ON;
}

const struct step_ops step_skew = {.enter = skew_enter, .update = skew_update};
