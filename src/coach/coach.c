#include "coach/coach.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"
#include "coach/step.h"

/* An advice that only counts down is not repeated more often than this. */
static const double repeat_s = 0.5;
static const double repeat_share = 0.1;
static const int most_repeaks = 2;
static const double usual_lag_s = 0.8;
static const int stuck_readings = 7;
static const double fine_steps = 0.7;

static const struct step_ops *const step_table[DO_COUNT] = {
    [DO_CONFIRM] = &step_confirm, [DO_FIX] = &step_fix,           [DO_SET] = &step_set,
    [DO_SWEEP] = &step_sweep,     [DO_IDENTIFY] = &step_identify, [DO_PEAK] = &step_peak,
    [DO_NULL] = &step_skew,       [DO_TIGHTEN] = &step_tighten,   [DO_MEASURE] = &step_measure,
    [DO_RECORD] = &step_record,
};

static const struct step_ops *ops_of(const struct procedure_step *step)
{
    return step->axis == AXIS_SKEW && step->act == DO_PEAK ? &step_skew : step_table[step->act];
}

double coach_saturation(const struct coach *coach, const struct state *state)
{
    double maximum = state->level.filter.maximum;

    return isfinite(maximum) ? maximum : coach->end.found ? coach->end.top : NAN;
}

/* One value, the highest, again and again, though the meter's steps are finer than its noise: it is
 * at its end. A coarse meter does so anywhere. */
static void watch_end(struct coach_end *end, const struct state *state)
{
    const struct level_filter *filter = &state->level.filter;
    double value = state->level.value;

    if (!(value <= end->top)) {
        end->top = value;
        end->found = false;
        end->run = 0;
    }
    if (value < end->top) {
        end->run = 0;
        end->noise = level_filter_noise(filter);
        end->step = level_filter_step(filter);
        return;
    }
    end->run_t = end->run == 0 ? state->t : end->run_t;
    end->run++;
    end->found =
        end->found || (end->run > stuck_readings && end->noise > fine_steps * end->step &&
                       state->t - end->run_t >= stuck_readings * level_filter_period_s(filter));
}

double coach_lag_s(const struct coach *coach, const struct state *state)
{
    const struct job_meter *meter = job_find_meter(state->job, "");
    double learned = coach->learned.lag_s;

    return meter && isfinite(meter->lag_s) ? meter->lag_s
           : isfinite(learned)             ? learned
                                           : usual_lag_s;
}

void coach_init(struct coach *coach, const struct job *job, const struct procedure *procedure)
{
    *coach = (struct coach){.job = job, .procedure = procedure, .advice_t = NAN};
    coach->end = (struct coach_end){.top = NAN, .noise = NAN, .step = NAN};
    coach->learned.peak_level = NAN;
    coach->learned.fall = NAN;
    coach->learned.lag_s = NAN;
    coach->learned.lag_error_s = NAN;
    coach->learned.azimuth_bias_deg = NAN;
    for (int i = 0; i < AXIS_COUNT; i++) {
        coach->learned.peak_x[i] = NAN;
        coach->learned.middle_x[i] = NAN;
    }
    coach->advice.axis = AXIS_NONE;
}

/* --- what it says --------------------------------------------------------------------------- */

static void put(struct coach *coach, const struct record *record)
{
    /* never more than leave, enter and advice at a time; a chain of empty steps is cut short */
    if (coach->out_count < COACH_OUT) {
        coach->out[(coach->out_first + coach->out_count) % COACH_OUT] = *record;
        coach->out_count++;
    }
}

bool coach_take(struct coach *coach, struct record *ret_record)
{
    if (coach->out_count == 0) {
        return false;
    }
    *ret_record = coach->out[coach->out_first];
    coach->out_first = (coach->out_first + 1) % COACH_OUT;
    coach->out_count--;
    return true;
}

static void put_step(struct coach *coach, double t, enum record_step_event event,
                     const char *result)
{
    struct record record = {.t = t, .kind = RECORD_STEP};

    record.step.event = event;
    record.step.number = (int)coach->at + 1;
    record.step.count = (int)coach->procedure->step_count;
    text_copy(record.step.name, sizeof record.step.name, coach->procedure->steps[coach->at].name);
    text_copy(record.step.result, sizeof record.step.result, result);
    put(coach, &record);
}

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* Worth saying again: another thing to do, or the distance has changed by a share of itself. */
static bool is_news(const struct coach *coach, const struct advice *advice, double t)
{
    const struct advice *last = &coach->advice;
    double changed = fabs(advice->deg - last->deg);

    if (isnan(coach->advice_t) || strcmp(advice->step, last->step) != 0 ||
        advice->axis != last->axis || advice->move != last->move || advice->until != last->until ||
        isnan(advice->deg) != isnan(last->deg)) {
        return true;
    }
    if (isnan(advice->deg)) {
        return strcmp(advice->say, last->say) != 0;
    }
    return t - coach->advice_t >= repeat_s && !same_number(advice->deg, last->deg) &&
           changed >= fmax(repeat_share * last->deg, 0.02);
}

