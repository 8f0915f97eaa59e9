/*
 * Search: lines of constant elevation along the azimuth until the target is met, or until what was
 * met tells where it must be. Where a sensor tells the azimuth every reading has its place; where
 * only a scale or the bolt's turns do, the hand turns evenly, time stands for the angle, and the
 * places follow when the operator says how far it came. Only where levels are typed in one by one
 * the axis goes from station to station.
 */
#include "coach/step.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/known.h"
#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"
#include "coach/sweep_line.h"
#include "coach/sweep_say.h"

static const double listen_s = 2.0;
static const double station_widths = 0.6;
/* How far below the top a carrier must still be noticed: at 3 dB the valleys between neighbours are
 * seen, too. */
static const double fall_db = 3.0;
/* An elevation by a sensor; by a scale or a hand; 1 sd (common practice, no source). */
static const double sensed_elevation_sd_deg = 0.6, other_elevation_sd_deg = 1.2;
static const double most_widths_s = 0.8;
static const double typed_period_s = 4.0; /* levels that come more seldom are typed by hand */
static const double telling_s = 6.0;

/* --- plan ------------------------------------------------------------------------------------- */

static struct search_plan make_plan(const struct step_context *context, double width)
{
    const struct state *state = context->state;
    double period_s = level_filter_period_s(&state->level.filter);
    bool sensed = state->job->mount.axes[AXIS_ELEVATION].from == JOB_FROM_SENSOR;
    struct search_job job = {
        .elevation_deg = state->target.deg[AXIS_ELEVATION],
        .compass_deg = 2.0 * state->job->coach.compass_error_deg,
        .elevation_sd_deg = sensed ? sensed_elevation_sd_deg : other_elevation_sd_deg,
        .fall_db = fall_db,
        .period_s = period_s,
        /* two readings on a half-power width will do: lag only shifts them, and is taken off */
        .lag_s = 0.7 * coach_lag_s(context->coach, context->state) + 0.2 * known_or(period_s, 0.5),
        .fastest_deg_s = most_widths_s * width,
    };

    if (!job_beam(state->job, state->target.deg[AXIS_SKEW], &job.beam)) {
        job.beam = beam_make(width, width, 0.0);
    }
    return search_plan_make(&job);
}

static void plan(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    const struct state *state = context->state;
    double period_s = level_filter_period_s(&state->level.filter);

    sweep->width_deg = step_width_deg(context, sweep->axis);
    sweep->plan = make_plan(context, sweep->width_deg);
    sweep->told = state->job->mount.axes[sweep->axis].from != JOB_FROM_SENSOR;
    sweep->stepped = sweep->told && !(period_s <= typed_period_s);
    sweep->fast_start = !job_target_has_id(state->job) || sweep->stepped;
    sweep->span = known_or(context->step->span_deg, sweep->plan.span_deg);
    sweep->whole_middle_x = sweep->middle_x;
    sweep->whole_span = sweep->span;
    sweep->step = station_widths * sweep->width_deg;
    sweep->rate = known_or(context->step->rate_deg_s, sweep->plan.rate_deg_s);
    sweep_finder_init(&sweep->finder, sweep->width_deg, coach_lag_s(context->coach, context->state),
                      level_filter_noise(&state->level.filter), state->level.unit);
}

static void begin(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    const struct state *state = context->state;
    struct arc *arc = &context->coach->arc;
    double target = step_target_x(context, sweep->axis);
    double elevation = state->target.deg[AXIS_ELEVATION];

    *sweep = (struct sweep){.axis = context->step->axis, .turn_t = NAN, .turn_rate = NAN, .way = 1};
    /* where nothing tells the angle, the search once begun stays where it began */
    sweep->middle_x = isfinite(target) ? target
                      : arc->begun     ? arc->origin_x
                                       : known_or(travel_position(state, sweep->axis), 0.0);
    sweep->elevation_x = known_or(travel_from_angle(state, AXIS_ELEVATION, elevation),
                                  arc->begun ? elevation + arc->elevation_offset
                                             : travel_position(state, AXIS_ELEVATION));
    plan(context);
    arc_begin(arc, state, sweep->middle_x, sweep->elevation_x);
}

