#include "coach/step_peak.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"
#include "radio/beam.h"

const double peak_good_enough_db = 0.1;
/* Nearer than this, in widths, is not worth another turn. */
static const double near_enough = 0.025;
/* A cut further aside than this from the middle, in widths, went through the skirt of the lobe. */
static const double most_aside = 0.4;
enum { MOST_CORRECTIONS = 3 };
/* A sensor noisier than this, in widths, can't guide a pass. */
static const double too_noisy = 0.12;
static const double rad = 3.14159265358979323846 / 180.0;

/* --- moves ---------------------------------------------------------------------------------- */

void peak_go(const struct step_context *context, enum peak_phase phase, double x, double tolerance)
{
    struct peak *peak = &context->coach->peak;

    peak->phase = phase;
    travel_start(&context->coach->travel, context->state, peak->axis, x, tolerance);
    travel_count_turns(&context->coach->travel, context->state, tolerance);
}

double peak_runup_deg(const struct state *state, const struct peak *peak)
{
    const struct job_axis *mount = &state->job->mount.axes[peak->axis];
    double least = isfinite(mount->turn_deg) ? mount->turn_deg / 4.0 : 0.0;

    return fmax(isfinite(mount->backlash_deg) ? 1.5 * mount->backlash_deg : 0.25 * peak->width_deg,
                least);
}

struct lobe_prior peak_prior(const struct step_context *context, double noise)
{
    const struct peak *peak = &context->coach->peak;

    struct lobe_prior prior = {
        .width_deg = peak->width_deg,
        .width_known = peak->width_known,
        .noise = noise,
        .is_db = level_unit_is_db(context->state->level.unit),
        .saturation = coach_saturation(context->coach, context->state),
        .uneven = true,
        .unit_per_db = peak_unit_per_db(context->state, context->state->level.filter.level),
    };
    peak_find_neighbours(context->state, peak->axis, &prior);
    return prior;
}

void peak_plan(const struct step_context *context, double middle)
{
    context->coach->peak.middle_x = middle;
    if (context->coach->peak.passes) {
        peak_passes_plan(context, middle);
    } else {
        peak_stations_plan(context, middle);
    }
}

/* Down past the centre, so that it can be come to from below. */
void peak_return(const struct step_context *context, double centre_x)
{
    struct peak *peak = &context->coach->peak;
    double below = centre_x - peak_flank_deg(peak) - peak_runup_deg(context->state, peak);

    peak->centre_x = centre_x;
    if (travel_position(context->state, peak->axis) < below && peak->passes) {
        peak_go(context, PEAK_CENTRE, centre_x, 0.5 * near_enough * peak->width_deg);
    } else {
        peak_go(context, PEAK_RETURN, below, 0.1 * peak->width_deg);
    }
}

/* Peaking one axis only raises the level that the step before left the other at. */
static double level_before(const struct step_context *context)
{
    const struct coach *coach = context->coach;
    const struct procedure_step *before = coach->at > 0 ? context->step - 1 : context->step;

    return before->act == DO_PEAK && before->axis != context->step->axis &&
                   before->axis != AXIS_SKEW
               ? coach->learned.peak_level
               : NAN;
}

static void peak_enter(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct peak *peak = &coach->peak;
    enum axis axis = context->step->axis;
    const struct job_axis *mount = &context->state->job->mount.axes[axis];
    double width = step_width_deg(context, axis);
    double here = travel_position(context->state, axis);

    *peak = (struct peak){
        .axis = axis,
        .width_deg = width,
        .width_known = isfinite(peak_expected_width_deg(context->state, axis)),
        .before = level_before(context),
        .level = NAN,
        .loss = NAN,
        .top = NAN,
        .known_peak = NAN,
        .fit = {.centre_error_deg = NAN, .width_deg = width},
    };
    travel_other_start(&peak->other, context->state, axis);
    peak->passes =
        mount->from == JOB_FROM_SENSOR && !(mount->sensor_error_deg > too_noisy * peak->width_deg);
    if (isfinite(coach->learned.middle_x[axis])) {
        peak->expected = coach->learned.middle_level;
        peak->fit = (struct lobe_fit){.centre_deg = coach->learned.middle_x[axis],
                                      .centre_error_deg = NAN,
                                      .peak = peak->expected,
                                      .width_deg = peak->width_deg,
                                      .width_seen_deg = NAN};
        peak->middle_x = coach->learned.middle_x[axis];
        if (!peak->passes) {
            peak_stations_begin(context, peak->middle_x, peak->expected);
        }
        peak_return(context, peak->middle_x);
        coach->learned.middle_x[axis] = NAN;
        return;
    }
    here = isfinite(here)
               ? here
               : travel_from_angle(context->state, axis, context->state->target.deg[axis]);
    if (peak->passes) {
        peak_plan(context, here);
    } else {
        peak_stations_enter(context, here);
    }
}

/* --- the top -------------------------------------------------------------------------------- */

