#include "command/drill_score.h"

#include <math.h>
#include <string.h>

#include "base/tongue.h"
#include "sky/angle.h"

/* In beamwidths. */
static const double against_beams = 0.1, astray_beams = 0.25;
static const double away_beams = 1.0, lost_beams = 1.5, crossed_beams = 0.5;
static const double on_beams = 0.5;

static const double still_deg = 1e-4; /* between two records: at rest */
/* From a word on, the mount begins within so long: there may be play. The coach hears it at once.
 */
static const double begins_s = 1.0;

/* What a fault costs of 100 points: this program's own, so that the same matters count the same
 * everywhere; losing the satellite costs all. */
static const double free_loss_db = 0.1, points_a_db = 50.0, most_for_loss = 40.0;
static const int points_a_wrong_turn = 4, most_for_turns = 20;
static const int points_a_caution = 15;
static const int points_loose = 20;
static const double points_a_time = 10.0, most_for_time = 20.0; /* each allowed time too much */

const char drill_asked_mark[] = N_("asked the coach");

void drill_score_init(struct drill_score *score, const struct procedure *procedure,
                      const double beam_deg[AXIS_COUNT])
{
    *score = (struct drill_score){
        .procedure = procedure, .axis = AXIS_NONE, .first_wrong_t = NAN, .at = PROCEDURE_STEPS};
    memcpy(score->beam_deg, beam_deg, sizeof score->beam_deg);
    for (int i = 0; i < AXIS_COUNT; i++) {
        score->legs[i].word_t = -INFINITY;
    }
    while (score->cautions < procedure->step_count &&
           procedure->steps[score->cautions].act == DO_CONFIRM) {
        score->cautions++;
    }
}

/* --- turns ---------------------------------------------------------------------------------- */

static double turned_deg(int axis, double from, double to)
{
    return axis == AXIS_AZIMUTH ? angle_turn_deg(from, to) : to - from;
}

static void begin_leg(struct drill_leg *leg, double deg, double off_deg)
{
    leg->from_deg = leg->last_deg = deg;
    leg->from_off_deg = off_deg;
    leg->way = 0;
    leg->carried = leg->told = false;
}

static bool is_against_advice(const struct drill_score *score, int axis, double turned)
{
    double beams = turned / score->beam_deg[axis];

    if (axis == (int)score->axis) {
        return beams * score->way < -against_beams;
    }
    return fabs(beams) > astray_beams;
}

static bool is_away(const struct drill_score *score, int axis, double turned, double off_deg)
{
    const struct drill_leg *leg = &score->legs[axis];
    double beam = score->beam_deg[axis];
    double from = leg->from_off_deg / beam, to = off_deg / beam;
    bool crossed = fabs(from) > crossed_beams && from * to < 0.0;

    if (axis == (int)score->axis && turned * score->way > 0.0) {
        return false;
    }
    return !crossed && fabs(to) > lost_beams && fabs(to) - fabs(from) > away_beams;
}

static bool is_wrong(const struct drill_score *score, int axis, const struct drill_stand *stand)
{
    double turned = turned_deg(axis, score->legs[axis].from_deg, stand->deg[axis]);

    switch (score->judging) {
    case DRILL_JUDGES_ADVICE:
        return is_against_advice(score, axis, turned);
    case DRILL_JUDGES_TARGET:
        return is_away(score, axis, turned, stand->off_deg[axis]);
    case DRILL_JUDGES_NOTHING:
        break;
    }
    return false;
}

static void follow(struct drill_score *score, int axis, double t, const struct drill_stand *stand)
{
    struct drill_leg *leg = &score->legs[axis];
    double moved = turned_deg(axis, leg->last_deg, stand->deg[axis]);
    int way = moved > still_deg ? 1 : moved < -still_deg ? -1 : 0;

    leg->moving = way != 0;
    if (!leg->moving) {
        if (leg->carried && t > leg->word_t + begins_s) {
            begin_leg(leg, stand->deg[axis], stand->off_deg[axis]);
        }
        return;
    }
    if (leg->way == -way) {
        begin_leg(leg, leg->last_deg, stand->off_deg[axis] - moved);
    }
    leg->way = way;
    leg->last_deg = stand->deg[axis];
    if (!leg->carried && !leg->told && is_wrong(score, axis, stand)) {
        leg->told = true;
        score->wrong_turns++;
        score->first_wrong_t = isnan(score->first_wrong_t) ? t : score->first_wrong_t;
    }
}

