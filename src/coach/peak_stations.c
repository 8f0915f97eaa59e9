/* Where a scale or a count tells the angle: stop and read, always coming from below; the levels say
 * how far each turn really went (peaking/walk.h). */
#include "coach/step_peak.h"

#include <math.h>

/* From one station to the next, and how far the highest must lie past the top, in widths. */
static const double spacing = 0.45, beside = 0.12;
/* Where to read on the way up to the top, so that little is moved blind, and how near is there. */
static const double rung = 0.2, least_stride = 0.05;
/* The meter at its end: where a flank is none yet it is looked for further down (widths). */
static const double deeper_by = 0.1;
/* Of one turn, 1 sd: hands err by 10 to 20 per cent, and tell the bolt's turns to an eighth (common
 * practice, no source). */
static const double hand_share = 0.13, step_turns = 1.0 / 16.0;
static const double guessed_play = 0.08, play_share_sd = 0.4, scale_error_deg = 0.2;
/* Fading slower than a reading. */
static const double fading_db = 0.1;
static const double assumed_noise = 0.3;
static const double middle_error = 0.5, known_middle_error = 0.1; /* widths */
static const double known_width_sd = 0.08, guessed_width_sd = 0.4;
static const double learned_fall_sd = 0.25, usual_fall_sd = 0.5;
static const double known_peak_error_db = 0.15;
/* A turn that the levels contradict by so much, and by this share of it, slipped. */
static const double slip_widths = 0.2, slip_share = 1.6;
/* Good enough, and what can't be one walk any more. */
static const double accepted_db = 0.1, accepted_error = 0.12, misfit = 6.0;
enum { MOST_CORRECTIONS = 2, MOST_ROUNDS = 7, MOST_CLIMBED = 6 };

static struct walk_hand hand_of(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;
    const struct job_axis *mount = &context->state->job->mount.axes[peak->axis];

    return (struct walk_hand){
        .share = hand_share,
        .step_deg =
            isfinite(mount->turn_deg) ? 0.5 * step_turns * mount->turn_deg / sqrt(3.0) : 0.0,
        .play_deg =
            isfinite(mount->backlash_deg) ? mount->backlash_deg : guessed_play * peak->width_deg,
        .play_share_sd = play_share_sd,
    };
}

/* --- the walk ------------------------------------------------------------------------------- */

void peak_stations_note(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    const struct record *record = context->record;
    struct walk_hand hand = hand_of(context);
    double here = travel_position(context->state, peak->axis);

    if (record->kind == RECORD_MOVE && record->move.axis == peak->axis) {
        walk_turn(&peak->walk, here - peak->walk_x, &hand);
    } else if (record->kind == RECORD_ANGLES && isfinite(record->angles.deg[peak->axis])) {
        hand.step_deg = scale_error_deg;
        walk_turn(&peak->walk, here - peak->walk_x, &hand);
    }
    peak->walk_x = here;
}

static void begin_walk(const struct step_context *context, double middle)
{
    struct peak *peak = &context->coach->peak;

    walk_begin(&peak->walk);
    peak->walk_x = travel_position(context->state, peak->axis);
    peak->middle_x = middle;
    peak->walk_middle_x = middle - peak->walk_x;
    peak->count = 0;
    peak->fit.clipped = 0;
}

/* Of a level that was read hands off: 1 sd without the slow fading. */
static double dwell_noise(const struct step_context *context)
{
    double noise = level_filter_noise(&context->state->level.filter);

    return (isfinite(noise) ? noise : assumed_noise) / sqrt(fmax(context->coach->dwell.count, 1.0));
}

/* What the level falls by at one width from the top: 12 dB; in other units as the lobe before has
 * shown it, else as meters usually have it. */
static double fall_prior(const struct step_context *context, double *ret_sd)
{
    const struct peak *peak = &context->coach->peak;
    double top = NAN;

    *ret_sd = 0.0;
    if (level_unit_is_db(context->state->level.unit)) {
        return 12.0;
    }
    if (isfinite(context->coach->learned.fall)) {
        *ret_sd = learned_fall_sd;
        return context->coach->learned.fall;
    }
    for (int i = 0; i < peak->walk.count; i++) {
        top = fmax(top, peak->walk.stop[i].level);
    }
    *ret_sd = usual_fall_sd;
    return 12.0 * peak_unit_per_db(context->state, top);
}

