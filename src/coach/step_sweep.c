#include "coach/step.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "coach/sentence.h"

static const double listen_s = 2.0;
static const double guessed_width_deg = 2.0;
static const double station_widths = 0.6;
/* How far below the top a carrier must still be noticed: at 3 dB the valleys between neighbours are
 * seen, too. */
static const double fall_db = 3.0;
/* A mount set by its scale or by hand, 1 sd; rough pointing is good to about one degree (common
 * practice, no source). */
static const double elevation_sd_deg = 1.5;
static const double too_fast = 1.6;

static double or_else(double value, double otherwise)
{
    return isfinite(value) ? value : otherwise;
}

static struct search_plan make_plan(const struct state *state)
{
    const struct job_meter *meter = job_find_meter(state->job, "");
    double period_s = level_filter_period_s(&state->level.filter);
    struct search_job job = {
        .elevation_deg = state->target.deg[AXIS_ELEVATION],
        .compass_deg = 2.0 * state->job->coach.compass_error_deg,
        .elevation_sd_deg = elevation_sd_deg,
        .fall_db = fall_db,
        .period_s = period_s,
        /* the median of three that is looked at comes one reading late */
        .lag_s = or_else(meter ? meter->lag_s : NAN, 0.8) + or_else(period_s, 0.5),
        .fastest_deg_s = NAN,
    };

    if (!job_beam(state->job, state->target.deg[AXIS_SKEW], &job.beam)) {
        job.beam = beam_make(guessed_width_deg, guessed_width_deg, 0.0);
    }
    return search_plan_make(&job);
}

static void plan(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    const struct state *state = context->state;
    double width = or_else(peak_expected_width_deg(state, sweep->axis), guessed_width_deg);
    double target = travel_from_angle(state, sweep->axis, state->target.deg[sweep->axis]);
    double here = travel_position(state, sweep->axis);

    sweep->plan = make_plan(state);
    sweep->stepped = state->job->mount.axes[sweep->axis].from != JOB_FROM_SENSOR;
    sweep->middle_x = isfinite(target) ? target : or_else(here, 0.0);
    sweep->span = or_else(context->step->span_deg, sweep->plan.span_deg);
    sweep->step = station_widths * width;
    sweep->rate = or_else(context->step->rate_deg_s, sweep->plan.rate_deg_s);
    sweep->elevation_x = travel_position(state, AXIS_ELEVATION);
    sweep->way = 1;
}

static void sweep_enter(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    *sweep = (struct sweep){
        .axis = context->step->axis, .last_x = NAN, .last_t = NAN, .newest = {NAN, NAN, NAN}};
    plan(context);
    sweep_finder_init(&sweep->finder, level_filter_noise(&context->state->level.filter),
                      level_unit_is_db(context->state->level.unit));
}

static void go(const struct step_context *context, enum sweep_phase phase, enum axis axis, double x,
               double tolerance)
{
    context->coach->sweep.phase = phase;
    travel_start(&context->coach->travel, context->state, axis, x, tolerance);
}

static double line_end(const struct sweep *sweep, int way)
{
    return sweep->middle_x + way * sweep->span;
}

static double line_elevation(const struct sweep *sweep)
{
    return sweep->elevation_x + sweep->plan.offset_deg[sweep->line];
}

static void run_line(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    sweep->station_x = line_end(sweep, -sweep->way);
    go(context, SWEEP_RUN, sweep->axis,
       sweep->stepped ? sweep->station_x : line_end(sweep, sweep->way), 0.3 * sweep->step);
}

/* Back to the best top there is; a step back on elevation first when it was met on another line. */
static void go_back(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    const struct sweep_peak *top = &sweep->peaks[sweep->chosen];

    if (isfinite(top->elevation) &&
        fabs(top->elevation - travel_position(context->state, AXIS_ELEVATION)) >
            0.3 * sweep->plan.step_deg) {
        go(context, SWEEP_BACK_ELEVATION, AXIS_ELEVATION, top->elevation,
           0.1 * sweep->plan.step_deg);
    } else {
        go(context, SWEEP_BACK, sweep->axis, top->x, 0.15 * sweep->step);
    }
}

