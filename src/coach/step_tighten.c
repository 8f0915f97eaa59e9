/* Fasten the bolts: watch the level, say which way the antenna gave, and allow for it. */
#include "coach/step.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/tighten_rock.h"
#include "coach/tighten_say.h"

/* A loss of this size is to be noticed while a bolt is turned (docs/peaking.md). */
const double tighten_noticed_db = 0.5;
const double tighten_false_alarm_every_s = 600.0;
static const double assumed_noise_db = 0.3;
static const double assumed_sensor_deg = 0.05;
static const double default_limit_db = 0.2;
/* Read for so long; and where pushing will tell more than the level does. */
static const double reference_s = 5.0, short_reference_s = 1.0;
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
/* More than this is not taken for the signal's own doing. */
static const double most_faded_db = 1.5;
/* Near its top a lobe falls by so much at one half-power width: 12 (x / width)^2 dB. */
static const double lobe_db = 12.0;
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
    step_read(context, AXIS_NONE, tighten_rock_may(context) ? short_reference_s : reference_s);
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

/* What standing off the top beforehand costs until the bolts are tight, dB. */
static double loss_by_lead(const struct step_context *context)
{
    double loss = 0.0;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double widths = context->coach->tighten.lead_deg[i] / step_width_deg(context, (enum axis)i);
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

    *tighten = (struct tighten){.reference = NAN, .rested = NAN, .rock = {.axis = AXIS_NONE}};
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
        double widths = drift_deg(context, (enum axis)i) / step_width_deg(context, (enum axis)i);
        loss += lobe_db * widths * widths;
    }
    return loss;
}

/* How far off such a loss is, about; 0 = nothing is lost. */
static double off_deg(const struct step_context *context, double loss_db)
{
    return step_width_deg(context, AXIS_ELEVATION) * sqrt(fmax(loss_db, 0.0) / lobe_db);
}

/* --- allowing for it ------------------------------------------------------------------------ */

/* An axis is to stand so much further before it is fastened; without a sensor, come to from the
 * side that it was peaked from. */
static void plan_move(const struct step_context *context, enum axis axis, double deg)
{
    struct tighten *tighten = &context->coach->tighten;
    const struct job_axis *mount = &context->state->job->mount.axes[axis];
    double target_x = travel_position(context->state, axis) + deg;
    double play = isfinite(mount->backlash_deg) ? 1.5 * mount->backlash_deg
                                                : 0.1 * step_width_deg(context, axis);

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
    double tolerance = 0.02 * step_width_deg(context, axis);

    travel_start(&context->coach->travel, context->state, axis,
                 tighten->legs[tighten->leg].target_x, tolerance);
    travel_count_turns(&context->coach->travel, context->state, tolerance);
}

static void counter_by_sensor(const struct step_context *context)
{
    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double moved = drift_deg(context, (enum axis)i);
        if (fabs(moved) > 0.03 * step_width_deg(context, (enum axis)i)) {
            plan_move(context, (enum axis)i, -moved);
        }
    }
}

static void counter_by_rocking(const struct step_context *context)
{
    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double off = tighten_rock_off_deg(context, (enum axis)i);
        if (off != 0.0) {
            plan_move(context, (enum axis)i, -off);
            tighten_rock_moved(context, (enum axis)i);
        }
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

    if (lost > limit) {
        snprintf(context->result, RECORD_TEXT_SIZE,
                 _("tight at %.2f %s, %.2f below the level before; but it stands at its top, so "
                   "the signal itself has become weaker"),
                 level, unit, lost);
    } else if (lost > 0.0) {
        snprintf(context->result, RECORD_TEXT_SIZE,
                 _("tight at %.2f %s, %.2f below the level before; %.2f are allowed"), level, unit,
                 lost, limit);
    } else {
        snprintf(context->result, RECORD_TEXT_SIZE, _("tight at %.2f %s, nothing was lost"), level,
                 unit);
    }
    tighten_rock_say_result(context);
}