/* --- a turn that is told afterwards ----------------------------------------------------------- */

static bool tells(const struct step_context *context)
{
    const struct record *record = context->record;
    enum axis axis = context->coach->sweep.axis;

    return (record->kind == RECORD_MOVE && record->move.axis == axis) ||
           (record->kind == RECORD_ANGLES && isfinite(record->angles.deg[axis]));
}

/* The hand said how far it came: the places of this turn follow, counted back from where it is. */
static void settle_turn(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    struct arc *arc = &context->coach->arc;
    double thought = sweep_here(context), now = travel_position(context->state, sweep->axis);
    double times = (now - sweep->turn_x) / (thought - sweep->turn_x);
    double seconds = sweep_turning_s(context);

    if (!(fabs(times) > 0.3 && fabs(times) < 3.0)) {
        times = 1.0; /* hardly turned at all: less than it can tell */
    } else if (seconds > 3.0) {
        sweep->turn_rate = fabs(now - sweep->turn_x) / seconds;
    }
    for (int i = 0; i < arc->top_count; i++) {
        struct sweep_peak *top = &arc->tops[i];
        /* what was passed before this turn was told already */
        if (top->told && (top->x - sweep->turn_x) * sweep->way > 0.0) {
            top->x = now + (top->x - thought) * times;
            top->width_deg *= fabs(times); /* negative: it went the other way */
        }
        top->told = false;
    }
    sweep_finder_settle(&sweep->finder, sweep->turn_t, thought, now, times);
    sweep->turn_t = NAN;
    if (arc->line_count > 0) {
        struct arc_line *line = &arc->lines[arc->line_count - 1];
        line->low = sweep->way < 0 ? fmin(now, line->low < thought ? line->low : now) : line->low;
        line->high =
            sweep->way > 0 ? fmax(now, line->high > thought ? line->high : now) : line->high;
    }
}

/* Stopped at a top: now its place is known, if the hand has told. */
static void stopped(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    if (sweep_is_untold(sweep) && tells(context)) {
        settle_turn(context);
        sweep_finder_turn_round(&sweep->finder);
    } else if (sweep_is_untold(sweep) && context->state->t - sweep->stop_t < telling_s) {
        return;
    }
    sweep->turn_t = NAN;
    if (sweep_choose(context, sweep_worth(context))) {
        sweep_go_to_place(context);
    } else {
        sweep_next_run(context);
    }
}

/* A place was chosen: a hand that turns untold has to stop and tell first. */
static void turn_to_place(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    if (sweep_is_untold(sweep)) {
        sweep->phase = SWEEP_STOP;
        sweep->stop_t = context->state->t;
    } else {
        sweep_go_to_place(context);
    }
}

/* In the middle of a line the hand has told what it turned so far. */
static void go_on_untold(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    double came = travel_position(context->state, sweep->axis) - sweep->turn_x, left;

    settle_turn(context);
    if (came * sweep->way < 0.0) {
        sweep_finder_turn_round(&sweep->finder); /* it is on its way back */
    }
    left = (sweep_line_end(sweep, sweep->way) - travel_position(context->state, sweep->axis)) *
           sweep->way;
    if (left < fmax(0.15 * sweep->span, 0.5 * sweep->width_deg)) {
        sweep_end_run(context);
    } else {
        sweep_run(context, sweep->way);
    }
}

/* --- one record onward ------------------------------------------------------------------------ */

static void next_station(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    sweep->station_x += sweep->way * sweep->step;
    if ((sweep_line_end(sweep, sweep->way) - sweep->station_x) * sweep->way < -0.5 * sweep->step) {
        sweep_end_run(context);
    } else {
        sweep_go(context, SWEEP_RUN, sweep->axis, sweep->station_x, 0.3 * sweep->step);
    }
}

