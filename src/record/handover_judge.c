#include "record/handover_judge.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/peak.h"

static const double surely = 2.0; /* standard errors */
static const double default_limit_db = 0.2;

/* --- a line ---------------------------------------------------------------------------------- */

static struct handover_check *new_check(struct handover *out, const char *what, int step)
{
    struct handover_check *check;

    check =
        &out->checks[out->check_count < HANDOVER_CHECKS ? out->check_count++ : HANDOVER_CHECKS - 1];
    *check = (struct handover_check){
        .step = step, .limit_value = NAN, .found_value = NAN, .verdict = HANDOVER_NOT_MEASURED};
    text_copy(check->what, sizeof check->what, what);
    return check;
}

static void ask(struct handover_check *check, double limit, const char *unit)
{
    check->limit_value = limit;
    text_copy(check->unit, sizeof check->unit, unit);
}

static double or_none(double error)
{
    return isfinite(error) ? error : 0.0;
}

/* "0.31 +- 0.08 dB ...": as measured, and whether the limit was passed only by its error. */
static void judge_number(struct handover_check *check, double value, double error,
                         const char *below, const char *above)
{
    double limit = check->limit_value;
    char number[48];

    check->found[0] = '\0';
    check->found_value = value;
    check->verdict = value <= limit + surely * or_none(error) ? HANDOVER_MET : HANDOVER_NOT_MET;
    snprintf(number, sizeof number, "%.2f", fabs(value));
    if (isfinite(error)) {
        text_append(number, sizeof number, " ± %.2f", error);
    }
    /* TRANSLATORS: "0.31 ± 0.08", and where that is: "below it", "lost" */
    text_append(check->found, sizeof check->found,
                check->verdict == HANDOVER_MET && value > limit
                    ? _("%s dB %s, beyond the limit but not surely so")
                    : _("%s dB %s"),
                number, value < 0.0 ? above : below);
}

static enum handover_verdict verdict_if(bool met)
{
    return met ? HANDOVER_MET : HANDOVER_NOT_MET;
}

/* --- the steps ------------------------------------------------------------------------------- */

struct judging {
    struct handover *out;
    const struct procedure_step *step;
    const struct handover_step *done;
    struct handover_check *check;
};

static void judge_confirm(const struct judging *j)
{
    text_copy(j->check->limit, sizeof j->check->limit, _("confirmed by the operator"));
    if (j->done->ending == HANDOVER_CONFIRMED) {
        j->check->verdict = HANDOVER_MET;
        text_copy(j->check->found, sizeof j->check->found, _("confirmed"));
    } else {
        /* silence about a caution is no "not measured" */
        j->check->verdict = HANDOVER_NOT_MET;
    }
}

static void judge_fix(const struct judging *j)
{
    const struct handover *out = j->out;

    text_copy(j->check->limit, sizeof j->check->limit, _("a position, and the satellite above it"));
    j->check->verdict =
        verdict_if(j->done->ending == HANDOVER_DONE && out->site.origin != HANDOVER_UNKNOWN &&
                   out->axes[AXIS_ELEVATION].computed_deg >= 0.0);
    text_copy(j->check->found, sizeof j->check->found, j->done->result);
}

static void judge_set(const struct judging *j)
{
    text_append(j->check->limit, sizeof j->check->limit, _("%s set to its computed angle"),
                axis_word(j->step->axis));
    if (isfinite(j->step->tolerance_deg)) {
        j->check->limit[0] = '\0';
        text_append(j->check->limit, sizeof j->check->limit,
                    _("%s set to its computed angle within %g°"), axis_word(j->step->axis),
                    j->step->tolerance_deg);
        ask(j->check, j->step->tolerance_deg, "deg");
    }
    text_copy(j->check->found, sizeof j->check->found, j->done->result);
    /* by word it was set, but nothing looked at it */
    j->check->verdict = j->done->ending == HANDOVER_DONE ? HANDOVER_MET : HANDOVER_NOT_MEASURED;
}

