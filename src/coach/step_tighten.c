/* Fasten the bolts: watch the level, say which way the antenna gave, and allow for it. */
#include "coach/step.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/tighten_say.h"

/* A loss of this size is to be noticed while a bolt is turned (docs/peaking.md). */
const double tighten_noticed_db = 0.5;
const double tighten_false_alarm_every_s = 600.0;
static const double assumed_noise_db = 0.3;
static const double assumed_sensor_deg = 0.05;
static const double default_limit_db = 0.2;
static const double reference_s = 5.0;
static const int fewest_readings = 5;
/* A loss nearer to the limit than its own error is read on for, but no longer than this. */
static const double longest_check_s = 12.0;
/* While a fall lasts: another place than the one that was said, in widths. */
static const double worth_saying = 0.05;
/* What the sensors show is trusted beyond so many of its standard errors. */
static const double surely = 3.0;
/* Of what wind sways so much is left in a mean over five seconds, when it turns within three:
 * sqrt(2 a (1 - a (1 - exp(-1 / a)))) with a = 3 / 5, the variance of a mean of noise with that
 * correlation. */
static const double sway_share = 0.78;
/* Near its top a lobe falls by so much at one half-power width: 12 (x / width)^2 dB. */
static const double lobe_db = 12.0;
/* Where no sensor tells, an axis is set off by so much, in widths: the flank's slope shows more. */
static const double tried_widths = 0.2;

static double limit_db(const struct step_context *context)
{
    return isfinite(context->step->limit_db) ? context->step->limit_db : default_limit_db;
}

/* --- what is read --------------------------------------------------------------------------- */

static void start_reading(const struct step_context *context, enum tighten_phase phase)
{
    struct tighten *tighten = &context->coach->tighten;

    tighten->phase = phase;
    change_reference_init(&tighten->readings);
    memset(tighten->after, 0, sizeof tighten->after);
    step_read(context, AXIS_NONE, reference_s);
}

static void add_angle(struct tighten_angle *angle, double x)
{
    angle->first = angle->count == 0 ? x : angle->first;
    angle->sum += x - angle->first;
    angle->squares += (x - angle->first) * (x - angle->first);
    angle->count++;
}

/* One more reading, or the sensors' angles beside it. True once enough is in. */
static bool take_reading(const struct step_context *context, struct tighten_angle *angles)
{
    struct tighten *tighten = &context->coach->tighten;
    const struct state *state = context->state;
    const struct record *record = context->record;

    if (state->t < context->coach->dwell.from_t) {
        return false;
    }
    for (int i = 0; i < TIGHTEN_AXES && record->kind == RECORD_ANGLES; i++) {
        if (isfinite(record->angles.deg[i]) && state->job->mount.axes[i].from == JOB_FROM_SENSOR) {
            add_angle(&angles[i], travel_position(state, (enum axis)i));
        }
    }
    if (record->kind != RECORD_LEVEL) {
        return false;
    }
    return change_reference_push(&tighten->readings, record->level.value) ||
           (tighten->readings.count >= fewest_readings &&
            state->t >= context->coach->dwell.until_t);
}

static double width_deg(const struct step_context *context, enum axis axis)
{
    double width = peak_expected_width_deg(context->state, axis);

    return width > 0.0 ? width : 2.0;
}

/* What standing off the top beforehand costs until the bolts are tight, dB. */
static double loss_by_lead(const struct step_context *context)
{
    double loss = 0.0;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double widths = context->coach->tighten.lead_deg[i] / width_deg(context, (enum axis)i);
        loss += lobe_db * widths * widths;
    }
    return loss;
}