static double beam_loss(const struct state *state, const struct beam *beam, double azimuth_deg,
                        double elevation_deg)
{
    return beam_loss_db(beam, azimuth_deg * cos(rad * state->target.deg[AXIS_ELEVATION]),
                        elevation_deg);
}

/* Two cuts tell the middle of a tilted lobe: from the second on go there, not to the cut's top. */
static double join(const struct step_context *context, double centre_x)
{
    struct coach_learned *learned = &context->coach->learned;
    struct peak *peak = &context->coach->peak;
    const struct state *state = context->state;
    enum axis other = peak->axis == AXIS_AZIMUTH ? AXIS_ELEVATION : AXIS_AZIMUTH;
    double there = travel_position(state, other), off[2] = {0.0, 0.0}, middle[2];
    const struct peak_cut *second = &learned->cut[other];
    struct beam beam;

    learned->cut[peak->axis] = (struct peak_cut){true, centre_x, there};
    learned->middle_x[other] = NAN;
    if (!level_unit_is_db(state->level.unit) || !second->known ||
        fabs(second->centre_deg - there) > 0.5 * peak_expected_width_deg(state, other) ||
        fabs(second->other_deg - centre_x) > most_aside * peak->width_deg ||
        !job_beam(state->job, state->target.deg[AXIS_SKEW], &beam) ||
        !peak_join(&beam, cos(rad * state->target.deg[AXIS_ELEVATION]), &learned->cut[AXIS_AZIMUTH],
                   &learned->cut[AXIS_ELEVATION], &middle[AXIS_AZIMUTH], &middle[AXIS_ELEVATION]) ||
        fabs(middle[peak->axis] - centre_x) > 0.5 * peak->width_deg) {
        return centre_x;
    }
    off[other] = there - middle[other];
    off[peak->axis] = centre_x - middle[peak->axis];
    learned->middle_level =
        peak->fit.peak + beam_loss(state, &beam, off[AXIS_AZIMUTH], off[AXIS_ELEVATION]);
    learned->middle_x[other] = middle[other];
    off[peak->axis] = 0.0;
    peak->expected =
        learned->middle_level - beam_loss(state, &beam, off[AXIS_AZIMUTH], off[AXIS_ELEVATION]);
    return middle[peak->axis];
}

void peak_conclude(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;

    if (!isfinite(peak->fit.centre_error_deg) && peak_is_flat(context)) {
        peak_lose(context);
        return;
    }
    peak->expected = peak->fit.peak;
    peak_return(context, join(context, peak->fit.centre_deg));
}

/* By a sensor: the mean of the angles while the level was read says where it stands. */
static bool correct(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    const struct dwell *dwell = &context->coach->dwell;
    double off;

    if (!peak->passes || dwell->x_count == 0 || peak->corrections >= MOST_CORRECTIONS) {
        return false;
    }
    off = peak->centre_x - dwell->x_sum / dwell->x_count;
    if (fabs(off) <= near_enough * peak->width_deg) {
        return false;
    }
    peak->corrections++;
    if (off > 0.0) {
        peak_go(context, PEAK_CENTRE, peak->centre_x, 0.5 * near_enough * peak->width_deg);
    } else {
        peak_return(context, peak->centre_x);
    }
    return true;
}

/* At the centre: good enough, or once more around it. */
static bool verify(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double error = dwell_level_error(&context->coach->dwell);
    double sure = 3.0 * (isfinite(error) ? error : 0.0);

    if (!peak->passes) {
        bool good = peak_stations_verify(context);
        if (good && peak_is_flat(context)) {
            peak_lose(context);
            return false;
        }
        return good;
    }
    if (correct(context)) {
        return false;
    }
    peak->level = dwell_level(&context->coach->dwell);
    /* a meter at its end shows no more than that */
    peak->loss =
        fmin(peak->expected, coach_saturation(context->coach, context->state)) - peak->level;
    if (peak->loss > (level_unit_is_db(context->state->level.unit) ? fmax(peak_good_enough_db, sure)
                                                                   : sure) &&
        peak->round + 1 < PEAK_ROUNDS) {
        peak->round++;
        peak->corrections = 0;
        peak_plan(context, travel_position(context->state, peak->axis));
        return false;
    }
    return true;
}

/* --- the step ------------------------------------------------------------------------------- */

static void say_why(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;
    struct advice *advice = context->advice;

    if (peak->slip != TRAVEL_FINE) {
        sentence_why(
            advice, "%s",
            peak->slip == TRAVEL_WRONG_WAY
                ? _("by the level the last turn seems to have gone the other way")
                : _("by the level the last turn seems to have gone much further than was told"));
        return;
    }
    switch (peak->phase) {
    case PEAK_RUNUP:
        sentence_why(advice, _("every reading is approached from the same side, so that play in "
                               "the mount does not matter"));
        break;
    case PEAK_PASS_UP:
    case PEAK_PASS_DOWN:
        sentence_why(advice, _("over the top and back, so that the meter's lag cancels"));
        break;
    case PEAK_RETURN:
        sentence_why(
            advice,
            _("lobe fit from %d readings; then back to the top, from the same side as always"),
            peak->count - peak->too_fast);
        break;
    case PEAK_CENTRE:
        sentence_why(advice, _("lobe fit: top at %.2f %s"), peak->fit.peak,
                     level_unit_symbol(context->state->level.unit, true));
        break;
    default:
        break;
    }
}

