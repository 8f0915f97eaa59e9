#include "coach/sweep_line.h"

#include <math.h>

#include "base/known.h"

static const double reaction_s = 0.5;
/* Likely enough to be looked at where the receiver names carriers; where nothing but the arc tells
 * them apart it has to be nearly sure, or the line complete. */
static const double worth_a_look = 0.25, worth_going = 0.97, likeliest_of_line = 0.6, any = 0.02;
static const double at_end = 0.7; /* of the span */
static const double narrowed_widths = 1.4;
static const double narrow_widths = 0.72, beside_widths = 2.2;

/* --- where ------------------------------------------------------------------------------------ */

/* The hand is turning and has not yet said how far it came. */
bool sweep_is_untold(const struct sweep *sweep)
{
    return sweep->told && !sweep->stepped && isfinite(sweep->turn_t);
}

double sweep_turning_s(const struct step_context *context)
{
    return fmax(context->state->t - context->coach->sweep.turn_t - reaction_s, 0.0);
}

double sweep_here(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    double rate = known_or(sweep->turn_rate, sweep->rate);

    if (!sweep_is_untold(sweep)) {
        return travel_position(context->state, sweep->axis);
    }
    return sweep->turn_x + sweep->way * rate * sweep_turning_s(context);
}

void sweep_go(const struct step_context *context, enum sweep_phase phase, enum axis axis, double x,
              double tolerance)
{
    context->coach->sweep.phase = phase;
    travel_start(&context->coach->travel, context->state, axis, x, tolerance);
}

double sweep_line_end(const struct sweep *sweep, int way)
{
    return sweep->middle_x + way * sweep->span;
}

double sweep_line_elevation(const struct sweep *sweep)
{
    return sweep->elevation_x + sweep->plan.offset_deg[sweep->line];
}

/* A hand may take the wrong bolt, or lean on the antenna. */
bool sweep_is_on_line(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    double off = travel_position(context->state, AXIS_ELEVATION) - sweep_line_elevation(sweep);

    return !(fabs(off) > 0.5 * sweep->plan.step_deg);
}

/* --- along a line ----------------------------------------------------------------------------- */

void sweep_run(const struct step_context *context, int way)
{
    struct sweep *sweep = &context->coach->sweep;

    if (way != sweep->way) {
        sweep_finder_turn_round(&sweep->finder);
    }
    sweep->way = way;
    sweep->turn_x = travel_position(context->state, sweep->axis);
    sweep->turn_t = sweep->told ? context->state->t : NAN;
    sweep->station_x = sweep_line_end(sweep, -way);
    sweep_go(context, SWEEP_RUN, sweep->axis,
             sweep->stepped ? sweep->station_x : sweep_line_end(sweep, way), 0.3 * sweep->step);
}

/* Straight to the end of the line: what is met on the way is not looked at. */
void sweep_go_to_start(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    sweep->way = 1;
    sweep->reached[0] = true;
    sweep_go(context, SWEEP_TO_START, sweep->axis, sweep_line_end(sweep, -1), 0.5 * sweep->step);
}

static bool is_swept(const struct sweep *sweep, int way)
{
    return sweep->reached[way > 0];
}

void sweep_go_to_place(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    sweep->turn_t = NAN;
    if (isfinite(sweep->goal_elevation) &&
        fabs(sweep->goal_elevation - travel_position(context->state, AXIS_ELEVATION)) >
            0.3 * sweep->plan.step_deg) {
        sweep_go(context, SWEEP_BACK_ELEVATION, AXIS_ELEVATION, sweep->goal_elevation,
                 0.1 * sweep->plan.step_deg);
    } else {
        sweep_go(context, SWEEP_BACK, sweep->axis, sweep->goal_x, 0.15 * sweep->step);
    }
}

static void choose_top(const struct step_context *context, int top)
{
    struct arc *arc = &context->coach->arc;
    struct sweep *sweep = &context->coach->sweep;

    arc->chosen = top;
    sweep->goal_x = arc->tops[top].x;
    sweep->goal_elevation = known_or(arc->tops[top].peaked_elevation, arc->tops[top].elevation);
    sweep->goal_level = arc->tops[top].level;
}