static void begin_watch(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    const struct level_filter *filter = &context->state->level.filter;
    double noise = change_reference_noise(&tighten->readings);
    double period_s = level_filter_period_s(filter);
    struct change_plan plan = {.false_alarm_every_s = tighten_false_alarm_every_s,
                               .period_s = period_s};

    if (tighten->round == 0) {
        tighten->reference = change_reference_level(&tighten->readings);
        tighten->reference_error = change_reference_error(&tighten->readings);
        tighten->per_db = peak_unit_per_db(context->state, tighten->reference);
    }
    plan.reference = tighten->reference - tighten->per_db * loss_by_lead(context);
    plan.reference_error = isfinite(tighten->reference_error) ? tighten->reference_error : 0.0;
    plan.noise = noise > 0.0 ? noise : assumed_noise_db * tighten->per_db;
    plan.fall = tighten_noticed_db * tighten->per_db;
    tighten->phase = TIGHTEN_WATCH;
    tighten->falling = false;
    tighten->round++;
    change_plan_watch(&tighten->change, &plan);
    tighten->delay_s = change_delay(&plan, plan.fall) * (isfinite(period_s) ? period_s : 0.5);
}

static void tighten_enter(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;

    *tighten = (struct tighten){.reference = NAN, .blind = {.axis = AXIS_NONE}};
    start_reading(context, TIGHTEN_REFERENCE);
}

/* --- which way it went ---------------------------------------------------------------------- */

static double mean_deg(const struct tighten_angle *angle)
{
    return angle->first + angle->sum / angle->count;
}

/* 1 sd of what wind sways, beyond what a sensor's noise may show by chance (2 sd of a variance from
 * so many readings). */
static double sway_deg(const struct tighten_angle *angle, double sensor_deg)
{
    double mean = angle->sum / angle->count, chance = 2.0 * sqrt(2.0 / angle->count);
    double variance = angle->squares / angle->count - mean * mean;

    return variance > (1.0 + chance) * sensor_deg * sensor_deg ? sqrt(variance) : 0.0;
}

/* Degrees that an axis has moved since the reference, by its sensor; 0 = not surely any. */
static double drift_deg(const struct step_context *context, enum axis axis)
{
    const struct tighten *tighten = &context->coach->tighten;
    const struct tighten_angle *before = &tighten->before[axis], *after = &tighten->after[axis];
    double sensor = context->state->job->mount.axes[axis].sensor_error_deg, noise, sway, moved;

    if (before->count < 3 || after->count < 3) {
        return 0.0;
    }
    sensor = isfinite(sensor) ? sensor : assumed_sensor_deg;
    noise = sensor * sqrt(1.0 / before->count + 1.0 / after->count);
    /* after it the same wind; there a bolt may be turning it */
    sway = sway_share * sqrt(2.0) * sway_deg(before, sensor);
    moved = mean_deg(after) - mean_deg(before);
    return fabs(moved) > surely * hypot(noise, sway) ? moved : 0.0;
}

/* What the sensors say is lost, if it stood at the top before, dB. */
static double loss_by_angle(const struct step_context *context)
{
    double loss = 0.0;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double widths = drift_deg(context, (enum axis)i) / width_deg(context, (enum axis)i);
        loss += lobe_db * widths * widths;
    }
    return loss;
}

/* How far off such a loss is, about; 0 = nothing is lost. */
static double off_deg(const struct step_context *context, double loss_db)
{
    return width_deg(context, AXIS_ELEVATION) * sqrt(fmax(loss_db, 0.0) / lobe_db);
}

/* --- allowing for it ------------------------------------------------------------------------ */

/* An axis is to stand so much further before it is fastened; without a sensor, come to from the
 * side that it was peaked from. */
static void plan_move(const struct step_context *context, enum axis axis, double deg)
{
    struct tighten *tighten = &context->coach->tighten;
    const struct job_axis *mount = &context->state->job->mount.axes[axis];
    double target_x = travel_position(context->state, axis) + deg;
    double play =
        isfinite(mount->backlash_deg) ? 1.5 * mount->backlash_deg : 0.1 * width_deg(context, axis);

    tighten->lead_deg[axis] += deg;
    if (mount->from == JOB_FROM_SENSOR) {
        /* what the fastening did to it springs back when it is eased */
        target_x = mean_deg(&tighten->before[axis]) + tighten->lead_deg[axis];
    } else if (deg < 0.0) {
        tighten->legs[tighten->leg_count].axis = axis;
        tighten->legs[tighten->leg_count++].target_x = target_x - play;
    }
    tighten->legs[tighten->leg_count].axis = axis;
    tighten->legs[tighten->leg_count++].target_x = target_x;
}