static void end_line(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    if (sweep->finder.inside && sweep->peak_count < SWEEP_PEAKS) {
        sweep->peaks[sweep->peak_count++] = sweep->finder.top;
        sweep->finder.inside = false;
    }
    sweep->chosen =
        sweep_choose(sweep->peaks, sweep->peak_count, context->state->job->target.satellite.id);
    if (sweep->chosen >= 0) {
        go_back(context);
        return;
    }
    if (++sweep->line >= sweep->plan.lines) {
        sweep->phase = SWEEP_LOST;
        return;
    }
    sweep->way = -sweep->way;
    go(context, SWEEP_NEXT_LINE, AXIS_ELEVATION, line_elevation(sweep),
       0.15 * sweep->plan.step_deg);
}

static bool is_target(const struct step_context *context, const struct sweep_peak *top)
{
    const char *id = context->state->job->target.satellite.id;

    return id[0] != '\0' && strcmp(top->id, id) == 0;
}

/* The middle of the newest three readings: a spark does not count, and it hardly lags. */
static double steady_level(struct sweep *sweep, double value)
{
    double *n = sweep->newest;

    n[0] = n[1];
    n[1] = n[2];
    n[2] = value;
    return isfinite(n[0]) ? fmax(fmin(n[0], n[1]), fmin(fmax(n[0], n[1]), n[2])) : value;
}

/* A level at a place. True when the search can stop: the target has just been passed. */
static bool observe(const struct step_context *context, double level)
{
    struct sweep *sweep = &context->coach->sweep;
    struct sweep_peak top;

    if (!sweep_finder_push(&sweep->finder, travel_position(context->state, sweep->axis),
                           travel_position(context->state, AXIS_ELEVATION), level,
                           &context->state->lock, &top)) {
        return false;
    }
    if (sweep->peak_count < SWEEP_PEAKS) {
        sweep->peaks[sweep->peak_count++] = top;
    }
    sweep->chosen = sweep->peak_count - 1;
    return is_target(context, &top);
}

static void watch_speed(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    double x = travel_position(context->state, sweep->axis), t = context->state->t;

    if (context->record->kind != RECORD_ANGLES || !isfinite(x)) {
        return;
    }
    if (!isfinite(sweep->last_t)) {
        sweep->last_x = x;
        sweep->last_t = t;
    } else if (t - sweep->last_t >= 1.0) {
        sweep->speed = fabs(x - sweep->last_x) / (t - sweep->last_t);
        sweep->last_x = x;
        sweep->last_t = t;
    }
}

static void next_station(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    sweep->station_x += sweep->way * sweep->step;
    if ((line_end(sweep, sweep->way) - sweep->station_x) * sweep->way < -0.5 * sweep->step) {
        end_line(context);
    } else {
        go(context, SWEEP_RUN, sweep->axis, sweep->station_x, 0.3 * sweep->step);
    }
}

static bool arrived(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    switch (sweep->phase) {
    case SWEEP_TO_START:
    case SWEEP_NEXT_LINE:
        run_line(context);
        return false;
    case SWEEP_RUN:
        if (sweep->stepped) {
            sweep->phase = SWEEP_READ;
            dwell_start(&context->coach->dwell, context->state, sweep->axis, 0.0);
        } else {
            end_line(context);
        }
        return false;
    case SWEEP_BACK_ELEVATION:
        go(context, SWEEP_BACK, sweep->axis, sweep->peaks[sweep->chosen].x, 0.15 * sweep->step);
        return false;
    default:
        return sweep->phase == SWEEP_BACK;
    }
}

static bool far_end_reached(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    double beyond = travel_position(context->state, sweep->axis) - line_end(sweep, sweep->way);

    return !sweep->stepped && sweep->phase == SWEEP_RUN && beyond * sweep->way > 0.0;
}

