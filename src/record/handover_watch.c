#include "record/handover_watch.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "coach/travel.h"

void handover_watch_before(const struct handover_fold *fold, const struct record *record,
                           struct handover_watch *ret)
{
    const struct coach *coach = &fold->coach;

    *ret = (struct handover_watch){.level = NAN, .error = NAN};
    if (!coach->started || coach->finished) {
        return;
    }
    ret->works = true;
    ret->at = coach->at;
    ret->act = coach->procedure->steps[coach->at].act;
    ret->peak_phase = coach->peak.phase;
    ret->tighten_phase = coach->tighten.phase;
    ret->falling = coach->tighten.falling;
    if (ret->act == DO_PEAK && ret->peak_phase == PEAK_VERIFY) {
        /* the coach's memory of it is gone once the next step has begun */
        struct dwell dwell = coach->dwell;
        ret->read = dwell_update(&dwell, &fold->state, record);
        ret->level = dwell_level(&dwell);
        ret->error = dwell_level_error(&dwell);
    }
}

/* --- the lobes ------------------------------------------------------------------------------ */

static bool gathers(enum peak_phase phase)
{
    return phase == PEAK_PASS_UP || phase == PEAK_PASS_DOWN || phase == PEAK_READ ||
           phase == PEAK_FLANK;
}

static bool has_concluded(enum peak_phase phase)
{
    return phase == PEAK_RETURN || phase == PEAK_APPROACH || phase == PEAK_CENTRE;
}

static void keep_passes(const struct peak *peak, struct handover_lobe *lobe)
{
    int highest = 0;

    for (int i = 1; i < peak->count; i++) {
        highest = peak->pass[i].x_deg > peak->pass[highest].x_deg ? i : highest;
    }
    for (int i = 0; i < peak->count && i < HANDOVER_LOBE_POINTS; i++) {
        lobe->readings[lobe->count++] =
            (struct handover_reading){.x_deg = (float)peak->pass[i].x_deg,
                                      .level = (float)peak->pass[i].level,
                                      .way = i <= highest ? 1 : -1};
    }
}

static void keep_stations(const struct peak *peak, struct handover_lobe *lobe)
{
    for (int i = 0; i < peak->count && i < HANDOVER_LOBE_POINTS; i++) {
        lobe->readings[lobe->count++] = (struct handover_reading){
            .x_deg = (float)peak->station[i].x_deg, .level = (float)peak->station[i].level};
    }
}

static const struct handover_lobe empty_lobe = {
    .centre_deg = NAN,
    .centre_error_deg = NAN,
    .top_level = NAN,
    .width_deg = NAN,
    .expected_width_deg = NAN,
    .stands_deg = NAN,
    .level = NAN,
    .level_error = NAN,
    .below_top = NAN,
};

static void keep_lobe(struct handover_fold *fold)
{
    const struct peak *peak = &fold->coach.peak;
    struct handover_lobe *lobe = &fold->out->axes[peak->axis].lobe;

    *lobe = empty_lobe;
    lobe->known = true;
    lobe->t = fold->state.t;
    lobe->by = peak->passes ? HANDOVER_LOBE_PASSES : HANDOVER_LOBE_STATIONS;
    lobe->true_angles = isfinite(fold->state.measured.deg[peak->axis]);
    lobe->read = peak->count;
    if (peak->passes) {
        keep_passes(peak, lobe);
    } else {
        keep_stations(peak, lobe);
    }
    /* without a fit the coach goes to the best place and gives it no residual */
    lobe->fitted = isfinite(peak->fit.centre_error_deg) || peak->fit.used > 0;
    lobe->centre_deg = peak->fit.centre_deg;
    lobe->centre_error_deg = peak->fit.centre_error_deg;
    lobe->top_level = peak->fit.peak;
    lobe->width_deg = peak->fit.width_deg;
    lobe->expected_width_deg = peak->width_known ? peak->width_deg : NAN;
    lobe->bracket = peak->fit.bracket;
}

static void end_peak(struct handover_fold *fold, const struct handover_watch *watch, enum axis axis,
                     bool by_word)
{
    struct handover_lobe *lobe = &fold->out->axes[axis].lobe;

    lobe->stands_deg = travel_position(&fold->state, axis);
    lobe->by_operator_word = by_word;
    if (!by_word && watch->read) {
        lobe->level = watch->level;
        lobe->level_error = watch->error;
        lobe->below_top = fold->peak_expected - watch->level;
    }
}

static void end_skew(struct handover_fold *fold, bool by_word)
{
    const struct skew_setting *skew = &fold->coach.skew;
    struct handover_lobe *lobe = &fold->out->axes[AXIS_SKEW].lobe;
    const struct level_filter *filter = &fold->state.level.filter;
    struct skew_prior prior = {.noise = level_filter_noise(filter),
                               .is_db = level_unit_is_db(fold->state.level.unit),
                               .saturation = filter->maximum};
    struct skew_fit fit;

    *lobe = empty_lobe;
    lobe->known = skew->count > 0;
    lobe->t = fold->state.t;
    lobe->by = skew->by_null ? HANDOVER_LOBE_NULL : HANDOVER_LOBE_DROP;
    lobe->true_angles = isfinite(fold->state.measured.deg[AXIS_SKEW]);
    lobe->read = skew->count;
    for (int i = 0; i < skew->count && i < HANDOVER_LOBE_POINTS; i++) {
        lobe->readings[lobe->count++] = (struct handover_reading){
            .x_deg = (float)skew->readings[i].skew_deg, .level = (float)skew->readings[i].level};
    }
    lobe->stands_deg = travel_position(&fold->state, AXIS_SKEW);
    lobe->by_operator_word = by_word;
    text_copy(lobe->why_not, sizeof lobe->why_not, skew->why_not);
    if (isfinite(skew->error_deg)) {
        lobe->fitted = true;
        lobe->centre_deg = skew->middle_x;
        lobe->centre_error_deg = skew->error_deg;
        if ((skew->by_null ? skew_fit_null : skew_fit_copolar)(skew->readings, (size_t)skew->count,
                                                               &prior, &fit) == 0) {
            lobe->top_level = fit.level;
            lobe->bracket = fit.bracket;
        }
    }
}

