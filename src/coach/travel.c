#include "coach/travel.h"

#include <math.h>

#include "base/text.h"
#include "coach/sentence.h"
#include "sky/angle.h"

/* A hand has stopped when a sensor stays near for this long. */
static const double still_s = 0.8;
static const double scale_reading_deg = 0.15;
static const double sensor_reading_deg = 0.05;

double travel_from_angle(const struct state *state, enum axis axis, double deg)
{
    double about = isfinite(state->target.deg[axis]) ? state->target.deg[axis] : 0.0;

    if (state->job->mount.axes[axis].from == JOB_FROM_NUDGES) {
        return NAN;
    }
    switch (axis) {
    case AXIS_AZIMUTH:
        return about + angle_turn_deg(about, deg);
    case AXIS_SKEW:
        return about + angle_turn_axial_deg(about, deg);
    default:
        return deg;
    }
}

double travel_position(const struct state *state, enum axis axis)
{
    double measured = state->measured.deg[axis];
    double nudged = state->measured.nudged_deg[axis];

    switch (state->job->mount.axes[axis].from) {
    case JOB_FROM_SENSOR:
        return travel_from_angle(state, axis, measured);
    case JOB_FROM_SCALE:
        return isfinite(measured) ? travel_from_angle(state, axis, measured) + nudged : nudged;
    default:
        return nudged;
    }
}

static double least_tolerance(const struct state *state, enum axis axis)
{
    const struct job_axis *mount = &state->job->mount.axes[axis];

    switch (mount->from) {
    case JOB_FROM_SENSOR:
        return isfinite(mount->sensor_error_deg) ? fmax(1.5 * mount->sensor_error_deg, 0.02)
                                                 : sensor_reading_deg;
    case JOB_FROM_SCALE:
        return scale_reading_deg;
    default:
        /* the smallest nudge is an eighth of a turn */
        return isfinite(mount->turn_deg) ? mount->turn_deg / 16.0 * 1.01 : 0.02;
    }
}

void travel_start(struct travel *travel, const struct state *state, enum axis axis, double target_x,
                  double tolerance)
{
    *travel = (struct travel){
        .axis = axis,
        .target_x = target_x,
        .tolerance = fmax(tolerance, least_tolerance(state, axis)),
        .near_t = NAN,
        .begun_x = travel_position(state, axis),
    };
}

static bool concerns(const struct record *record, enum axis axis)
{
    return (record->kind == RECORD_ANGLES && isfinite(record->angles.deg[axis])) ||
           (record->kind == RECORD_MOVE && record->move.axis == axis);
}

bool travel_update(struct travel *travel, const struct state *state, const struct record *record)
{
    double off = fabs(travel->target_x - travel_position(state, travel->axis));
    /* hold is said at half the tolerance and taken back at the whole: no flicker at the edge */
    bool sensed = state->job->mount.axes[travel->axis].from == JOB_FROM_SENSOR;
    bool near = off <= travel->tolerance * (sensed && !isfinite(travel->near_t) ? 0.5 : 1.0);

    if (travel->arrived || (near && travel->near_t != travel->near_t &&
                            travel->begun_x == travel_position(state, travel->axis) && !sensed)) {
        travel->arrived = true; /* it already stood there */
        return true;
    }
    if (!concerns(record, travel->axis)) {
        return false;
    }
    if (!near) {
        travel->near_t = NAN;
        return false;
    }
    if (!sensed) {
        travel->arrived = true;
    } else if (!isfinite(travel->near_t)) {
        travel->near_t = state->t;
    } else if (state->t - travel->near_t >= still_s) {
        travel->arrived = true;
    }
    return travel->arrived;
}

static void advise_scale(const struct travel *travel, const struct state *state,
                         struct advice *advice)
{
    const struct job_axis *mount = &state->job->mount.axes[travel->axis];
    double deg = travel->target_x;

    if (mount->from == JOB_FROM_SCALE && isfinite(state->measured.deg[travel->axis])) {
        if (travel->axis == AXIS_AZIMUTH) {
            deg = angle_wrap_deg(deg);
        }
        sentence_why(advice, "that is %.1f\u00b0 on the scale; say %s and what it shows",
                     job_scale_from_true(mount, deg),
                     travel->axis == AXIS_AZIMUTH     ? "az"
                     : travel->axis == AXIS_ELEVATION ? "el"
                                                      : "skew");
    }
}

void travel_advise(const struct travel *travel, const struct state *state, const char *tail,
                   struct advice *advice)
{
    double to_go = travel->target_x - travel_position(state, travel->axis);

    advice->until = UNTIL_ARRIVED;
    if (!isfinite(to_go)) {
        advice->axis = travel->axis;
        sentence_stay(advice, ADVICE_WAIT, UNTIL_SOURCE, "Waiting for a reading of the %s.",
                      axis_name(travel->axis));
        return;
    }
    if (travel->arrived || (isfinite(travel->near_t) && fabs(to_go) <= travel->tolerance)) {
        advice->axis = travel->axis;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_ARRIVED, "Hold it there.");
        return;
    }
    sentence_turn(advice, state->job, travel->axis, to_go, tail);
    advise_scale(travel, state, advice);
}