/* The operator has just said what was done: that wants an answer, be it the same again. */
static bool wants_answer(const struct record *record)
{
    return record->kind == RECORD_MOVE || record->kind == RECORD_STEP ||
           (record->kind == RECORD_ANGLES && record->angles.scale);
}

static void put_advice(struct coach *coach, const struct advice *advice, const struct record *cause,
                       double t)
{
    struct record record = {.t = t, .kind = RECORD_ADVICE};

    if (!wants_answer(cause) && !is_news(coach, advice, t)) {
        return;
    }
    record.advice = *advice;
    record_round(&record);
    coach->advice = record.advice;
    coach->advice_t = t;
    put(coach, &record);
}

/* Till now somebody was turning something, or has just said so. */
static bool hand_is_on(const struct coach *coach, const struct record *record)
{
    const struct advice *advice = &coach->advice;

    return isnan(coach->advice_t) || record->kind == RECORD_MOVE ||
           (record->kind == RECORD_ANGLES && record->angles.scale) ||
           advice->until == UNTIL_ARRIVED || advice->until == UNTIL_ANSWER ||
           advice->move <= ADVICE_ANTICLOCKWISE || advice_bends(advice->move);
}

/* --- what it does --------------------------------------------------------------------------- */

static struct step_context context_of(struct coach *coach, const struct state *state,
                                      const struct record *record, struct advice *advice,
                                      char *result)
{
    const struct procedure_step *step = &coach->procedure->steps[coach->at];

    *advice = (struct advice){
        .axis = AXIS_NONE, .move = ADVICE_WAIT, .deg = NAN, .turns = NAN, .rate = NAN};
    text_copy(advice->step, sizeof advice->step, step->name);
    return (struct step_context){.coach = coach,
                                 .step = step,
                                 .state = state,
                                 .record = record,
                                 .advice = advice,
                                 .result = result};
}

static void enter(struct coach *coach, const struct state *state, const struct record *record)
{
    const struct step_ops *ops = ops_of(&coach->procedure->steps[coach->at]);
    struct advice advice;
    char result[RECORD_TEXT_SIZE] = "";
    struct step_context context = context_of(coach, state, record, &advice, result);

    coach->step_t = state->t;
    put_step(coach, state->t, STEP_ENTER, "");
    if (ops->enter) {
        ops->enter(&context);
    }
}

static void finish(struct coach *coach, const struct state *state, const struct record *record)
{
    struct advice advice = {
        .axis = AXIS_NONE, .move = ADVICE_DONE, .deg = NAN, .turns = NAN, .rate = NAN};

    coach->finished = true;
    text_copy(advice.step, sizeof advice.step, coach->procedure->steps[coach->at].name);
    sentence_stay(&advice, ADVICE_DONE, UNTIL_NONE, _("Done. The session is in the log."));
    sentence_why(&advice, "%s", coach->learned.grounds);
    put_advice(coach, &advice, record, state->t);
}

/* Leave the step at hand for another; past the last one is the end. */
static void go_to(struct coach *coach, const struct state *state, const struct record *record,
                  size_t at, const char *result)
{
    put_step(coach, state->t, STEP_LEAVE, result);
    coach->gone_back = false;
    coach->nothing_left[0] = '\0';
    if (at >= coach->procedure->step_count) {
        finish(coach, state, record);
        return;
    }
    coach->at = at;
    enter(coach, state, record);
}

/* The first peak step before the one at hand. */
static size_t first_peak(const struct coach *coach)
{
    for (size_t i = 0; i < coach->at; i++) {
        if (coach->procedure->steps[i].act == DO_PEAK &&
            coach->procedure->steps[i].axis != AXIS_SKEW) {
            return i;
        }
    }
    return coach->at;
}

/* The first angle that was set before the step at hand; else the step before. */
static size_t first_set(const struct coach *coach)
{
    for (size_t i = 0; i < coach->at; i++) {
        if (coach->procedure->steps[i].act == DO_SET) {
            return i;
        }
    }
    return coach->at > 0 ? coach->at - 1 : 0;
}