static void choose_place(const struct step_context *context, double x)
{
    struct sweep *sweep = &context->coach->sweep;

    context->coach->arc.chosen = -1;
    sweep->goal_x = x;
    sweep->goal_elevation = arc_target_elevation(&context->coach->arc, context->state);
    sweep->goal_level = NAN;
}

/* A side lobe is half as wide as a main one, and bears the same name. Where it is one, or only half
 * of it was seen, the main one would stand within two widths: that far it is worth to go on. */
static bool wants_more(const struct step_context *context, int top)
{
    const struct arc *arc = &context->coach->arc;
    const struct sweep *sweep = &context->coach->sweep;
    const struct sweep_peak *it = &arc->tops[top];

    return sweep_is_passing(sweep) &&
           (it->half || it->width_deg < narrow_widths * arc->width_deg) &&
           fabs(sweep_here(context) - it->x) < beside_widths * arc->width_deg;
}

/* Is there a place to go to now? A top that may be the target's, or one that follows from others.
 */
bool sweep_choose(const struct step_context *context, double worth)
{
    struct arc *arc = &context->coach->arc;
    struct sweep *sweep = &context->coach->sweep;
    double probability, x;
    int top;

    arc_compare(arc, context->state);
    top = arc_likeliest(arc, &probability);
    x = arc_target_x(arc);
    sweep->pending = top >= 0 && probability >= worth && wants_more(context, top);
    if (top >= 0 && probability >= worth && !sweep->pending) {
        choose_top(context, top);
        return true;
    }
    if (isfinite(x) && job_target_has_id(context->state->job) && !arc_is_refused(arc, x)) {
        choose_place(context, x);
        return true;
    }
    return false;
}

/* A place that is only counted in turns is lost soon: there it is looked at every carrier. */
double sweep_worth(const struct step_context *context)
{
    if (!job_target_has_id(context->state->job)) {
        return worth_going;
    }
    return context->coach->sweep.told ? any : worth_a_look;
}

void sweep_lose(const struct step_context *context)
{
    context->coach->sweep.phase = SWEEP_LOST;
    context->coach->lost++;
}

/* Everything was searched: before the sky is called empty each carrier that was met and not looked
 * at is, where the receiver can name it. The strongest first. */
static bool choose_unlooked(const struct step_context *context)
{
    const struct arc *arc = &context->coach->arc;
    const struct job_satellite *target = &context->state->job->target.satellite;
    int best = -1;

    for (int i = 0; i < arc->top_count && job_target_has_id(context->state->job); i++) {
        const struct sweep_peak *top = &arc->tops[i];
        bool is_other = top->id[0] != '\0' && !job_names(target, top->id);
        if (!top->refused && !is_other && !arc_is_refused(arc, top->x) &&
            (best < 0 || top->level > arc->tops[best].level)) {
            best = i;
        }
    }
    if (best < 0 || arc->looked > SWEEP_LOOKS) {
        return false;
    }
    choose_top(context, best);
    return true;
}

/* An end of the line that is at hand is reached already. */
void sweep_face_line(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    double off = travel_position(context->state, sweep->axis) - sweep->middle_x;

    sweep->reached[0] = off < -at_end * sweep->span;
    sweep->reached[1] = off > at_end * sweep->span;
    sweep->way = sweep->reached[1] ? -1 : 1;
}

/* The whole line, from the side that is at hand. */
static void begin_line(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    sweep_face_line(context);
    sweep->way = travel_position(context->state, sweep->axis) > sweep->middle_x ? -1 : 1;
    sweep_go(context, SWEEP_NEXT_LINE, AXIS_ELEVATION, sweep_line_elevation(sweep),
             0.15 * sweep->plan.step_deg);
}

