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
/* The other one is steepest where it rises out of the noise; a little nearer it is as steep, and
 * fading counts for less (docs/peaking.md). Between these where that is. */
static const double nearer = 0.8;
static const double nearest_deg = 5.0, farthest_deg = 15.0, usual_off_deg = 10.0;
/* A middle further off than this share of the stations' distance is looked at once more. */
static const double lopsided = 0.5;
/* What is lost in setting an angle; common practice, no source. */
static const double setting_error_deg = 0.15;
static const double usual_cross_polar_db = 30.0;
/* In the middle by a sensor: hands are off after this, then so long; and near enough. */
static const double hands_off_s = 1.0, check_s = 2.5;
static const double near_enough_deg = 0.2;
enum { MOST_CHECKS = 3 };
/* A station is read until the mean is this sure, within these; without a noise in dB to go by, the
 * usual. Where it begins only has to tell how deep the null is. */
static const double wanted_error_db = 0.055;
static const double shortest_s = 3.0, usual_station_s = 5.0, longest_s = 8.0, first_station_s = 3.0;

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
    return fmin(fmax(nearer * deg, nearest_deg), farthest_deg);
}

/* --- moves ---------------------------------------------------------------------------------- */

static void go(const struct step_context *context, enum skew_phase phase, double x,
               double tolerance)
{
    context->coach->skew.phase = phase;
    travel_start(&context->coach->travel, context->state, AXIS_SKEW, x, tolerance);
    by_scale_start(&context->coach->by_scale, AXIS_SKEW, x);
}

static bool has_moved(const struct step_context *context)
{
    if (by_scale_applies(context->state, AXIS_SKEW)) {
        return by_scale_update(&context->coach->by_scale, context->state, context->record);
    }
    return travel_update(&context->coach->travel, context->state, context->record);
}

static double play_off(const struct step_context *context, double x)
{
    return x - play_deg(context->state);
}

/* Stations: where it stands, which tells how deep the null is, and to both sides. On a scale at
 * even numbers, where most have a line. */
static double station_x(const struct step_context *context)
{
    const struct skew_setting *skew = &context->coach->skew;
    const struct job_axis *mount = &context->state->job->mount.axes[AXIS_SKEW];
    double x = skew->middle_x + (skew->station == 1 ? -skew->off_deg : skew->off_deg);

    if (by_scale_applies(context->state, AXIS_SKEW)) {
        x = job_true_from_scale(mount, 2.0 * round(job_scale_from_true(mount, x) / 2.0));
    }
    return x;
}

/* Where a station is does not matter, as long as it is known: but past the run-up, where that is
 * needed. */
static double station_tolerance(const struct step_context *context)
{
    double play = play_deg(context->state);

    return play > 0.0 ? 0.25 * play : 0.2 * context->coach->skew.off_deg;
}

static void go_to_station(const struct step_context *context)
{
    go(context, SKEW_STATION, station_x(context), station_tolerance(context));
}

static double station_s(const struct state *state)
{
    double ratio = level_filter_noise(&state->level.filter) / wanted_error_db;
    double seconds = ratio * ratio * level_filter_period_s(&state->level.filter);

    if (!level_unit_is_db(state->level.unit) || !isfinite(seconds)) {
        return usual_station_s;
    }
    return fmin(fmax(seconds, shortest_s), longest_s);
}

static void start_reading(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    double at_least_s = skew->station == 0 ? first_station_s : station_s(context->state);

    skew->phase = SKEW_READ;
    step_read(context, AXIS_SKEW, at_least_s);
    skew->wanted = context->coach->dwell;
}

/* Nothing was turned just now, so nothing has to settle. */
static void read_at_once(const struct step_context *context)
{
    struct dwell *dwell = &context->coach->dwell;

    start_reading(context);
    dwell->from_t = context->state->t;
    dwell->until_t = context->state->t + first_station_s;
    context->coach->skew.wanted = *dwell;
}

static void begin_sides(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;

    skew->station = 1;
    if (play_deg(context->state) > 0.0) {
        go(context, SKEW_RUNUP, play_off(context, station_x(context)), station_tolerance(context));
    } else {
        go_to_station(context);
    }
}

