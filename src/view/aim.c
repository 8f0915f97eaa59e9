#include "view/aim.h"

#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/coach.h"
#include "sky/angle.h"

const double aim_old_s = 3.0;

/* Below this there is nothing to turn: it rounds to 0.00. */
static const double there_deg = 0.005;
/* For an antenna whose beam is not known. */
static const double guessed_width_deg = 3.0;
/* So near to its peak it stands there: a tenth of the beam costs 0.12 dB (a parabola of 3 dB at
 * half a width), a degree of skew leaves 35 dB of isolation (-20 log tan). */
static const double peak_share = 0.1, peak_skew_deg = 1.0;

static double width_deg(const struct state *state, enum axis axis)
{
    double width = NAN;
    struct beam beam;

    if (job_beam(state->job, state->target.deg[AXIS_SKEW], &beam)) {
        width = axis == AXIS_AZIMUTH
                    ? beam_azimuth_width_deg(&beam, state->target.deg[AXIS_ELEVATION])
                    : beam_elevation_width_deg(&beam);
    }
    return isfinite(width) ? width : guessed_width_deg;
}

/*
 * The receiver names the target, so the antenna looks at it to within its beam: a sensor or a scale
 * that says it is further off is itself off, and a way to turn by it would contradict the coach.
 */
static bool misleads(const struct state *state, enum axis axis, double to_go)
{
    if (axis == AXIS_SKEW || state->job->mount.axes[axis].from == JOB_FROM_NUDGES) {
        return false;
    }
    return job_names(&state->job->target.satellite, state_carrier(state)) &&
           fabs(to_go) > width_deg(state, axis);
}

static bool finds_by_level(const struct procedure_step *step)
{
    return step->act == DO_SWEEP || step->act == DO_PEAK || step->act == DO_NULL;
}

/* Which step of the procedure is at hand; -1 = none. */
static int step_at_hand(const struct face_scene *scene)
{
    int number = isfinite(scene->state->step_t) ? scene->state->step.number : 0;

    return number <= (int)scene->procedure->step_count ? number - 1 : -1;
}

/* So far off its peak an axis was set, to be pulled there by its bolts; a sensor sees it come. */
static double lead_deg(const struct face_scene *scene, enum axis axis)
{
    bool leads =
        (int)axis < TIGHTEN_AXES && scene->state->job->mount.axes[axis].from != JOB_FROM_SENSOR;

    return leads ? scene->coach->tighten.lead_deg[axis] : 0.0;
}

/* Whether the coach has found the axis' peak in a step that lies behind, and how far off it is. */
static bool is_peaked(const struct face_scene *scene, enum axis axis, double *ret_deg)
{
    double peak_x = scene->coach ? scene->coach->learned.peak_x[axis] : NAN;

    for (int i = step_at_hand(scene) - 1; i >= 0 && isfinite(peak_x); i--) {
        const struct procedure_step *step = &scene->procedure->steps[i];
        if (step->axis == axis && (step->act == DO_PEAK || step->act == DO_NULL)) {
            *ret_deg = peak_x + lead_deg(scene, axis) - travel_position(scene->state, axis);
            return true;
        }
    }
    return false;
}

static bool is_turned_by_level(const struct face_scene *scene, enum axis axis)
{
    int at = step_at_hand(scene);

    return at >= 0 && finds_by_level(&scene->procedure->steps[at]) &&
           isfinite(scene->state->advice_t) && scene->state->advice.axis == axis;
}

/* Bolts pull an axis aside, and the coach lets it stand off its peak for that beforehand. */
static bool is_tightened(const struct face_scene *scene)
{
    int at = step_at_hand(scene);

    return at >= 0 && scene->procedure->steps[at].act == DO_TIGHTEN;
}

static struct aim turn_by(double deg)
{
    return fabs(deg) < there_deg ? (struct aim){AIM_THERE, NAN} : (struct aim){AIM_TURN, deg};
}

struct aim aim_of(const struct face_scene *scene, double t, enum axis axis)
{
    const struct state *state = scene->state;
    double to_go = state_to_go_deg(state, axis) - state->measured.nudged_deg[axis], off;
    double advised = isfinite(state->advice_t) && state->advice.axis == axis
                         ? advice_signed_deg(&state->advice)
                         : NAN;

    /* a scale is read when it is read; a sensor is expected to go on talking */
    if (state->job->mount.axes[axis].from == JOB_FROM_SENSOR && isfinite(to_go) &&
        t - state->measured.t[axis] > aim_old_s) {
        return (struct aim){AIM_OLD, NAN};
    }
    if (isfinite(advised)) {
        return turn_by(advised);
    }
    if (is_turned_by_level(scene, axis)) {
        return (struct aim){AIM_BY_LEVEL, NAN};
    }
    if (is_peaked(scene, axis, &off)) {
        if (is_tightened(scene)) {
            return (struct aim){AIM_BY_LEVEL, NAN};
        }
        bool there =
            fabs(off) <= (axis == AXIS_SKEW ? peak_skew_deg : peak_share * width_deg(state, axis));
        return there ? (struct aim){AIM_PEAKED, NAN} : turn_by(off);
    }
    if (!isfinite(to_go)) {
        return (struct aim){AIM_UNKNOWN, NAN};
    }
    return misleads(state, axis, to_go) ? (struct aim){AIM_MISLED, fabs(to_go)} : turn_by(to_go);
}

const char *aim_words(enum aim_kind kind, enum axis axis)
{
    switch (kind) {
    case AIM_THERE:
        return _("there");
    case AIM_BY_LEVEL:
        return _("by the level");
    case AIM_PEAKED:
        /* TRANSLATORS: of skew, when it was found good or left as it was set */
        return axis == AXIS_SKEW ? _("well set") : _("at its peak");
    default:
        return "";
    }
}

double aim_magnetic_deg(const struct state *state)
{
    return state->field_known && state->target.known
               ? angle_wrap_deg(state->target.deg[AXIS_AZIMUTH] - state->field.declination_deg)
               : NAN;
}

bool aim_say_compass(const struct state *state, char ret_text[AIM_TEXT_SIZE])
{
    double magnetic = aim_magnetic_deg(state), declination = state->field.declination_deg;

    ret_text[0] = '\0';
    if (isfinite(magnetic)) {
        text_append(ret_text, AIM_TEXT_SIZE,
                    declination < 0.0
                        ? _("On a compass, away from steel: %.1f° (declination %.1f° west)")
                        : _("On a compass, away from steel: %.1f° (declination %.1f° east)"),
                    magnetic, fabs(declination));
    }
    return isfinite(magnetic);
}
