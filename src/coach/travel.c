#include "coach/travel.h"

#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"
#include "sky/angle.h"

/* A hand has stopped when a sensor's readings agree for this long. */
static const double still_s = 0.8;
static const double still_noises = 4.0;
/* In wind they never do: a longer while, and how much of the spread may be drift. */
static const double sway_s = 3.0, sway_drift = 0.25;
/* Of the other axis's sensor: surely moved, and near enough back. */
static const double astray_noises = 5.0, back_noises = 3.0;
static const double least_astray_deg = 0.15;
enum { KNOWN_READINGS = 3, ASTRAY_READINGS = 4, STANDS_READINGS = 50 };
/* Further than this share of what was asked: no hand errs so much. Wind turns less than this. */
static const double far_share = 1.6, slip_noises = 6.0, slip_deg = 0.5;
static const double too_fast = 1.6; /* times the rate that was asked for */
static const double scale_reading_deg = 0.15;
static const double sensor_reading_deg = 0.05;
static const double nothing_deg = 0.005; /* would be told as 0.00 */

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
    default: /* a reading in between does not turn the mount */
        return state->measured.counted_deg[axis];
    }
}

static double sensor_error_deg(const struct state *state, enum axis axis)
{
    double error = state->job->mount.axes[axis].sensor_error_deg;

    return isfinite(error) ? fmax(error, 0.005) : sensor_reading_deg;
}

/* The smallest nudge is an eighth of a turn. */
static double nudge_tolerance(const struct job_axis *mount)
{
    return isfinite(mount->turn_deg) ? mount->turn_deg / 16.0 * 1.01 : 0.02;
}

static double least_tolerance(const struct state *state, enum axis axis)
{
    const struct job_axis *mount = &state->job->mount.axes[axis];

    switch (mount->from) {
    case JOB_FROM_SENSOR:
        /* of the mean over the time that a hand must be still */
        return fmax(0.6 * sensor_error_deg(state, axis), 0.015);
    case JOB_FROM_SCALE:
        return scale_reading_deg;
    default:
        return nudge_tolerance(mount);
    }
}

/* Whether a sensor's newest reading is so near that a hand is told to hold. */
static bool is_near(const struct travel *travel, const struct state *state)
{
    double to_go = travel->target_x - travel_position(state, travel->axis);

    return fabs(to_go) <= 0.5 * travel->tolerance + 0.5 * sensor_error_deg(state, travel->axis);
}

void travel_start(struct travel *travel, const struct state *state, enum axis axis, double target_x,
                  double tolerance)
{
    *travel = (struct travel){
        .axis = axis,
        .target_x = target_x,
        .tolerance = fmax(tolerance, least_tolerance(state, axis)),
        .begun_x = travel_position(state, axis),
        .turn_x = travel_position(state, axis),
    };
}

void travel_hold_if_near(struct travel *travel, const struct state *state)
{
    travel->held =
        state->job->mount.axes[travel->axis].from == JOB_FROM_SENSOR && is_near(travel, state);
}

void travel_count_turns(struct travel *travel, const struct state *state, double tolerance)
{
    const struct job_axis *mount = &state->job->mount.axes[travel->axis];

    travel->counted = mount->from == JOB_FROM_SCALE && isfinite(mount->turn_deg);
    if (travel->counted) {
        travel->tolerance = fmax(tolerance, nudge_tolerance(mount));
    }
}

static bool concerns(const struct record *record, enum axis axis)
{
    return (record->kind == RECORD_ANGLES && isfinite(record->angles.deg[axis])) ||
           (record->kind == RECORD_MOVE && record->move.axis == axis);
}

static void remember(struct travel *travel, const struct state *state)
{
    int i = travel->recent_count++ % TRAVEL_RECENT;

    travel->recent_t[i] = state->t;
    travel->recent_x[i] = travel_position(state, travel->axis);
}

/* The readings of the last while. */
struct stand {
    double mean, spread;
    double drift; /* mean of the newer half minus that of the older */
    bool whole;   /* there are readings for all of that while */
};

static struct stand stand_over(const struct travel *travel, double now, double while_s)
{
    int n = travel->recent_count < TRAVEL_RECENT ? travel->recent_count : TRAVEL_RECENT;
    double least = INFINITY, most = -INFINITY, sum[2] = {0.0, 0.0};
    int count[2] = {0, 0};
    struct stand stand = {.whole = false};