static void begin_legs(struct drill_score *score, const struct drill_stand *stand)
{
    for (int i = 0; i < AXIS_COUNT; i++) {
        struct drill_leg *leg = &score->legs[i];
        int way = leg->way;
        begin_leg(leg, stand->deg[i], stand->off_deg[i]);
        leg->carried = leg->moving || score->t < leg->word_t + begins_s;
        leg->way = leg->moving ? way : 0;
    }
}

/* --- what was said -------------------------------------------------------------------------- */

static int way_of(enum advice_move move)
{
    return move == ADVICE_RIGHT || move == ADVICE_UP || move == ADVICE_CLOCKWISE ? 1 : -1;
}

static void hear_advice(struct drill_score *score, const struct advice *advice, bool shown,
                        const struct drill_stand *stand)
{
    bool turn = advice->move <= ADVICE_ANTICLOCKWISE && advice->axis < AXIS_COUNT;
    enum axis axis = turn ? advice->axis : AXIS_NONE;
    int way = turn ? way_of(advice->move) : 0;
    enum drill_judging judging = DRILL_JUDGES_NOTHING;

    if (turn) {
        judging = shown ? DRILL_JUDGES_ADVICE : DRILL_JUDGES_TARGET;
    } else if (advice->move == ADVICE_CONFIRM && advice->axis == AXIS_NONE) {
        judging = DRILL_JUDGES_TARGET;
    } else if (!shown && advice->move != ADVICE_CONFIRM) {
        judging = DRILL_JUDGES_TARGET;
    }
    if (judging != score->judging || axis != score->axis || way != score->way) {
        begin_legs(score, stand);
    }
    score->judging = judging;
    score->axis = axis;
    score->way = way;
    score->tightening = advice->move == ADVICE_TIGHTEN;
    score->finished |= advice->move == ADVICE_DONE;
}

void drill_score_reveal(struct drill_score *score)
{
    if (score->judging == DRILL_JUDGES_TARGET && score->axis != AXIS_NONE) {
        score->judging = DRILL_JUDGES_ADVICE;
    }
}

static void hear_step(struct drill_score *score, const struct record_step *step)
{
    switch (step->event) {
    case STEP_ENTER:
        score->at = step->number > 0 ? (size_t)step->number - 1 : score->at;
        break;
    case STEP_DONE:
    case STEP_SKIP:
        if (score->at < score->cautions) {
            score->answered[score->at] |= step->event == STEP_DONE;
        }
        score->fastened |= score->tightening && step->event == STEP_DONE;
        break;
    default:
        break;
    }
}

void drill_score_add(struct drill_score *score, const struct record *record, bool shown,
                     const struct drill_stand *stand)
{
    if (!score->standing) {
        score->standing = true;
        begin_legs(score, stand);
    } else if (record->t > score->t) {
        for (int i = 0; i < AXIS_COUNT; i++) {
            follow(score, i, record->t, stand);
        }
    }
    score->t = record->t;
    if (record->kind == RECORD_ADVICE) {
        hear_advice(score, &record->advice, shown, stand);
    } else if (record->kind == RECORD_MOVE) {
        score->legs[record->move.axis].word_t = record->t;
    } else if (record->kind == RECORD_STEP) {
        hear_step(score, &record->step);
    } else if (record->kind == RECORD_MARK && strcmp(record->mark.text, _(drill_asked_mark)) == 0) {
        score->asked++;
    }
}

/* --- what it comes to ----------------------------------------------------------------------- */

static int points(const struct drill_result *result, double allowed_s)
{
    double cost = fmin(most_for_loss, fmax(0.0, result->loss_db - free_loss_db) * points_a_db);
    double late = fmax(0.0, result->t / allowed_s - 1.0);
    int turns = result->wrong_turns * points_a_wrong_turn;

    if (!result->finished || !result->on_target) {
        return 0;
    }
    cost += fmin(most_for_time, late * points_a_time);
    cost += turns < most_for_turns ? turns : most_for_turns;
    cost += result->cautions_skipped * points_a_caution;
    cost += result->fastened ? 0 : points_loose;
    return (int)round(fmax(0.0, 100.0 - cost));
}

struct drill_result drill_score_end(const struct drill_score *score,
                                    const struct drill_ending *ending)
{
    struct drill_result result = {
        .finished = score->finished,
        .on_target = ending->on_target && ending->target_beams <= on_beams,
        .loss_db = ending->pointing_loss_db + ending->skew_loss_db,
        .t = score->t,
        .wrong_turns = score->wrong_turns,
        .fastened = score->fastened,
    };

    for (size_t i = 0; i < score->cautions; i++) {
        result.cautions_skipped += !score->answered[i];
    }
    result.points = points(&result, ending->allowed_s);
    return result;
}