static void go_to_middle(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;

    if (play_deg(context->state) > 0.0) {
        go(context, SKEW_BELOW, play_off(context, skew->middle_x), 1.0);
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
    double here = by_scale_position(&context->coach->by_scale, state, AXIS_SKEW);

    *skew = (struct skew_setting){.by_null = null && sees_cross(state), .error_deg = NAN};
    skew->off_deg = skew->by_null ? steepest_deg(state) : equal_drop_deg;
    skew->begun_x = skew->middle_x = skew->stands_x =
        isfinite(here) ? here : travel_from_angle(state, AXIS_SKEW, state->target.deg[AXIS_SKEW]);
    if (!isfinite(state->target.deg[AXIS_SKEW])) {
        stays(skew, _("there is none to set with circular polarisation"));
    } else if (from == JOB_FROM_NUDGES && !isfinite(mount->turn_deg)) {
        stays(skew, _("no sensor, no scale and no count of turns tells how far it is turned"));
    } else if (null && !skew->by_null && from != JOB_FROM_NUDGES) {
        stays(skew, _("the meter does not show the other polarisation, and the level of this one "
                      "tells it no better than the angle does"));
    } else if (skew->by_null || !level_unit_is_db(state->level.unit)) {
        read_at_once(context);
    } else {
        begin_sides(context);
    }
}

/* --- what was read -------------------------------------------------------------------------- */

static void conclude(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;
    struct skew_fit found;
    double off;

    if (skew_setting_fit(skew, context->state, &found) < 0 ||
        fabs(found.skew_deg - skew->middle_x) > 2.0 * skew->off_deg) {
        text_copy(skew->why_not, sizeof skew->why_not, _("the level hardly changes with it"));
        skew->middle_x = skew->begun_x;
        go_to_middle(context);
        return;
    }
    off = found.skew_deg - skew->middle_x;
    skew->middle_x = found.skew_deg;
    skew->error_deg = hypot(found.error_deg, setting_error_deg);
    if (fabs(off) > lopsided * skew->off_deg && skew->round + 1 < SKEW_ROUNDS) {
        skew->round++;
        begin_sides(context);
        return;
    }
    skew_setting_weigh(
        skew, travel_from_angle(context->state, AXIS_SKEW, context->state->target.deg[AXIS_SKEW]));
    go_to_middle(context);
}

/* What tells where it stands: a sensor's mean, the number that it was set to, or the count. */
static double stands_at(const struct step_context *context)
{
    const struct skew_setting *skew = &context->coach->skew;
    const struct dwell *dwell = &context->coach->dwell;

    if (dwell->x_count > 0) {
        return dwell->x_sum / dwell->x_count;
    }
    return skew->stands_x;
}

static void read_station(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;

    skew_setting_take(skew, stands_at(context), &context->coach->dwell);
    if (skew->station == 0) {
        begin_sides(context);
    } else if (skew->station == 1) {
        skew->station++;
        go_to_station(context);
    } else {
        conclude(context);
    }
}

/* The other port's reading stands for a level while the null is looked for. True: enough is in. */
static bool dwells(const struct step_context *context)
{
    struct coach *coach = context->coach;
    const struct state *state = context->state;
    struct record record = *context->record;

    if ((record.kind == RECORD_MOVE && record.move.axis == AXIS_SKEW) ||
        (record.kind == RECORD_ANGLES && record.angles.scale &&
         isfinite(record.angles.deg[AXIS_SKEW]))) {
        coach->skew.stands_x = travel_position(state, AXIS_SKEW);
        start_reading(context);
        return false;
    }
    if (coach->skew.by_null && record.kind == RECORD_LEVEL) {
        dwell_update(&coach->skew.wanted, state, &record);
        return false;
    }
    if (coach->skew.by_null && record.kind == RECORD_AUX && is_cross(record.aux.name)) {
        record.kind = RECORD_LEVEL;
        record.level =
            (struct record_level){.value = context->record->aux.value, .unit = state->level.unit};
    }
    return dwell_update(&coach->dwell, state, &record);
}

/* --- the step ------------------------------------------------------------------------------- */

static void finish(const struct step_context *context)
{
    const struct skew_setting *skew = &context->coach->skew;
    const struct state *state = context->state;
    double own = state->job->antenna.cross_polar_db, deg = by_scale_applies(state, AXIS_SKEW)
                                                               ? context->coach->by_scale.stands
                                                               : state->measured.deg[AXIS_SKEW];
    double sure, isolation;
    char *result = context->result;

    context->coach->learned.peak_x[AXIS_SKEW] = travel_position(state, AXIS_SKEW);
    if (!isfinite(skew->error_deg)) {
        snprintf(result, RECORD_TEXT_SIZE, _("skew stays where it stands, for %s"), skew->why_not);
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

static void advise_way(const struct step_context *context, const char *sentence)
{
    if (by_scale_applies(context->state, AXIS_SKEW)) {
        by_scale_advise(&context->coach->by_scale, context->state, context->advice);
    } else {
        travel_advise(&context->coach->travel, context->state, sentence, context->advice);
    }
}

static void advise(const struct step_context *context)
{
    const struct skew_setting *skew = &context->coach->skew;
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
    case SKEW_CHECK:
        advice->axis = AXIS_SKEW;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL, "%s", _("Hands off, looking at the skew."));
        why = _("a hand that has come near may have gone on");
        break;
    case SKEW_RUNUP:
        advise_way(context, _("%s, to where the readings begin."));
        break;
    case SKEW_BELOW:
        advise_way(context, _("%s, past the middle."));
        break;
    case SKEW_MIDDLE:
        advise_way(context, _("%s, to the middle."));
        why = isfinite(skew->error_deg) ? _("the middle between equal levels") : skew->why_not;
        break;
    default:
        advise_way(context, _("%s."));
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
    case SKEW_MIDDLE:
        skew->phase = SKEW_CHECK;
        skew->checks++;
        step_read(context, AXIS_SKEW, 0.0);
        context->coach->dwell.from_t = context->state->t + hands_off_s;
        context->coach->dwell.until_t = context->state->t + check_s;
        context->coach->dwell.needed = 1;
        break;
    default:
        skew->stands_x = by_scale_applies(context->state, AXIS_SKEW)
                             ? context->coach->by_scale.stands
                             : travel_position(context->state, AXIS_SKEW);
        start_reading(context);
        break;
    }
}

/* A sensor tells whether a hand that had come near went on; a scale has been looked at. */
static bool is_checked(const struct step_context *context)
{
    return context->state->job->mount.axes[AXIS_SKEW].from == JOB_FROM_SENSOR &&
           !step_answered(context);
}

/* True: it stays in the middle, or near enough. Else it is gone to again. */
static bool is_left_there(const struct step_context *context)
{
    const struct skew_setting *skew = &context->coach->skew;
    const struct dwell *dwell = &context->coach->dwell;

    if (!dwell_update(&context->coach->dwell, context->state, context->record)) {
        return step_answered(context);
    }
    if (dwell->x_count == 0 || skew->checks == MOST_CHECKS ||
        fabs(dwell->x_sum / dwell->x_count - skew->middle_x) <= near_enough_deg) {
        return true;
    }
    go(context, SKEW_MIDDLE, skew->middle_x, 0.1);
    return false;
}

/* Where `done` says that it shows the number. */
static bool is_setting_by_scale(const struct step_context *context)
{
    return context->coach->skew.phase != SKEW_READ && by_scale_applies(context->state, AXIS_SKEW);
}

static enum step_outcome skew_update(const struct step_context *context)
{
    struct skew_setting *skew = &context->coach->skew;

    if (skew->phase == SKEW_STAYS) {
        finish(context);
        return STEP_IS_DONE;
    }
    if (!context->state->level.known) {
        sentence_stay(context->advice, ADVICE_WAIT, UNTIL_SOURCE,
                      _("Waiting for a level from the meter."));
        return STEP_GOES_ON;
    }
    if (step_answered(context) && skew->phase != SKEW_MIDDLE && skew->phase != SKEW_CHECK &&
        !is_setting_by_scale(context)) {
        text_copy(context->result, RECORD_TEXT_SIZE, _("the operator says that skew is set"));
        return STEP_IS_DONE;
    }
    if (skew->phase == SKEW_READ) {
        if (dwells(context)) {
            read_station(context);
        }
    } else if (skew->phase == SKEW_CHECK) {
        if (is_left_there(context)) {
            finish(context);
            return STEP_IS_DONE;
        }
    } else if (has_moved(context) || (step_answered(context) && !is_setting_by_scale(context))) {
        if (skew->phase == SKEW_MIDDLE && !is_checked(context)) {
            finish(context);
            return STEP_IS_DONE;
        }
        arrive(context);
    }
    advise(context);
    return STEP_GOES_ON;
}

const struct step_ops step_skew = {.enter = skew_enter, .update = skew_update};