/* --- the bolts ------------------------------------------------------------------------------ */

static struct handover_fastening *new_fastening(struct handover *out)
{
    if (out->fastening_count == HANDOVER_FASTENINGS) {
        memmove(out->fastenings, out->fastenings + 1,
                sizeof out->fastenings - sizeof *out->fastenings);
        out->fastening_count--;
        out->fastenings_lost++;
    }
    return &out->fastenings[out->fastening_count++];
}

static double mean(const struct tighten_angle *angle)
{
    return angle->count >= 3 ? angle->sum / angle->count : NAN;
}

static void keep_fastening(struct handover_fold *fold, bool alarm)
{
    const struct tighten *tighten = &fold->coach.tighten;
    struct handover_fastening *kept = new_fastening(fold->out);

    *kept = (struct handover_fastening){.t = fold->state.t,
                                        .round = tighten->round,
                                        .alarm = alarm,
                                        .before = tighten->reference,
                                        .after = NAN,
                                        .loss_error_db = NAN,
                                        .drift_deg = {NAN, NAN},
                                        .off_deg = {NAN, NAN},
                                        .off_error_deg = {NAN, NAN}};
    if (alarm) {
        return;
    }
    kept->after = change_reference_level(&tighten->readings);
    kept->before = tighten->judged_from;
    kept->loss_db = tighten->loss_db;
    kept->loss_error_db = tighten->loss_error_db;
    for (int i = 0; i < TIGHTEN_AXES; i++) {
        kept->drift_deg[i] = mean(&tighten->after[i]) - mean(&tighten->before[i]);
    }
}

/* Pushed and pulled once it was tight. */
static void keep_off(struct handover_fold *fold)
{
    const struct tighten *tighten = &fold->coach.tighten;
    struct handover *out = fold->out;

    if (out->fastening_count == 0) {
        return;
    }
    for (int i = 0; i < TIGHTEN_AXES; i++) {
        struct handover_fastening *last = &out->fastenings[out->fastening_count - 1];
        if (tighten->rock.found_round[i] == last->round && !last->alarm) {
            last->off_deg[i] = tighten->rock.found_deg[i];
            last->off_error_deg[i] = tighten->rock.found_error_deg[i];
        }
    }
}

/* An alarm's fall is known better the longer it rings. */
static void watch_alarm(struct handover_fold *fold, bool was_falling)
{
    const struct tighten *tighten = &fold->coach.tighten;
    struct handover *out = fold->out;
    double loss;

    if (tighten->falling && !was_falling) {
        keep_fastening(fold, true);
        fold->alarm_open = true;
    }
    if (!tighten->falling || tighten->phase != TIGHTEN_WATCH) {
        fold->alarm_open = false;
    }
    if (fold->alarm_open) {
        struct handover_fastening *kept = &out->fastenings[out->fastening_count - 1];
        loss = change_fall(&tighten->change) / tighten->per_db;
        if (loss > kept->loss_db) {
            kept->loss_db = loss;
            kept->after = kept->before - change_fall(&tighten->change);
        }
    }
}

/* --- the step at hand ----------------------------------------------------------------------- */

void handover_watch_after(struct handover_fold *fold, const struct handover_watch *watch)
{
    const struct coach *coach = &fold->coach;
    bool stays = watch->works && !coach->finished && coach->at == watch->at;

    if (watch->act == DO_PEAK && stays && gathers(watch->peak_phase) &&
        has_concluded(coach->peak.phase) && coach->peak.axis < AXIS_SKEW) {
        keep_lobe(fold);
    }
    if (stays && watch->act == DO_PEAK) {
        fold->peak_expected = coach->peak.expected;
    }
    if (stays && watch->act == DO_TIGHTEN) {
        watch_alarm(fold, watch->falling);
    }
    if (watch->works && watch->act == DO_TIGHTEN && watch->tighten_phase == TIGHTEN_CHECK &&
        !(stays && coach->tighten.phase == TIGHTEN_CHECK)) {
        keep_fastening(fold, false);
    }
    if (watch->works && watch->act == DO_TIGHTEN && watch->tighten_phase == TIGHTEN_ROCK) {
        keep_off(fold);
    }
}

void handover_watch_left(struct handover_fold *fold, const struct handover_watch *watch,
                         const struct record_step *step, const struct record *input)
{
    size_t index = (size_t)(step->number - 1);
    const struct procedure_step *left = &fold->coach.procedure->steps[index];
    bool at_hand = watch->works && watch->at == index;
    bool said = input->kind == RECORD_STEP;

    if (left->axis == AXIS_SKEW && (left->act == DO_PEAK || left->act == DO_NULL)) {
        end_skew(fold, said);
    } else if (left->act == DO_PEAK && at_hand) {
        end_peak(fold, watch, left->axis, said);
    } else if (left->act == DO_IDENTIFY) {
        fold->out->steps[index].sure = fold->coach.learned.sure;
    }
}