static void say_lost(const struct step_context *context, double lost)
{
    double moved[] = {drift_deg(context, AXIS_AZIMUTH), drift_deg(context, AXIS_ELEVATION)};

    if (tighten_rock_may(context) && tighten_rock_loss_db(context) > limit_db(context)) {
        text_copy(context->result, RECORD_TEXT_SIZE, _("tightened, but not at its top"));
        tighten_rock_say_result(context);
        return;
    }
    snprintf(context->result, RECORD_TEXT_SIZE, _("tightened, but %.2f %s below the level before."),
             lost, level_unit_symbol(context->state->level.unit, true));
    tighten_say_drift(context->state->job, moved, off_deg(context, context->coach->tighten.loss_db),
                      context->result);
}

/* What the level says: into tighten->loss_db. */
static void compare(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    double peaked = context->coach->learned.peak_level, before = tighten->reference;
    double level = change_reference_level(&tighten->readings);

    if (peaked - before > limit_db(context) * tighten->per_db) {
        before = peaked; /* it was lost between the peaking and the bolts */
    }
    tighten->judged_from = before;
    tighten->loss_db = (before - level) / tighten->per_db;
    tighten->loss_error_db =
        hypot(change_reference_error(&tighten->readings), tighten->reference_error) /
        tighten->per_db;
}

/* All is known: it stays so, or is allowed for, or peaked again. */
static enum step_outcome judge(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    double drifted = loss_by_angle(context), limit = limit_db(context);
    double level = change_reference_level(&tighten->readings);
    double lost = tighten->judged_from - level;
    bool rocks = tighten_rock_may(context);

    tighten->rested = level;
    tighten->leg = tighten->leg_count = 0;
    if (tighten->round < TIGHTEN_ROUNDS) {
        if (tighten->loss_db > limit || drifted > 0.5 * limit) {
            counter_by_sensor(context);
        }
        counter_by_rocking(context);
    }
    if (tighten->leg_count > 0) {
        tighten->phase = TIGHTEN_EASE;
        start_leg(context);
        return STEP_GOES_ON;
    }
    if (drifted <= 0.5 * limit && (!rocks || tighten_rock_loss_db(context) <= limit) &&
        (tighten->loss_db <= limit || (rocks && tighten->loss_db <= most_faded_db &&
                                       tighten_rock_most_lost_db(context) <= limit))) {
        say_tight(context, level, lost);
        return STEP_IS_DONE;
    }
    say_lost(context, lost);
    return STEP_SENDS_BACK;
}

/* The level after the bolts was read: is that enough to judge by? */
static enum step_outcome look(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;

    compare(context);
    if (is_open(context)) {
        return STEP_GOES_ON;
    }
    if (tighten->rested - change_reference_level(&tighten->readings) >
        limit_db(context) * tighten->per_db) {
        tighten_rock_ask_all(context); /* a turn went quite another way */
    }
    if (tighten_rock_begin(context)) {
        tighten->phase = TIGHTEN_ROCK;
        return STEP_GOES_ON;
    }
    return judge(context);
}

/* --- the step ------------------------------------------------------------------------------- */

/* What is to be said of a fall: figures that twitch would only be noise to the ear. */
static void note_fall(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    double loss_db = change_fall(&tighten->change) / tighten->per_db;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double moved = drift_deg(context, (enum axis)i);
        if (fabs(moved - tighten->said.deg[i]) >
                worth_saying * step_width_deg(context, (enum axis)i) ||
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
        tighten_rock_ask(context);
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

/* A bolt was turned though nobody had asked for it: what was read since the bolts were tight was
 * read elsewhere, and they are not tight any more. */
static void note_turn(const struct step_context *context)
{
    const struct tighten *tighten = &context->coach->tighten;
    const struct record *record = context->record;

    if (record->kind != RECORD_MOVE || (int)record->move.axis >= TIGHTEN_AXES ||
        tighten->phase == TIGHTEN_EASE) {
        return;
    }
    tighten_rock_forget(context, record->move.axis);
    if (tighten->phase == TIGHTEN_CHECK || tighten->phase == TIGHTEN_ROCK) {
        begin_watch(context);
    }
}

static enum step_outcome tighten_update(const struct step_context *context)
{
    struct tighten *tighten = &context->coach->tighten;
    enum step_outcome outcome = STEP_GOES_ON;

    note_turn(context);
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
        tighten->rock.there |= step_answered(context);
        if (take_reading(context, tighten->after) && !tighten_rock_waits(context)) {
            outcome = look(context);
        }
        break;
    case TIGHTEN_ROCK:
        if (tighten_rock_update(context)) {
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