static void next_line(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    struct arc *arc = &context->coach->arc;
    double x = arc_target_x(arc);

    if (sweep_choose(context, sweep->line + 1 < sweep->plan.lines ? likeliest_of_line : any)) {
        sweep_go_to_place(context);
        return;
    }
    if (sweep->nearby) { /* not there either: the whole line after all */
        sweep->nearby = false;
        sweep->middle_x = sweep->whole_middle_x;
        sweep->span = sweep->whole_span;
        sweep->reached[0] = sweep->reached[1] = false;
        sweep_run(context, -sweep->way);
        return;
    }
    if (sweep->line + 1 >= sweep->plan.lines || arc->looked > SWEEP_LOOKS) {
        if (choose_unlooked(context)) {
            sweep_go_to_place(context);
        } else {
            sweep_lose(context);
        }
        return;
    }
    sweep->line++;
    if (isfinite(x)) { /* the azimuth is known by now: only the elevation is looked for */
        sweep->middle_x = x;
        sweep->span = fmin(sweep->span, narrowed_widths * sweep->width_deg);
    }
    begin_line(context);
}

/* The nearer end first that was not yet reached on this line. */
void sweep_next_run(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;

    if (!is_swept(sweep, sweep->way)) {
        sweep_run(context, sweep->way);
    } else if (!is_swept(sweep, -sweep->way)) {
        sweep_run(context, -sweep->way);
    } else {
        next_line(context);
    }
}

/* --- readings --------------------------------------------------------------------------------- */

static void keep_top(const struct step_context *context, const struct sweep_peak *top)
{
    struct sweep_peak kept = *top;

    kept.told = sweep_is_untold(&context->coach->sweep);
    arc_add(&context->coach->arc, context->state, &kept);
}

/* A level at a place. True when there is a place worth going to. */
bool sweep_observe(const struct step_context *context, double level)
{
    struct sweep *sweep = &context->coach->sweep;
    double x = sweep_here(context), elevation = travel_position(context->state, AXIS_ELEVATION);
    struct sweep_peak top;

    if (sweep_is_on_line(context)) {
        arc_swept(&context->coach->arc, sweep_line_elevation(sweep), x, x);
    }
    sweep_finder_hear(&sweep->finder, level_filter_noise(&context->state->level.filter),
                      context->state->level.unit);
    if (!sweep_finder_push(&sweep->finder, context->state->t, x, elevation, level,
                           &context->state->lock, &top)) {
        return sweep->pending && !sweep->finder.inside &&
               sweep_choose(context, sweep_worth(context));
    }
    keep_top(context, &top);
    return sweep_choose(context, sweep_worth(context));
}

void sweep_end_run(const struct step_context *context)
{
    struct sweep *sweep = &context->coach->sweep;
    double x = travel_position(context->state, sweep->axis);
    struct sweep_peak top;

    sweep->turn_t = NAN;
    sweep->reached[sweep->way > 0] = true;
    if (sweep_is_on_line(context)) {
        arc_swept(&context->coach->arc, sweep_line_elevation(sweep),
                  sweep_line_end(sweep, sweep->way), x);
    }
    if (sweep_finder_end(&sweep->finder, &top)) {
        keep_top(context, &top);
        if (sweep_choose(context, sweep_worth(context))) {
            sweep_go_to_place(context);
            return;
        }
    }
    sweep_next_run(context);
}

void sweep_look_nearby(const struct step_context *context)
{
    struct arc *arc = &context->coach->arc;
    struct sweep *sweep = &context->coach->sweep;

    arc->looked++;
    if (arc->chosen >= 0) {
        arc_forget(arc, arc->chosen);
    } else {
        arc_refuse(arc, sweep->goal_x);
    }
    sweep->nearby = true;
    sweep->middle_x = travel_position(context->state, sweep->axis);
    sweep->span = fmin(sweep->whole_span, 2.0 * narrowed_widths * sweep->width_deg);
    sweep->reached[0] = sweep->reached[1] = false;
    sweep_run(context, -sweep->way);
}
