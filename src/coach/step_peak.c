#include "coach/step.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "coach/sentence.h"
#include "radio/beam.h"

/* Stations reach half a width to each side: three would do, five are robust (docs/peaking.md). */
static const double reach = 0.5;
static const double spacing = 0.25;
/* On the flank, so that no more than this is ever moved blind (docs/peaking.md). */
static const double flank = 0.3;
static const double guessed_width_deg = 2.0;
/* The co-polar level over skew is cos^2: 3 dB down 45 degrees off the peak. */
static const double skew_width_deg = 90.0;
static const double good_enough_db = 0.1;

double peak_expected_width_deg(const struct state *state, enum axis axis)
{
    struct beam beam;

    if (axis == AXIS_SKEW) {
        return skew_width_deg;
    }
    if (!job_beam(state->job, state->target.deg[AXIS_SKEW], &beam)) {
        return NAN;
    }
    return axis == AXIS_AZIMUTH ? beam_azimuth_width_deg(&beam, state->target.deg[AXIS_ELEVATION])
                                : beam_elevation_width_deg(&beam);
}

/* --- moves ---------------------------------------------------------------------------------- */

/* How far below a place to go so that the bolt's play is surely taken up on the way back. */
static double runup_deg(const struct state *state, const struct peak *peak)
{
    const struct job_axis *mount = &state->job->mount.axes[peak->axis];
    double least = isfinite(mount->turn_deg) ? mount->turn_deg / 4.0 : 0.0;

    return fmax(isfinite(mount->backlash_deg) ? 1.5 * mount->backlash_deg : 0.25 * peak->width_deg,
                least);
}

/* A count of nudges or a coarse reading can't be trusted to the end: the level guides the rest. */
static bool needs_flank(const struct state *state, const struct peak *peak)
{
    const struct job_axis *mount = &state->job->mount.axes[peak->axis];

    return mount->from != JOB_FROM_SENSOR ||
           (isfinite(mount->sensor_error_deg) && mount->sensor_error_deg > 0.04 * peak->width_deg);
}

static void go(const struct step_context *context, enum peak_phase phase, double x,
               double tolerance)
{
    struct peak *peak = &context->coach->peak;

    peak->phase = phase;
    travel_start(&context->coach->travel, context->state, peak->axis, x, tolerance);
}

static void go_to_station(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;

    go(context, PEAK_STATION, peak->next_x, 0.1 * peak->width_deg);
}

static void plan_round(const struct step_context *context, double middle)
{
    struct peak *peak = &context->coach->peak;
    double half = reach * peak->width_deg;

    peak->count = 0;
    peak->spacing_deg = spacing * peak->width_deg;
    peak->next_x = middle - half;
    peak->last_x = middle + half;
    go(context, PEAK_RUNUP, peak->next_x - runup_deg(context->state, peak), 0.15 * peak->width_deg);
}

static void peak_enter(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double width = peak_expected_width_deg(context->state, context->step->axis);
    double here = travel_position(context->state, context->step->axis);

    *peak = (struct peak){
        .axis = context->step->axis,
        .width_deg = isfinite(width) ? width : guessed_width_deg,
        .width_known = isfinite(width),
        .level = NAN,
        .loss = NAN,
    };
    plan_round(context, isfinite(here) ? here
                                       : travel_from_angle(context->state, peak->axis,
                                                           context->state->target.deg[peak->axis]));
}

/* --- what the stations say ------------------------------------------------------------------ */

static double db(const struct state *state, double difference)
{
    return level_unit_is_db(state->level.unit) ? difference : NAN;
}

static int fit_stations(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    const struct level_filter *filter = &context->state->level.filter;
    struct lobe_prior prior = {
        .width_deg = peak->width_deg,
        .width_known = peak->width_known,
        .noise = level_filter_noise(filter) / 2.0, /* of a station's mean */
        .is_db = level_unit_is_db(context->state->level.unit),
        .saturation = filter->maximum,
    };

    return lobe_fit(peak->readings, (size_t)peak->count, &prior, &peak->fit);
}