    for (int k = 1; k <= n && !stand.whole; k++) {
        int i = (travel->recent_count - k) % TRAVEL_RECENT;
        int half = now - travel->recent_t[i] < 0.5 * while_s ? 1 : 0;
        least = fmin(least, travel->recent_x[i]);
        most = fmax(most, travel->recent_x[i]);
        sum[half] += travel->recent_x[i];
        count[half]++;
        stand.whole = now - travel->recent_t[i] >= while_s;
    }
    if (count[0] == 0 || count[1] == 0) {
        return (struct stand){.whole = false};
    }
    stand.mean = (sum[0] + sum[1]) / (count[0] + count[1]);
    stand.spread = most - least;
    stand.drift = sum[1] / count[1] - sum[0] / count[0];
    return stand;
}

/*
 * Where it stands: the mean of the last moment's readings when they agree; in wind, of a longer
 * while in which they sway about one place. NaN: the hand moves. A steady motion drifts by half
 * of its spread.
 */
static double still_at(const struct travel *travel, const struct state *state, double *ret_spread)
{
    struct stand now = stand_over(travel, state->t, still_s);

    *ret_spread = 0.0;
    if (now.whole && now.spread <= still_noises * sensor_error_deg(state, travel->axis)) {
        return now.mean;
    }
    now = stand_over(travel, state->t, sway_s);
    *ret_spread = now.spread;
    return now.whole && fabs(now.drift) <= sway_drift * now.spread ? now.mean : NAN;
}

/* More than noise and wind, or than a turn can be told to. */
static double least_move(const struct travel *travel, const struct state *state)
{
    double least = least_tolerance(state, travel->axis);

    return state->job->mount.axes[travel->axis].from == JOB_FROM_SENSOR
               ? fmax(slip_deg, slip_noises * sensor_error_deg(state, travel->axis))
               : least;
}

/* The turn at hand has come to x: is that the way that was asked for, and as far? */
static void judge_turn(struct travel *travel, const struct state *state, double x)
{
    double moved = x - travel->turn_x, asked = travel->target_x - travel->turn_x;
    double least = least_move(travel, state);

    if (travel->slip == TRAVEL_WRONG_WAY && moved * asked < 0.0) {
        travel->turn_x = x;
    } else if (moved * asked < 0.0 && fabs(moved) > least) {
        travel->slip = TRAVEL_WRONG_WAY;
        travel->turn_x = x;
    } else if (fabs(moved) > far_share * fabs(asked) && fabs(moved - asked) > 2.0 * least) {
        travel->slip = TRAVEL_TOO_FAR;
    } else if (fabs(moved) > least) {
        travel->slip = TRAVEL_FINE;
    }
}

/* By a sensor: told to hold where the newest reading is near, arrived where it stands near. */
static bool sensor_update(struct travel *travel, const struct state *state)
{
    double newest = travel->target_x - travel_position(state, travel->axis);
    double mean, spread;

    remember(travel, state);
    mean = still_at(travel, state, &spread);
    judge_turn(travel, state, isfinite(mean) ? mean : travel_position(state, travel->axis));
    if (isfinite(mean)) {
        travel->turn_x = mean;
        travel->held = fabs(travel->target_x - mean) <= fmax(travel->tolerance, 0.2 * spread);
        travel->arrived = travel->held;
    } else if (is_near(travel, state)) {
        travel->held = true;
    } else if (fabs(newest) > travel->tolerance + 3.0 * sensor_error_deg(state, travel->axis)) {
        travel->held = false;
    }
    return travel->arrived;
}

bool travel_update(struct travel *travel, const struct state *state, const struct record *record)
{
    double here = travel_position(state, travel->axis);
    bool near = fabs(travel->target_x - here) <= travel->tolerance;

    if (travel->arrived) {
        return true;
    }
    if (state->job->mount.axes[travel->axis].from == JOB_FROM_SENSOR) {
        return concerns(record, travel->axis) && sensor_update(travel, state);
    }
    if (concerns(record, travel->axis)) {
        judge_turn(travel, state, here);
        travel->turn_x = here;
    }
    /* it already stood there, or has been moved there */
    travel->arrived = near && (travel->begun_x == here || concerns(record, travel->axis));
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
        sentence_why(advice, _("that is %.1f° on the scale; say %s and what it shows"),
                     sentence_number(job_scale_from_true(mount, deg), 1),
                     travel->axis == AXIS_AZIMUTH     ? "az"
                     : travel->axis == AXIS_ELEVATION ? "el"
                                                      : "skew");
    }
}

/* What went wrong is said first, and then what makes it good. */
static void say_slip(const struct travel *travel, struct advice *advice)
{
    char turn[RECORD_TEXT_SIZE];

    if (travel->slip == TRAVEL_FINE) {
        return;
    }
    text_copy(turn, sizeof turn, advice->say);
    text_copy(advice->say, sizeof advice->say,
              travel->slip == TRAVEL_WRONG_WAY ? _("That was the wrong way.")
                                               : _("That was too far."));
    text_append(advice->say, sizeof advice->say, " %s", turn);
}