/* A hand that counts turns comes back to about where it was: does the carrier show there? */
static bool arrive_back(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    double period_s = known_or(level_filter_period_s(&context->state->level.filter), 0.5);

    if (sweep->stepped || (!sweep->told && context->coach->arc.chosen >= 0)) {
        return true;
    }
    sweep->phase = SWEEP_CHECK;
    sweep->check_t =
        context->state->t + 2.0 * (coach_lag_s(context->coach, context->state) + period_s);
    return false;
}

/* Between neighbours there is no floor to stand out of: then a name tells. */
static bool is_target_named(const struct state *state)
{
    return job_names(&state->job->target.satellite, state_carrier(state));
}

static bool check(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    const struct sweep_finder *finder = &sweep->finder;
    double level = context->state->level.filter.level;
    /* half of what it rose to: on the flank of the right lobe, not of another one's */
    double rise =
        fmax(finder->rise, 0.5 * (known_or(sweep->goal_level, -INFINITY) - finder->floor));

    if (level > finder->floor + rise || is_target_named(context->state) ||
        context->coach->arc.looked > SWEEP_LOOKS) {
        return true;
    }
    if (context->state->t > sweep->check_t) {
        sweep_look_nearby(context);
    }
    return false;
}

/* True when the antenna stands at the place chosen. */
static bool arrived(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    switch (sweep->phase) {
    case SWEEP_TO_START:
    case SWEEP_NEXT_LINE:
        sweep->strayed = false;
        sweep_finder_turn_round(&sweep->finder);
        sweep_run(context, sweep->way);
        return false;
    case SWEEP_RUN:
        if (sweep->stepped) {
            sweep->phase = SWEEP_READ;
            step_read(context, sweep->axis, 0.0);
        } else {
            sweep_end_run(context);
        }
        return false;
    case SWEEP_BACK_ELEVATION:
        sweep_go(context, SWEEP_BACK, sweep->axis, sweep->goal_x, 0.15 * sweep->step);
        return false;
    default:
        return sweep->phase == SWEEP_BACK && arrive_back(context);
    }
}

static bool far_end_reached(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    double beyond =
        travel_position(context->state, sweep->axis) - sweep_line_end(sweep, sweep->way);

    return !sweep->stepped && sweep->phase == SWEEP_RUN && beyond * sweep->way > 0.0;
}

static void listened(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    plan(context);
    sweep_face_line(context);
    if (fabs(travel_position(context->state, AXIS_ELEVATION) - sweep->elevation_x) >
        0.3 * sweep->plan.step_deg) {
        sweep_go(context, SWEEP_NEXT_LINE, AXIS_ELEVATION, sweep->elevation_x,
                 0.15 * sweep->plan.step_deg);
    } else if (sweep->fast_start) {
        sweep_go_to_start(context);
    } else {
        sweep_run(context, sweep->way);
    }
}

static void read_station(const struct step_context *context)
{
    struct coach *coach = context->coach;

    if (!dwell_update(&coach->dwell, context->state, context->record)) {
        return;
    }
    if (sweep_observe(context, dwell_level(&coach->dwell))) {
        sweep_go_to_place(context);
    } else {
        next_station(context);
    }
}

/* True when the antenna stands at the place chosen. */
static bool search(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct sweep *sweep = &coach->sweep;
    const struct record *record = context->record;

    switch (sweep->phase) {
    case SWEEP_LISTEN:
        if (context->state->t - coach->step_t >= listen_s) {
            listened(context);
        }
        return false;
    case SWEEP_READ:
        read_station(context);
        return false;
    case SWEEP_STOP:
        stopped(context);
        return false;
    case SWEEP_CHECK:
        return check(context);
    case SWEEP_LOST:
        return false;
    default:
        break;
    }
    if (sweep_is_passing(sweep) && !sweep_is_untold(sweep) && !sweep_is_on_line(context)) {
        sweep->strayed = true;
        sweep_go(context, SWEEP_NEXT_LINE, AXIS_ELEVATION, sweep_line_elevation(sweep),
                 0.15 * sweep->plan.step_deg);
        return false;
    }
    if (sweep_is_passing(sweep) && !sweep->stepped && record->kind == RECORD_LEVEL &&
        sweep_observe(context, record->level.value)) {
        turn_to_place(context);
        return false;
    }
    if (sweep_is_passing(sweep) && sweep_is_untold(sweep) && tells(context)) {
        go_on_untold(context);
        return false;
    }
    return (travel_update(&coach->travel, context->state, record) || far_end_reached(context)) &&
           arrived(context);
}