static void start_leg(const struct step_context *context)
{
    const struct tighten *tighten = &context->coach->tighten;
    enum axis axis = tighten->legs[tighten->leg].axis;

    travel_start(&context->coach->travel, context->state, axis,
                 tighten->legs[tighten->leg].target_x, 0.02 * width_deg(context, axis));
}

static void counter_by_sensor(const struct step_context *context)
{
    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double moved = drift_deg(context, (enum axis)i);
        if (fabs(moved) > 0.03 * width_deg(context, (enum axis)i)) {
            plan_move(context, (enum axis)i, -moved);
        }
    }
}

/* The axis without a sensor that loses the most a degree, leaving one out; AXIS_NONE = none. */
static enum axis steepest_blind(const struct step_context *context, enum axis without)
{
    enum axis best = AXIS_NONE;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        if (i != (int)without && context->state->job->mount.axes[i].from != JOB_FROM_SENSOR &&
            (best == AXIS_NONE || width_deg(context, (enum axis)i) < width_deg(context, best))) {
            best = (enum axis)i;
        }
    }
    return best;
}

/*
 * No sensor tells: try. In half-power widths the loss was 12 (x^2 + y^2) dB; with y set off by a it
 * is 12 (x^2 + (y + a)^2), and the two together tell y, and x but for its sign.
 */
static void counter_by_trying(const struct step_context *context, double loss)
{
    struct tighten *tighten = &context->coach->tighten;
    double a = tighten->blind.widths, off, y, x;

    switch (tighten->blind.tries++) {
    case 0:
        tighten->blind.axis = steepest_blind(context, AXIS_NONE);
        tighten->blind.other = steepest_blind(context, tighten->blind.axis);
        tighten->blind.loss_db = loss;
        tighten->blind.widths = fmax(sqrt(loss / lobe_db), tried_widths);
        if (tighten->blind.axis != AXIS_NONE) {
            plan_move(context, tighten->blind.axis,
                      tighten->blind.widths * width_deg(context, tighten->blind.axis));
        }
        return;
    case 1:
        y = ((loss - tighten->blind.loss_db) / lobe_db - a * a) / (2.0 * a);
        off = sqrt(tighten->blind.loss_db / lobe_db);
        y = fmin(fmax(y, -off), off);
        x = sqrt(off * off - y * y);
        plan_move(context, tighten->blind.axis, -(y + a) * width_deg(context, tighten->blind.axis));
        if (tighten->blind.other != AXIS_NONE && lobe_db * x * x > limit_db(context)) {
            tighten->blind.widths = x;
            plan_move(context, tighten->blind.other, x * width_deg(context, tighten->blind.other));
        } else {
            tighten->blind.other = AXIS_NONE;
        }
        return;
    case 2:
        if (tighten->blind.other != AXIS_NONE) {
            plan_move(context, tighten->blind.other,
                      -2.0 * a * width_deg(context, tighten->blind.other));
        }
        return;
    default:
        return;
    }
}

/* --- the verdict ---------------------------------------------------------------------------- */

/* So near to the limit that more readings may turn it. */
static bool is_open(const struct step_context *context)
{
    const struct tighten *tighten = &context->coach->tighten;

    return fabs(tighten->loss_db - limit_db(context)) < tighten->loss_error_db &&
           tighten->readings.count < CHANGE_REFERENCE &&
           context->state->t < context->coach->dwell.from_t + longest_check_s;
}

static void say_tight(const struct step_context *context, double level, double lost)
{
    const char *unit = level_unit_symbol(context->state->level.unit, true);
    double limit = limit_db(context) * context->coach->tighten.per_db;

    if (lost > 0.0) {
        snprintf(context->result, RECORD_TEXT_SIZE,
                 _("tight at %.2f %s, %.2f below the level before; %.2f are allowed"), level, unit,
                 lost, limit);
    } else {
        snprintf(context->result, RECORD_TEXT_SIZE, _("tight at %.2f %s, nothing was lost"), level,
                 unit);
    }
}