/* One record onward. True when the antenna stands at the top chosen. */
static bool search(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct sweep *sweep = &coach->sweep;
    const struct record *record = context->record;
    bool watching = sweep->phase == SWEEP_TO_START || sweep->phase == SWEEP_RUN;

    watch_speed(context);
    if (sweep->phase == SWEEP_LISTEN) {
        if (context->state->t - coach->step_t >= listen_s) {
            go(context, SWEEP_TO_START, sweep->axis, line_end(sweep, -sweep->way),
               0.5 * sweep->step);
        }
        return false;
    }
    if (watching && !sweep->stepped && record->kind == RECORD_LEVEL &&
        observe(context, steady_level(sweep, record->level.value))) {
        go_back(context);
        return false;
    }
    if (sweep->phase == SWEEP_READ) {
        if (dwell_update(&coach->dwell, context->state, record)) {
            if (observe(context, dwell_level(&coach->dwell))) {
                go_back(context);
            } else {
                next_station(context);
            }
        }
        return false;
    }
    if (sweep->phase != SWEEP_LOST &&
        (travel_update(&coach->travel, context->state, record) || far_end_reached(context))) {
        return arrived(context);
    }
    return false;
}

static void advise_run(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    struct advice *advice = context->advice;

    travel_advise(&context->coach->travel, context->state,
                  sweep->stepped ? "" : ", slowly and evenly", advice);
    if (sweep->stepped || advice->move == ADVICE_WAIT) {
        return;
    }
    advice->rate = sweep->rate;
    advice->until = UNTIL_CARRIER;
    if (sweep->speed > too_fast * sweep->rate) {
        sentence_why(advice,
                     "slower: %.1f\u00b0 a second is too fast for this meter, %.1f\u00b0 will do",
                     sweep->speed, sweep->rate);
    } else {
        sentence_why(advice,
                     "looking for a carrier, %.1f\u00b0 a second at the most, about %.0f s a line",
                     sweep->rate, 2.0 * sweep->span / sweep->rate);
    }
}

static void advise(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    struct advice *advice = context->advice;
    const struct travel *travel = &context->coach->travel;

    switch (sweep->phase) {
    case SWEEP_LISTEN:
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL, "Hands off, listening to the noise first.");
        break;
    case SWEEP_TO_START:
        advise_run(context);
        break;
    case SWEEP_RUN:
        advise_run(context);
        break;
    case SWEEP_READ:
        advice->axis = sweep->axis;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL, "Hands off, reading the level.");
        break;
    case SWEEP_NEXT_LINE:
        travel_advise(travel, context->state, " for the next line", advice);
        sentence_why(advice, "nothing on this line; %d of %d searched", sweep->line,
                     sweep->plan.lines);
        break;
    case SWEEP_BACK_ELEVATION:
    case SWEEP_BACK:
        travel_advise(travel, context->state, ", back to the carrier", advice);
        sentence_why(advice, "it stood at %.1f %s there", sweep->peaks[sweep->chosen].level,
                     level_unit_symbol(context->state->level.unit, true));
        break;
    case SWEEP_LOST:
        sentence_stay(advice, ADVICE_CONFIRM, UNTIL_ANSWER,
                      "Nothing found within %.0f\u00b0 to each side on %d lines of elevation. Say "
                      "repeat to search again, back to set up anew.",
                      sweep->span, sweep->plan.lines);
        sentence_why(advice, "check in this order: elevation, polarisation, a blocked path, cable "
                             "and power, frequency");
        break;
    }
}

static enum step_outcome sweep_update(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    if (step_answered(context)) {
        text_copy(context->result, RECORD_TEXT_SIZE, "the operator says that a carrier is found");
        return STEP_IS_DONE;
    }
    if (!context->state->level.known) {
        context->coach->step_t = context->state->t;
        sentence_stay(context->advice, ADVICE_WAIT, UNTIL_SOURCE,
                      "Waiting for a level from the meter.");
        return STEP_GOES_ON;
    }
    if (search(context)) {
        const struct sweep_peak *top = &sweep->peaks[sweep->chosen];
        snprintf(context->result, RECORD_TEXT_SIZE, "carrier%s%s at %.1f %s; %d met",
                 top->id[0] ? " " : "", top->id, top->level,
                 level_unit_symbol(context->state->level.unit, true), sweep->peak_count);
        return STEP_IS_DONE;
    }
    advise(context);
    return STEP_GOES_ON;
}

const struct step_ops step_sweep = {.enter = sweep_enter, .update = sweep_update};