/* The station with the highest level. */
static int best_station(const struct peak *peak)
{
    int best = 0;

    for (int i = 1; i < peak->count; i++) {
        if (peak->readings[i].level > peak->readings[best].level) {
            best = i;
        }
    }
    return best;
}

/* Lowest station to the left: go on there from a new runup, else one more to the right. */
static void extend(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    int best = best_station(peak);

    if (best == 0) {
        plan_round(context, peak->readings[0].x_deg - 0.25 * peak->width_deg);
        return;
    }
    peak->last_x = peak->next_x + peak->spacing_deg;
    peak->next_x = peak->last_x;
    go_to_station(context);
}

static void return_to(const struct step_context *context, double centre_x)
{
    struct peak *peak = &context->coach->peak;
    double below = needs_flank(context->state, peak) ? flank * peak->fit.width_deg : 0.0;

    peak->centre_x = centre_x;
    go(context, PEAK_RETURN, centre_x - below - runup_deg(context->state, peak),
       0.15 * peak->width_deg);
}

/* Enough stations: the centre, or where to look on. */
static void conclude(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    int best = best_station(peak);
    bool at_edge = best == 0 || best == peak->count - 1;

    if (peak->axis != AXIS_SKEW && at_edge && peak->count < PEAK_STATIONS - 1 &&
        peak->extensions < PEAK_EXTENSIONS) {
        peak->extensions++;
        extend(context);
        return;
    }
    if (fit_stations(context) < 0) {
        peak->fit.centre_deg = peak->readings[best].x_deg;
        peak->fit.peak = peak->readings[best].level;
        peak->fit.width_deg = peak->width_deg;
        peak->fit.centre_error_deg = NAN;
    }
    return_to(context, peak->fit.centre_deg);
}

static void read_station(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    const struct dwell *dwell = &context->coach->dwell;
    double x = dwell->x_count > 0 ? dwell->x_sum / dwell->x_count
                                  : travel_position(context->state, peak->axis);

    peak->readings[peak->count++] = (struct lobe_reading){.x_deg = x, .level = dwell_level(dwell)};
    if (peak->next_x + 0.5 * peak->spacing_deg < peak->last_x && peak->count < PEAK_STATIONS) {
        peak->next_x += peak->spacing_deg;
        go_to_station(context);
    } else {
        conclude(context);
    }
}

/* On the flank below the centre: what the level says is left, held against what was counted. */
static void leave_flank(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double below = fmax(peak->fit.peak - dwell_level(&context->coach->dwell), 0.0);
    double here = travel_position(context->state, peak->axis);
    double left = peak->fit.width_deg * sqrt(below / 12.0);

    if (level_unit_is_db(context->state->level.unit) && left < 0.6 * peak->fit.width_deg) {
        peak->centre_x = here + left;
    }
    go(context, PEAK_CENTRE, peak->centre_x, 0.02 * peak->width_deg);
}

/* At the centre: good enough, or once more around it. */
static bool verify(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double error = dwell_level_error(&context->coach->dwell);
    double allowed = fmax(good_enough_db, 3.0 * (isfinite(error) ? error : 0.0));

    peak->level = dwell_level(&context->coach->dwell);
    peak->loss = peak->fit.peak - peak->level;
    if (level_unit_is_db(context->state->level.unit) && peak->loss > allowed &&
        peak->round + 1 < PEAK_ROUNDS) {
        peak->round++;
        plan_round(context, travel_position(context->state, peak->axis));
        return false;
    }
    return true;
}

static void remember(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct peak *peak = &coach->peak;
    const char *unit = level_unit_symbol(context->state->level.unit, true);

    coach->learned.peak_x[peak->axis] = travel_position(context->state, peak->axis);
    coach->learned.peak_level = peak->level;
    snprintf(context->result, RECORD_TEXT_SIZE, "%s peaked at %.2f %s", axis_name(peak->axis),
             peak->level, unit);
    if (isfinite(peak->fit.centre_error_deg)) {
        text_append(context->result, RECORD_TEXT_SIZE, ", centre sure to %.2f\u00b0",
                    peak->fit.centre_error_deg);
    }
    if (isfinite(db(context->state, peak->loss))) {
        text_append(context->result, RECORD_TEXT_SIZE, ", %.2f dB from the fitted top",
                    fmax(peak->loss, 0.0));
    }
}