static void advise(const struct step_context *context)
{
    static const char *const sentences[] = {
        [PEAK_RUNUP] = N_("%s, to where the readings begin."),
        [PEAK_PASS_UP] = N_("%s, slowly and evenly."),
        [PEAK_PASS_DOWN] = N_("%s, slowly and evenly."),
        [PEAK_STATION] = N_("%s."),
        [PEAK_RETURN] = N_("%s, past the peak."),
        [PEAK_APPROACH] = N_("%s."),
        [PEAK_STROKE] = N_("%s."),
        [PEAK_CENTRE] = N_("%s, gently."),
    };
    struct coach *coach = context->coach;
    struct peak *peak = &coach->peak;
    struct advice *advice = context->advice;

    if (peak->phase == PEAK_READ || peak->phase == PEAK_FLANK || peak->phase == PEAK_VERIFY) {
        advice->axis = peak->axis;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL, _("Hands off, reading the level."));
        sentence_why(advice, "%s",
                     peak->phase == PEAK_VERIFY ? _("checking that this is the top")
                                                : _("the meter lags behind the hand"));
        return;
    }
    travel_advise(&coach->travel, context->state, _(sentences[peak->phase]), advice);
    if (peak->phase == PEAK_PASS_UP || peak->phase == PEAK_PASS_DOWN) {
        advice->rate = peak->rate;
        travel_say_slower(&coach->travel, context->state, peak->rate, advice);
    }
    if (advice->why[0] == '\0' || peak->phase == PEAK_RETURN) {
        say_why(context);
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
        if (peak->passes) {
            peak_go(context, PEAK_PASS_UP, peak->high_x, 0.02 * peak->width_deg);
        } else {
            peak_stations_go(context);
        }
        return;
    case PEAK_RETURN:
        if (peak->passes) {
            peak_go(context, PEAK_CENTRE, peak->centre_x, 0.5 * near_enough * peak->width_deg);
        } else {
            peak_stations_approach(context);
        }
        return;
    case PEAK_STROKE:
        peak_clipped_climb(context);
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
    if (peak->climbed > 0 && peak->phase != PEAK_READ) {
        step_read_briefly(context, peak->axis);
    } else {
        step_read(context, peak->axis, 0.0);
    }
}

/* A reading is complete. True when the axis is peaked. */
static bool read(const struct step_context *context)
{
    switch (context->coach->peak.phase) {
    case PEAK_READ:
        peak_stations_read(context);
        return false;
    case PEAK_FLANK:
        peak_stations_leave_flank(context);
        return false;
    default:
        return verify(context);
    }
}

static enum step_outcome peak_update(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct peak *peak = &coach->peak;
    bool was_astray = peak->other.astray;

    if (!context->state->level.known) {
        sentence_stay(context->advice, ADVICE_WAIT, UNTIL_SOURCE,
                      _("Waiting for a level from the meter."));
        return STEP_GOES_ON;
    }
    if (step_answered(context) && peak->phase == PEAK_LOST) {
        peak_enter(context); /* seen to what may be wrong */
    } else if (step_answered(context)) {
        snprintf(context->result, RECORD_TEXT_SIZE, _("the operator says that %s is peaked"),
                 axis_word(peak->axis));
        return STEP_IS_DONE;
    }
    if (travel_other_update(&peak->other, context->state, context->record)) {
        travel_other_advise(&peak->other, context->state, context->advice);
        return STEP_GOES_ON;
    }
    if (!peak->passes) {
        peak_stations_note(context);
    }
    if (peak->phase == PEAK_LOST) {
        return peak_leave(context);
    }
    if (was_astray) {
        /* what was read on the way is worth nothing */
        peak_plan(context, peak->middle_x);
    } else if (peak->phase == PEAK_PASS_UP || peak->phase == PEAK_PASS_DOWN) {
        peak_passes_update(context);
    } else if (!reads(peak->phase)) {
        if (travel_update(&coach->travel, context->state, context->record)) {
            arrive(context);
        }
    } else if (disturbed(context)) {
        step_read(context, peak->axis, 0.0);
    } else if (dwell_update(&coach->dwell, context->state, context->record) && read(context)) {
        return peak_end(context);
    }
    if (peak->phase == PEAK_LOST) {
        return peak_leave(context);
    }
    advise(context);
    return STEP_GOES_ON;
}

const struct step_ops step_peak = {.enter = peak_enter, .update = peak_update};