static void judge_sweep(const struct judging *j)
{
    text_copy(j->check->limit, sizeof j->check->limit, _("a carrier is found"));
    text_copy(j->check->found, sizeof j->check->found, j->done->result);
    j->check->verdict = j->done->ending == HANDOVER_DONE ? HANDOVER_MET : HANDOVER_NOT_MEASURED;
}

static bool names_another(const struct handover *out)
{
    const struct job_satellite *target = &out->job->target.satellite;
    const char *named = out->identity.lock_id;

    return job_target_has_id(out->job) && named[0] != '\0' && !job_names(target, named);
}

static void judge_identify(const struct judging *j)
{
    text_append(j->check->limit, sizeof j->check->limit, _("it is %s"),
                job_target_name(j->out->job));
    text_copy(j->check->found, sizeof j->check->found, j->done->result);
    if (j->done->ending != HANDOVER_DONE && j->done->ending != HANDOVER_BY_WORD) {
        return;
    }
    if (names_another(j->out)) {
        j->check->verdict = HANDOVER_NOT_MET;
        text_copy(j->check->found, sizeof j->check->found, j->out->identity.grounds);
    } else if (j->done->sure) {
        j->check->verdict = HANDOVER_MET;
    }
}

static void judge_peak(const struct judging *j)
{
    const struct handover_lobe *lobe = &j->out->axes[j->step->axis].lobe;
    struct handover_check *check = j->check;

    if (j->step->axis == AXIS_SKEW) {
        return;
    }
    snprintf(check->limit, sizeof check->limit, _("within %g dB of the fitted top"),
             peak_good_enough_db);
    ask(check, peak_good_enough_db, "dB");
    text_copy(check->found, sizeof check->found, j->done->result);
    if (j->done->ending != HANDOVER_DONE || !isfinite(lobe->below_top)) {
        return;
    }
    if (!level_unit_is_db(j->out->level.unit)) {
        snprintf(check->limit, sizeof check->limit, "%s", _("at the middle between equal levels"));
        ask(check, NAN, "");
        check->verdict = HANDOVER_MET;
        return;
    }
    judge_number(check, lobe->below_top, lobe->level_error, _("below it"), _("above it"));
}

static void judge_skew(const struct judging *j)
{
    const struct handover_lobe *lobe = &j->out->axes[AXIS_SKEW].lobe;

    snprintf(j->check->limit, sizeof j->check->limit, "%s", _("skew set by what the meter says"));
    text_copy(j->check->found, sizeof j->check->found, j->done->result);
    if (j->done->ending == HANDOVER_DONE && lobe->fitted) {
        j->check->verdict = HANDOVER_MET;
    }
}

static const struct handover_fastening *last_fastening(const struct handover *out)
{
    for (int i = out->fastening_count; i-- > 0;) {
        if (!out->fastenings[i].alarm) {
            return &out->fastenings[i];
        }
    }
    return NULL;
}

static double limit_of(const struct procedure_step *step)
{
    return isfinite(step->limit_db) ? step->limit_db : default_limit_db;
}

static void judge_tighten(const struct judging *j)
{
    const struct handover_fastening *last = last_fastening(j->out);
    double limit = limit_of(j->step);

    snprintf(j->check->limit, sizeof j->check->limit,
             _("bolts tight, the level within %g dB of that before"), limit);
    ask(j->check, limit, "dB");
    text_copy(j->check->found, sizeof j->check->found, j->done->result);
    if (!last || j->done->ending == HANDOVER_AGAIN || j->done->ending == HANDOVER_SKIPPED) {
        return;
    }
    judge_number(j->check, last->loss_db, last->loss_error_db, _("lost"), _("gained"));
    if (j->done->ending != HANDOVER_DONE) {
        j->check->verdict = HANDOVER_NOT_MET;
    }
}

/* The limit of the bolts holds for the final level against the best, too. */
static double final_limit_db(const struct handover *out)
{
    for (size_t i = 0; i < out->procedure->step_count; i++) {
        if (out->procedure->steps[i].act == DO_TIGHTEN) {
            return limit_of(&out->procedure->steps[i]);
        }
    }
    return default_limit_db;
}