/* --- the step ------------------------------------------------------------------------------- */

static void advise(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct peak *peak = &coach->peak;
    struct advice *advice = context->advice;
    const struct travel *travel = &coach->travel;

    switch (peak->phase) {
    case PEAK_READ:
    case PEAK_FLANK:
    case PEAK_VERIFY:
        advice->axis = peak->axis;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL, "Hands off, reading the level.");
        sentence_why(advice, "%s",
                     peak->phase == PEAK_VERIFY ? "checking that this is the top"
                                                : "the meter lags behind the hand");
        return;
    case PEAK_RUNUP:
        travel_advise(travel, context->state, ", below the first reading", advice);
        break;
    case PEAK_RETURN:
        travel_advise(travel, context->state, ", past the peak", advice);
        break;
    case PEAK_STATION:
    case PEAK_APPROACH:
        travel_advise(travel, context->state, "", advice);
        break;
    case PEAK_CENTRE:
        travel_advise(travel, context->state, ", gently", advice);
        break;
    }
    if (advice->why[0] == '\0' || peak->phase == PEAK_RETURN) {
        switch (peak->phase) {
        case PEAK_RUNUP:
            sentence_why(advice, "every reading is approached from the same side, so that play in "
                                 "the mount does not matter");
            break;
        case PEAK_RETURN:
            sentence_why(advice, "lobe fit from %d readings; then back up to the top from below",
                         peak->count);
            break;
        case PEAK_CENTRE:
            sentence_why(advice, "lobe fit: top at %.2f %s", peak->fit.peak,
                         level_unit_symbol(context->state->level.unit, true));
            break;
        default:
            break;
        }
    }
}

static bool reads(enum peak_phase phase)
{
    return phase == PEAK_READ || phase == PEAK_FLANK || phase == PEAK_VERIFY;
}

/* Somebody moved on while the level was being read: the station is not where it was. */
static bool disturbed(const struct step_context *context)
{
    return context->record->kind == RECORD_MOVE &&
           context->record->move.axis == context->coach->peak.axis;
}

static void arrive(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;

    switch (peak->phase) {
    case PEAK_RUNUP:
        go_to_station(context);
        return;
    case PEAK_RETURN:
        if (needs_flank(context->state, peak)) {
            go(context, PEAK_APPROACH, peak->centre_x - flank * peak->fit.width_deg,
               0.1 * peak->width_deg);
        } else {
            go(context, PEAK_CENTRE, peak->centre_x, 0.02 * peak->width_deg);
        }
        return;
    case PEAK_STATION:
        peak->phase = PEAK_READ;
        break;
    case PEAK_APPROACH:
        peak->phase = PEAK_FLANK;
        break;
    default:
        peak->phase = PEAK_VERIFY;
        break;
    }
    dwell_start(&context->coach->dwell, context->state, peak->axis, 0.0);
}

static enum step_outcome peak_update(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct peak *peak = &coach->peak;

    if (!context->state->level.known) {
        sentence_stay(context->advice, ADVICE_WAIT, UNTIL_SOURCE,
                      "Waiting for a level from the meter.");
        return STEP_GOES_ON;
    }
    if (step_answered(context)) {
        snprintf(context->result, RECORD_TEXT_SIZE, "the operator says that %s is peaked",
                 axis_name(peak->axis));
        return STEP_IS_DONE;
    }
    if (reads(peak->phase)) {
        if (disturbed(context)) {
            dwell_start(&coach->dwell, context->state, peak->axis, 0.0);
        } else if (dwell_update(&coach->dwell, context->state, context->record)) {
            switch (peak->phase) {
            case PEAK_READ:
                read_station(context);
                break;
            case PEAK_FLANK:
                leave_flank(context);
                break;
            default:
                if (verify(context)) {
                    remember(context);
                    return STEP_IS_DONE;
                }
                break;
            }
        }
    } else if (travel_update(&coach->travel, context->state, context->record)) {
        arrive(context);
    }
    advise(context);
    return STEP_GOES_ON;
}

const struct step_ops step_peak = {.enter = peak_enter, .update = peak_update};