/* The operator's own word on where to go. True when it was one. */
static bool obey_operator(struct coach *coach, const struct state *state,
                          const struct record *record)
{
    const struct step_ops *ops = ops_of(&coach->procedure->steps[coach->at]);

    if (record->kind != RECORD_STEP) {
        return false;
    }
    switch (record->step.event) {
    case STEP_SKIP:
        go_to(coach, state, record, coach->at + 1, _("skipped by the operator"));
        return true;
    case STEP_BACK:
        if (ops->hears_back && ops->hears_back(coach)) {
            return false;
        }
        go_to(coach, state, record, coach->at > 0 ? coach->at - 1 : 0, _("gone back"));
        coach->gone_back = true;
        return true;
    case STEP_REPEAT:
        go_to(coach, state, record, coach->at, _("repeated"));
        return true;
    default:
        return false;
    }
}

static enum step_outcome update(struct coach *coach, const struct step_context *context)
{
    const struct step_ops *ops = ops_of(context->step);
    bool asked = coach->asking;

    coach->asking = !step_answered(context) && step_asks_scale(context);
    if (coach->asking) {
        return STEP_GOES_ON;
    }
    if (asked) {
        ops->enter(context);
    }
    return ops->update(context);
}

/* Nothing is to be done, or not yet. */
static bool is_idle(const struct advice *advice)
{
    return advice->move == ADVICE_WAIT || advice->move == ADVICE_CONFIRM ||
           (advice->move == ADVICE_HOLD && advice->until == UNTIL_ARRIVED);
}

/*
 * The operator has gone back to a step in which nothing is left to do: it would be done at once,
 * and nobody could go further back than here. So it waits for a word.
 */
static bool stays_gone_back(struct coach *coach, const struct step_context *context)
{
    if (!coach->gone_back) {
        return false;
    }
    if (coach->nothing_left[0] == '\0') {
        text_copy(coach->nothing_left, sizeof coach->nothing_left, context->result);
    }
    context->advice->axis = AXIS_NONE;
    context->advice->deg = context->advice->turns = context->advice->rate = NAN;
    sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ANSWER,
                  _("Nothing is left to do here. Say done to go on, back to go further back."));
    sentence_why(context->advice, "%s", coach->nothing_left);
    return true;
}

/*
 * Done lets a step go on that was gone back to. True when it was the word that one waited for with
 * nothing left to do: it says no more, and nothing about the step.
 */
static bool goes_on_from_nothing(struct coach *coach, const struct record *record)
{
    bool nothing_left = coach->nothing_left[0] != '\0';

    if (record->kind != RECORD_STEP || record->step.event != STEP_DONE) {
        return false;
    }
    coach->gone_back = false;
    coach->nothing_left[0] = '\0';
    return nothing_left;
}

void coach_update(struct coach *coach, const struct state *state, const struct record *record)
{
    struct record again = *record;

    if (coach->finished || coach->procedure->step_count == 0) {
        return;
    }
    /* what somebody wrote down changes no advice: so a log may get notes afterwards */
    if (record->kind == RECORD_NOTE || record->kind == RECORD_MARK) {
        return;
    }
    if (record->kind == RECORD_LEVEL) {
        watch_end(&coach->end, state);
    }
    if (hand_is_on(coach, record)) {
        coach->still_t = state->t;
    }
    if (!coach->started) {
        coach->started = true;
        enter(coach, state, record);
    }
    if (obey_operator(coach, state, record) || goes_on_from_nothing(coach, record)) {
        again = (struct record){.t = record->t, .kind = RECORD_KIND_COUNT};
    }
    /* a step may be done at once: then think about the next, but never round and round */
    for (int chain = 0; chain < 3 && !coach->finished; chain++) {
        struct advice advice;
        char result[RECORD_TEXT_SIZE] = "";
        struct step_context context = context_of(coach, state, &again, &advice, result);
        enum step_outcome outcome = update(coach, &context);
        bool stays = outcome == STEP_IS_DONE && stays_gone_back(coach, &context);

        if (stays || outcome == STEP_GOES_ON) {
            put_advice(coach, &advice, record, state->t);
            coach->gone_back = coach->gone_back && is_idle(&advice);
            if (!stays) {
                coach->nothing_left[0] = '\0';
            }
            return;
        }
        if (outcome == STEP_SENDS_BACK && coach->repeaks < most_repeaks &&
            first_peak(coach) < coach->at) {
            coach->repeaks++;
            go_to(coach, state, record, first_peak(coach), result);
        } else if (outcome == STEP_SEARCHES && step_can_search(coach)) {
            go_to(coach, state, record, step_last(coach, DO_SWEEP), result);
        } else if (outcome == STEP_SETS_UP) {
            go_to(coach, state, record, first_set(coach), result);
        } else {
            go_to(coach, state, record, coach->at + 1, result);
        }
        again = (struct record){.t = record->t, .kind = RECORD_KIND_COUNT};
    }
}