static void judge_measure(const struct judging *j)
{
    const struct handover_level *level = &j->out->level;
    double limit = final_limit_db(j->out);

    text_copy(j->check->found, sizeof j->check->found, j->done->result);
    if (!level_unit_is_db(level->unit)) {
        text_copy(j->check->limit, sizeof j->check->limit, _("the final level is measured"));
        j->check->verdict = level->measured ? HANDOVER_MET : HANDOVER_NOT_MEASURED;
        return;
    }
    snprintf(j->check->limit, sizeof j->check->limit,
             _("the final level within %g dB of the best since the search"), limit);
    ask(j->check, limit, "dB");
    if (!level->measured || !isfinite(level->below_best)) {
        return;
    }
    judge_number(j->check, level->below_best, level->final_error, _("below it"), _("above it"));
}

static void judge_record(const struct judging *j)
{
    text_copy(j->check->limit, sizeof j->check->limit, _("the session is brought to its end"));
    text_copy(j->check->found, sizeof j->check->found, j->done->result);
    j->check->verdict = verdict_if(j->done->ending == HANDOVER_DONE);
}

static void (*const judges[DO_COUNT])(const struct judging *) = {
    [DO_CONFIRM] = judge_confirm, [DO_FIX] = judge_fix,           [DO_SET] = judge_set,
    [DO_SWEEP] = judge_sweep,     [DO_IDENTIFY] = judge_identify, [DO_PEAK] = judge_peak,
    [DO_NULL] = judge_skew,       [DO_TIGHTEN] = judge_tighten,   [DO_MEASURE] = judge_measure,
    [DO_RECORD] = judge_record,
};

static void judge_step(struct handover *out, size_t i)
{
    struct judging j = {.out = out,
                        .step = &out->procedure->steps[i],
                        .done = &out->steps[i],
                        .check = new_check(out, out->procedure->steps[i].name, (int)i)};

    (j.step->act == DO_PEAK && j.step->axis == AXIS_SKEW ? judge_skew : judges[j.step->act])(&j);
    if (j.done->ending == HANDOVER_NEVER || j.done->ending == HANDOVER_OPEN ||
        j.done->ending == HANDOVER_SKIPPED || j.done->ending == HANDOVER_AGAIN) {
        text_copy(j.check->found, sizeof j.check->found, _(handover_ending_name(j.done->ending)));
    }
}

/* --- what the job demands ----------------------------------------------------------------------
 */

static void judge_isolation(struct handover *out)
{
    struct handover_check *check;

    if (!isfinite(out->isolation.wanted_db)) {
        return;
    }
    check = new_check(out, N_("isolation"), -1);
    snprintf(check->limit, sizeof check->limit, _("at least %g dB between the polarisations"),
             out->isolation.wanted_db);
    ask(check, out->isolation.wanted_db, "dB");
    if (!isfinite(out->isolation.db)) {
        text_copy(check->found, sizeof check->found,
                  out->isolation.how[0] ? out->isolation.how : _("not measured"));
        return;
    }
    snprintf(check->found, sizeof check->found, _("%s, %.1f dB"),
             _(handover_origin_name(out->isolation.origin)), out->isolation.db);
    if (out->isolation.origin <= HANDOVER_READ) {
        check->found_value = out->isolation.db;
        check->verdict = verdict_if(out->isolation.db >= out->isolation.wanted_db);
    }
}

void handover_judge(struct handover *handover)
{
    handover->check_count = 0;
    if (handover->kind == HANDOVER_QUIZ) {
        return;
    }
    for (size_t i = 0; i < handover->procedure->step_count; i++) {
        judge_step(handover, i);
    }
    judge_isolation(handover);
}

int handover_judge_count(const struct handover *handover, enum handover_verdict verdict)
{
    int count = 0;

    for (int i = 0; i < handover->check_count; i++) {
        count += handover->checks[i].verdict == verdict;
    }
    return count;
}