void travel_advise(const struct travel *travel, const struct state *state, const char *sentence,
                   struct advice *advice)
{
    double spread, mean = still_at(travel, state, &spread);
    double to_go =
        travel->target_x - (isfinite(mean) ? mean : travel_position(state, travel->axis));

    advice->until = UNTIL_ARRIVED;
    if (!isfinite(to_go)) {
        advice->axis = travel->axis;
        sentence_stay(advice, ADVICE_WAIT, UNTIL_SOURCE, _("Waiting for a reading of the %s."),
                      axis_word(travel->axis));
        return;
    }
    if (travel->arrived || travel->held || fabs(to_go) < nothing_deg) {
        advice->axis = travel->axis;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_ARRIVED, _("Hold it there."));
        return;
    }
    sentence_turn(advice, state->job, travel->axis, to_go, sentence);
    say_slip(travel, advice);
    if (!travel->counted) {
        advise_scale(travel, state, advice);
    }
}

/* How fast the axis turns, deg/s over the last second; NaN = not by a sensor, or not known yet. */
static double speed_of(const struct travel *travel)
{
    int n = travel->recent_count < TRAVEL_RECENT ? travel->recent_count : TRAVEL_RECENT;
    int last = (travel->recent_count + TRAVEL_RECENT - 1) % TRAVEL_RECENT;

    for (int k = 2; k <= n; k++) {
        int i = (travel->recent_count - k) % TRAVEL_RECENT;
        double dt = travel->recent_t[last] - travel->recent_t[i];
        if (dt >= 1.0 || (k == n && dt > 0.5)) {
            return fabs(travel->recent_x[last] - travel->recent_x[i]) / dt;
        }
    }
    return NAN;
}

bool travel_say_slower(const struct travel *travel, const struct state *state, double rate_deg_s,
                       struct advice *advice)
{
    double speed = speed_of(travel);

    if (!(speed > too_fast * rate_deg_s) || advice->move > ADVICE_ANTICLOCKWISE) {
        return false;
    }
    sentence_turn(advice, state->job, travel->axis,
                  travel->target_x - travel_position(state, travel->axis), _("%s, more slowly."));
    sentence_why(advice, _("%.1f° a second is too fast for this meter, %.1f° will do"), speed,
                 rate_deg_s);
    return true;
}

/* --- the other axis ------------------------------------------------------------------------- */

void travel_other_start(struct travel_other *other, const struct state *state, enum axis axis)
{
    *other = (struct travel_other){.axis = AXIS_NONE};
    if (axis != AXIS_SKEW) {
        other->axis = axis == AXIS_AZIMUTH ? AXIS_ELEVATION : AXIS_AZIMUTH;
        other->sensed = state->job->mount.axes[other->axis].from == JOB_FROM_SENSOR;
        other->x = other->sensed ? 0.0 : travel_position(state, other->axis);
    }
}

/* What is said to have been turned is turned back; a scale that is read only tells where it stands.
 */
static bool told_update(struct travel_other *other, const struct state *state,
                        const struct record *record)
{
    double here = travel_position(state, other->axis);

    if (record->kind == RECORD_ANGLES && !other->astray) {
        other->x = here;
    }
    other->astray = fabs(here - other->x) > least_tolerance(state, other->axis);
    return other->astray;
}

bool travel_other_update(struct travel_other *other, const struct state *state,
                         const struct record *record)
{
    double error, here, limit;

    if (other->axis == AXIS_NONE || !concerns(record, other->axis)) {
        return other->astray;
    }
    if (!other->sensed) {
        return told_update(other, state, record);
    }
    error = hypot(sensor_error_deg(state, other->axis), sqrt(other->squares));
    here = travel_position(state, other->axis);
    limit = other->astray ? back_noises * error : fmax(astray_noises * error, least_astray_deg);
    if (other->count >= KNOWN_READINGS && (fabs(here - other->x) > limit) != other->astray) {
        if (++other->off >= ASTRAY_READINGS) {
            other->astray = !other->astray;
            other->off = 0;
        }
        return other->astray;
    }
    other->off = 0;
    if (!other->astray) {
        double off = other->count > 0 ? here - other->x : 0.0;
        other->count += other->count < STANDS_READINGS;
        other->squares += (off * off - other->squares) / other->count;
        other->x += (here - other->x) / other->count;
    }
    return other->astray;
}

void travel_other_advise(const struct travel_other *other, const struct state *state,
                         struct advice *advice)
{
    sentence_turn(advice, state->job, other->axis, other->x - travel_position(state, other->axis),
                  _("%s, back to where it was."));
    sentence_why(advice, _("that was the wrong bolt: the %s has moved"), axis_word(other->axis));
}