/* Fading slower than a reading. */
static double slow_error(const struct step_context *context)
{
    double sd;

    return fading_db * fall_prior(context, &sd) / 12.0;
}

static int fit_walk(const struct step_context *context, struct walk_fit *ret)
{
    struct peak *peak = &context->coach->peak;
    bool known = isfinite(peak->known_peak);
    double fall_sd, fall = fall_prior(context, &fall_sd);
    struct walk_prior prior = {
        .width_deg = peak->width_deg,
        .width_share_sd = peak->width_known ? known_width_sd : guessed_width_sd,
        .centre_deg = peak->walk_middle_x,
        .centre_error_deg = (known ? known_middle_error : middle_error) * peak->width_deg,
        .peak = peak->known_peak,
        .peak_error = known_peak_error_db,
        .fall = fall,
        .fall_share_sd = fall_sd,
        .saturation = step_end_level(context),
    };

    return walk_fit(&peak->walk, &prior, ret);
}

/* A level was read where it stands. */
static void keep(const struct step_context *context, double level, double noise)
{
    struct peak *peak = &context->coach->peak;
    double most = step_end_level(context);

    walk_read(&peak->walk, level, noise);
    peak->walk.stop[peak->walk.count - 1].level_error = hypot(noise, slow_error(context));
    peak->fit.clipped = 0;
    for (int i = 0; i < peak->walk.count; i++) {
        peak->fit.clipped += peak->walk.stop[i].level >= most;
    }
    peak->count++;
}

/* What the levels before and after it say of the last turn. */
static enum travel_slip slip_of(const struct walk *walk, const struct walk_fit *stand,
                                double width_deg)
{
    int last = walk->count - 1;
    double told, went;

    if (last < 1 || !isfinite(walk->stop[last].level) || !isfinite(walk->stop[last - 1].level)) {
        return TRAVEL_FINE;
    }
    told = walk->stop[last].told_deg;
    went = stand->place_deg[last] - stand->place_deg[last - 1];
    if (fabs(went - told) < slip_widths * width_deg) {
        return TRAVEL_FINE;
    }
    return went * told < 0.0                      ? TRAVEL_WRONG_WAY
           : fabs(went) > slip_share * fabs(told) ? TRAVEL_TOO_FAR
                                                  : TRAVEL_FINE;
}

/* What the walk says of the lobe, with each reading where it was really taken. */
static void show(const struct step_context *context, const struct walk_fit *stand)
{
    struct peak *peak = &context->coach->peak;

    peak->slip = slip_of(&peak->walk, stand, peak->width_deg);
    peak->fit.centre_deg = travel_position(context->state, peak->axis) + stand->to_go_deg;
    peak->fit.centre_error_deg = stand->to_go_error_deg;
    peak->fit.peak = stand->peak;
    peak->fit.peak_error = stand->peak_error;
    peak->flat_deg = sqrt(
        fmax(stand->peak - coach_saturation(context->coach, context->state), 0.0) / stand->curve);
    if (level_unit_is_db(context->state->level.unit)) {
        peak->fit.width_deg = sqrt(12.0 / stand->curve);
    }
    peak->fit.width_seen_deg = NAN;
    peak->count = 0;
    for (int i = 0; i < peak->walk.count; i++) {
        if (isfinite(peak->walk.stop[i].level)) {
            peak->station[peak->count++] =
                (struct lobe_reading){.x_deg = peak->fit.centre_deg + stand->place_deg[i],
                                      .level = peak->walk.stop[i].level};
        }
    }
}

/* --- over the lobe -------------------------------------------------------------------------- */

/* Up to the next station: the play is taken up. */
static void go_up(const struct step_context *context, double by_deg)
{
    double here = travel_position(context->state, context->coach->peak.axis);

    peak_go(context, PEAK_STATION, here + by_deg, 0.4 * by_deg);
}