static enum step_outcome judge(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    const char *unit = level_unit_symbol(context->state->level.unit, true);
    double peaked = context->coach->learned.peak_level, before = tighten->reference;
    double moved[] = {drift_deg(context, AXIS_AZIMUTH), drift_deg(context, AXIS_ELEVATION)};
    double level = change_reference_level(&tighten->readings), loss, error, drifted;

    if (peaked - before > limit_db(context) * tighten->per_db) {
        before = peaked; /* it was lost between the peaking and the bolts */
    }
    loss = (before - level) / tighten->per_db;
    error = hypot(change_reference_error(&tighten->readings), tighten->reference_error) /
            tighten->per_db;
    drifted = loss_by_angle(context);
    tighten->judged_from = before;
    tighten->loss_db = loss;
    tighten->loss_error_db = error;
    if (is_open(context)) {
        return STEP_GOES_ON;
    }
    if (loss <= limit_db(context) && drifted <= 0.5 * limit_db(context)) {
        say_tight(context, level, before - level);
        return STEP_IS_DONE;
    }
    tighten->leg = tighten->leg_count = 0;
    if (tighten->round < TIGHTEN_ROUNDS) {
        counter_by_sensor(context);
        if (tighten->leg_count == 0) {
            counter_by_trying(context, fmax(loss, 0.5 * limit_db(context)));
        }
    }
    if (tighten->leg_count > 0) {
        tighten->phase = TIGHTEN_EASE;
        start_leg(context);
        return STEP_GOES_ON;
    }
    snprintf(context->result, RECORD_TEXT_SIZE, _("tightened, but %.2f %s below the level before."),
             before - level, unit);
    tighten_say_drift(context->state->job, moved, off_deg(context, loss), context->result);
    return STEP_SENDS_BACK;
}

/* --- the step ------------------------------------------------------------------------------- */

/* What is to be said of a fall: figures that twitch would only be noise to the ear. */
static void note_fall(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    double loss_db = change_fall(&tighten->change) / tighten->per_db;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double moved = drift_deg(context, (enum axis)i);
        if (fabs(moved - tighten->said.deg[i]) > worth_saying * width_deg(context, (enum axis)i) ||
            (moved != 0.0 && tighten->said.deg[i] == 0.0)) {
            tighten->said.deg[i] = moved;
        }
    }
    if (fabs(loss_db - tighten->said.loss_db) > 0.5 * tighten_noticed_db) {
        tighten->said.loss_db = loss_db;
        tighten->said.off_deg = off_deg(context, loss_db);
    }
}

static void watch(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;

    if (step_answered(context)) {
        start_reading(context, TIGHTEN_CHECK);
    } else if (context->record->kind == RECORD_LEVEL) {
        /* once rung it rings until the fall is over: no flicker */
        bool rings = change_push(&tighten->change, context->record->level.value);
        if (rings && !tighten->falling) {
            memset(tighten->after, 0, sizeof tighten->after);
            memset(&tighten->said, 0, sizeof tighten->said);
        }
        tighten->falling = rings || (tighten->falling && tighten->change.sum > 0.0);
    } else if (tighten->falling) {
        take_reading(context, tighten->after);
    }
    if (tighten->falling) {
        note_fall(context);
    }
}

static void ease(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;

    if (!travel_update(&context->coach->travel, context->state, context->record)) {
        return;
    }
    tighten->leg++;
    if (tighten->leg < tighten->leg_count) {
        start_leg(context);
    } else {
        begin_watch(context);
    }
}

static enum step_outcome tighten_update(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    enum step_outcome outcome = STEP_GOES_ON;

    switch (tighten->phase) {
    case TIGHTEN_REFERENCE:
        if (take_reading(context, tighten->before)) {
            begin_watch(context);
        }
        break;
    case TIGHTEN_WATCH:
        watch(context);
        break;
    case TIGHTEN_CHECK:
        if (take_reading(context, tighten->after)) {
            outcome = judge(context);
        }
        break;
    case TIGHTEN_EASE:
        ease(context);
        break;
    }
    if (outcome == STEP_GOES_ON) {
        tighten_say(context);
    }
    return outcome;
}

const struct step_ops step_tighten = {.enter = tighten_enter, .update = tighten_update};