/* --- the step --------------------------------------------------------------------------------- */

/* Sent back from a place that was not the target's: on to the next one. */
static void resume(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    struct arc *arc = &context->coach->arc;

    arc->resume = false;
    sweep->turn_t = NAN;
    sweep_finder_turn_round(&sweep->finder);
    if (arc->looked > SWEEP_LOOKS) {
        sweep_lose(context);
    } else if (sweep_choose(context, sweep_worth(context))) {
        sweep_go_to_place(context);
    } else {
        sweep_next_run(context);
    }
}

/* What was peaked so far may have been another satellite's lobe. */
static void forget_lobe(struct coach_learned *learned)
{
    learned->peak_level = NAN;
    for (int i = 0; i < AXIS_COUNT; i++) {
        learned->peak_x[i] = NAN;
        learned->middle_x[i] = NAN;
    }
    memset(learned->cut, 0, sizeof learned->cut);
}

static void sweep_enter(const struct step_context *context)
{
    forget_lobe(&context->coach->learned);
    if (context->coach->arc.resume) {
        resume(context);
    } else {
        begin(context);
    }
}

static void say_found(const struct step_context *context)
{
    const struct arc *arc = &context->coach->arc;
    const char *unit = level_unit_symbol(context->state->level.unit, true);
    const char *id = arc->chosen < 0 ? "" : arc->tops[arc->chosen].id;
    double level = context->coach->sweep.goal_level;

    if (arc->chosen < 0) {
        snprintf(context->result, RECORD_TEXT_SIZE,
                 tongue_say_count("where the target should be by the %d carrier met",
                                  "where the target should be by the %d carriers met",
                                  (unsigned long)arc->top_count),
                 arc->top_count);
        return;
    }
    if (id[0] != '\0') {
        snprintf(context->result, RECORD_TEXT_SIZE, _("carrier %s at %.1f %s"), id, level, unit);
    } else {
        snprintf(context->result, RECORD_TEXT_SIZE, _("carrier at %.1f %s"), level, unit);
    }
    if (arc->top_count > 1) {
        text_append(context->result, RECORD_TEXT_SIZE,
                    tongue_say_count("; %d carrier met so far", "; %d carriers met so far",
                                     (unsigned long)arc->top_count),
                    arc->top_count);
    }
}

static enum step_outcome sweep_update(const struct step_context *context)
{
    struct arc *arc = &context->coach->arc;
    bool lost = context->coach->sweep.phase == SWEEP_LOST;

    if (step_answered(context) && !lost) {
        text_copy(context->result, RECORD_TEXT_SIZE,
                  _("the operator says that a carrier is found"));
        return STEP_IS_DONE;
    }
    /* seen to what may be wrong, or gone back: both begin anew */
    if (step_answered(context) || step_heard(context, STEP_BACK)) {
        text_copy(context->result, RECORD_TEXT_SIZE, _("gone back to set the angles anew"));
        return STEP_SETS_UP;
    }
    if (!context->state->level.known) {
        context->coach->step_t = context->state->t;
        sentence_stay(context->advice, ADVICE_WAIT, UNTIL_SOURCE,
                      _("Waiting for a level from the meter."));
        return STEP_GOES_ON;
    }
    if (search(context)) {
        arc->looked++;
        say_found(context);
        return STEP_IS_DONE;
    }
    sweep_say(context);
    return STEP_GOES_ON;
}

/* Asked what next: from the sweep's own start anew would be the same search again. */
static bool hears_back(const struct coach *coach)
{
    return coach->sweep.phase == SWEEP_LOST;
}

const struct step_ops step_sweep = {
    .hears_back = hears_back, .enter = sweep_enter, .update = sweep_update};