/* To a station below: down past it first. */
static void go_below(const struct step_context *context, double x)
{
    struct peak *peak = &context->coach->peak;

    peak_go(context, PEAK_RUNUP, x - peak_runup_deg(context->state, peak), 0.15 * peak->width_deg);
}

void peak_stations_begin(const struct step_context *context, double middle, double level)
{
    begin_walk(context, middle);
    context->coach->peak.known_peak = level;
}

void peak_stations_plan(const struct step_context *context, double middle)
{
    peak_stations_begin(context, middle, NAN);
    context->coach->peak.phase = PEAK_READ;
    step_read(context, context->coach->peak.axis, 0.0);
}

void peak_stations_enter(const struct step_context *context, double middle)
{
    const struct level_filter *filter = &context->state->level.filter;

    if (!isfinite(filter->error)) {
        peak_stations_plan(context, middle);
        return;
    }
    /* the hand was off till now */
    peak_stations_begin(context, middle, NAN);
    keep(context, filter->level, filter->error);
    go_up(context, spacing * context->coach->peak.width_deg);
}

void peak_stations_go(const struct step_context *context)
{
    go_up(context, peak_runup_deg(context->state, &context->coach->peak));
}

/*
 * By the levels alone, each where it was told to be: on which side of the best one another is
 * missing. ret_lowest_deg: the lowest of the best (several are as good when clipped), from here.
 */
static int missing_side(const struct step_context *context, double *ret_lowest_deg)
{
    const struct walk *walk = &context->coach->peak.walk;
    double most = step_end_level(context), best = -INFINITY;
    double at = 0.0, low = NAN, high = NAN, best_low = NAN, best_high = NAN;

    for (int i = 0; i < walk->count; i++) {
        double level = walk->stop[i].level;
        at += walk->stop[i].told_deg;
        if (!isfinite(level)) {
            continue;
        }
        level = isfinite(most) ? fmin(level, most) : level;
        if (level > best) {
            best = level;
            best_low = best_high = at;
        } else if (level == best) {
            best_low = fmin(best_low, at);
            best_high = fmax(best_high, at);
        }
        low = fmin(low, at);
        high = fmax(high, at);
    }
    *ret_lowest_deg = best_low - at;
    return best_high == high ? 1 : best_low == low ? -1 : 0;
}

/* How far from here the next station lies; 0 = there are enough. */
static double next_station_deg(const struct step_context *context, int r,
                               const struct walk_fit *stand)
{
    struct peak *peak = &context->coach->peak;
    double step = spacing * peak->width_deg, best;
    int way;

    if (peak->count < 2) {
        return step;
    }
    if (peak->extensions >= PEAK_EXTENSIONS) {
        return 0.0;
    }
    peak->extensions++;
    if (peak->fit.clipped > 0) {
        return peak_missing_edge_deg(context);
    }
    if (r == 0) {
        return stand->high_deg < beside * peak->width_deg ? step : 0.0;
    }
    way = missing_side(context, &best);
    return way > 0 ? step : way < 0 ? best - step : 0.0;
}

/* To another station where one is missing. False: there are enough. */
static bool go_on(const struct step_context *context, int r, const struct walk_fit *stand)
{
    double by = next_station_deg(context, r, stand);

    if (by > 0.0) {
        go_up(context, by);
    } else if (by < 0.0) {
        go_below(context, travel_position(context->state, context->coach->peak.axis) + by);
    }
    return by != 0.0;
}

void peak_stations_read(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double best;
    struct walk_fit stand;
    int r;

    keep(context, dwell_level(&context->coach->dwell), dwell_noise(context));
    r = fit_walk(context, &stand);
    if (r == 0) {
        show(context, &stand);
    }
    if (!go_on(context, r, &stand)) {
        if (r < 0) {
            missing_side(context, &best);
            peak->fit.centre_deg = travel_position(context->state, peak->axis) + best;
            peak->fit.centre_error_deg = NAN;
        }
        peak->extensions = 0;
        peak_conclude(context);
    }
}

/* --- to the top ----------------------------------------------------------------------------- */

double peak_flank_deg(const struct peak *peak)
{
    return peak->passes            ? 0.0
           : peak->fit.clipped > 0 ? peak_clipped_flank_deg(peak)
                                   : rung * peak->width_deg;
}

void peak_stations_approach(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double runup = peak_runup_deg(context->state, peak);
    double below = travel_position(context->state, peak->axis) + runup;

    peak->climbed = 0;
    peak_go(context, PEAK_APPROACH, fmax(below, peak->centre_x - peak_flank_deg(peak)),
            0.4 * runup);
}

/* Where the walk now says the centre is; the middle of a tilted lobe lies beside the cut's top. */
static void recentre(const struct step_context *context, struct walk_fit *ret_stand, int *ret_r)
{
    struct peak *peak = &context->coach->peak;
    double aside = peak->centre_x - peak->fit.centre_deg;

    keep(context, dwell_level(&context->coach->dwell), dwell_noise(context));
    *ret_r = fit_walk(context, ret_stand);
    if (*ret_r == 0) {
        double top = peak->fit.peak;
        show(context, ret_stand);
        peak->centre_x = peak->fit.centre_deg + aside;
        peak->expected += peak->fit.peak - top;
    }
}

static double nudge_deg(const struct step_context *context)
{
    double turn_deg = context->state->job->mount.axes[context->coach->peak.axis].turn_deg;

    return isfinite(turn_deg) ? step_turns * turn_deg : 0.02;
}

void peak_stations_finish(const struct step_context *context)
{
    const struct peak *peak = &context->coach->peak;

    peak_go(context, PEAK_CENTRE, peak->centre_x, 0.02 * peak->width_deg);
}

/* Up by a rung, or to the centre. */
static void climb(const struct step_context *context, double to_go)
{
    struct peak *peak = &context->coach->peak;
    bool may = peak->climbed++ < MOST_CLIMBED;

    if (peak->fit.clipped > 0) {
        peak_clipped_climb(context);
        return;
    }
    if (may && to_go > (rung + least_stride) * peak->width_deg) {
        peak_go(context, PEAK_APPROACH, peak->centre_x - rung * peak->width_deg,
                0.05 * peak->width_deg);
    } else {
        peak_stations_finish(context);
    }
}

void peak_stations_leave_flank(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    double to_go;
    struct walk_fit stand;
    int r;

    recentre(context, &stand, &r);
    to_go = peak->centre_x - travel_position(context->state, peak->axis);
    if (to_go < -nudge_deg(context) && peak->round + 1 < MOST_ROUNDS) {
        peak->round++;
        peak_return(context, peak->centre_x);
    } else if (peak->fit.clipped > 0 && peak_is_clipped(context) && peak->round + 1 < MOST_ROUNDS) {
        /* that was no flank yet */
        peak->round++;
        if (!go_on(context, r, &stand)) {
            peak->deeper += deeper_by;
            peak_return(context, peak->centre_x);
        }
    } else {
        climb(context, to_go);
    }
}

bool peak_stations_verify(const struct step_context *context)
{
    struct peak *peak = &context->coach->peak;
    struct walk_fit stand;
    double off, here = travel_position(context->state, peak->axis);
    int r;

    recentre(context, &stand, &r);
    peak->level = dwell_level(&context->coach->dwell);
    if (r < 0) {
        peak->loss = NAN;
        return true;
    }
    off = peak->centre_x - here;
    peak->loss = 12.0 * off * off / (peak->width_deg * peak->width_deg);
    if (stand.worst > misfit && peak->round + 1 < MOST_ROUNDS) {
        peak->round++;
        peak->corrections = 0;
        peak_stations_plan(context, here);
        return false;
    }
    context->coach->learned.fall = stand.curve * peak->width_deg * peak->width_deg;
    if ((peak->loss <= accepted_db || fabs(off) < 0.6 * nudge_deg(context)) &&
        peak->fit.centre_error_deg <= accepted_error * peak->width_deg) {
        return true;
    }
    if (off >= nudge_deg(context) && peak->corrections < MOST_CORRECTIONS) {
        peak->corrections++;
        peak_stations_finish(context);
        return false;
    }
    if (peak->round + 1 < MOST_ROUNDS) {
        peak->round++;
        peak_return(context, peak->centre_x);
        return false;
    }
    return true;
}
