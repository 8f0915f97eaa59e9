#include "record/handover_fold.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "coach/travel.h"
#include "record/handover_signal.h"
#include "record/handover_trend.h"
#include "record/handover_watch.h"
#include "sky/angle.h"

static const char score_prefix[] = "score: ", quiz_prefix[] = "quiz: ";

static bool is_simulated(const struct job *job)
{
    for (size_t i = 0; i < job->source_count; i++) {
        if (strncmp(job->sources[i].address, "sim:", 4) == 0) {
            return true;
        }
    }
    return false;
}

static void init_values(struct handover *out)
{
    out->begun_utc_s = NAN;
    out->declination_deg = out->bias_deg = NAN;
    out->site.lat_deg = out->site.lon_deg = out->site.height_m = NAN;
    out->site.fix = (struct record_fix){
        .lat_deg = NAN, .lon_deg = NAN, .height_m = NAN, .error_m = NAN, .satellites = -1};
    out->site.fix_t = NAN;
    out->site.origin = HANDOVER_UNKNOWN;
    out->level.last = out->level.final = out->level.final_error = out->level.final_t = NAN;
    out->level.best = out->level.best_t = out->level.below_best = out->level.below_expected = NAN;
    out->isolation.origin = out->link.origin = out->speed.origin = HANDOVER_UNKNOWN;
    out->isolation.db = out->isolation.skew_error_deg = NAN;
    out->link.esn0_db = out->link.expected_mbps = NAN;
    out->speed.down_mbps = out->speed.up_mbps = NAN;
    for (int i = 0; i < AXIS_COUNT; i++) {
        out->axes[i].computed_deg = out->axes[i].found_deg = NAN;
        out->axes[i].found_t = out->axes[i].found_scale_deg = NAN;
        out->axes[i].found_by = HANDOVER_UNKNOWN;
    }
    for (int i = 0; i < PROCEDURE_STEPS; i++) {
        out->steps[i].began_t = out->steps[i].ended_t = out->steps[i].ended_utc_s = NAN;
    }
}

void handover_fold_init(struct handover_fold *fold, struct handover *ret, const struct job *job,
                        const struct procedure *procedure, const struct magnetic_model *magnetic)
{
    *ret = (struct handover){.job = job, .procedure = procedure};
    init_values(ret);
    ret->kind = is_simulated(job) ? HANDOVER_PRACTICE : HANDOVER_INSTALL;
    ret->level.expected = job->target.expected_level;
    ret->isolation.wanted_db = job->link.isolation_db;
    handover_trend_init(&ret->trend);

    memset(fold, 0, sizeof *fold);
    fold->out = ret;
    fold->at = fold->left = -1;
    fold->said_t = NAN;
    fold->first_offset_s = fold->offset_s = NAN;
    fold->isolation_told_db = fold->peak_expected = NAN;
    state_init(&fold->state, job, magnetic);
    coach_init(&fold->coach, job, procedure);
}

/* --- the steps, as the log has them ---------------------------------------------------------- */

/* What was ended before is to be done anew once an earlier step begins again; what sends back did
 * not end well. */
static void reopen_after(struct handover_fold *fold, int index)
{
    struct handover *out = fold->out;

    if (fold->left > index && out->steps[fold->left].ending == HANDOVER_DONE) {
        out->steps[fold->left].ending = HANDOVER_LEFT;
    }
    for (size_t i = (size_t)index + 1; i < out->procedure->step_count; i++) {
        if (out->steps[i].ending != HANDOVER_NEVER && out->steps[i].ending != HANDOVER_LEFT) {
            out->steps[i].ending = HANDOVER_AGAIN;
        }
    }
}

static void begin_step(struct handover_fold *fold, const struct record *record)
{
    struct handover *out = fold->out;
    int index = record->step.number - 1;

    reopen_after(fold, index);
    fold->at = index;
    out->steps[index].visits++;
    out->steps[index].began_t = record->t;
    out->steps[index].ended_t = out->steps[index].ended_utc_s = NAN;
    out->steps[index].ending = HANDOVER_OPEN;
    out->steps[index].sure = false;
    out->steps[index].result[0] = '\0';
    handover_trend_mark(&out->trend, record->t, index);
    switch (out->procedure->steps[index].act) {
    case DO_SWEEP:
        out->level.best = out->level.best_t = NAN;
        break;
    case DO_MEASURE:
        memset(fold->stood, 0, sizeof fold->stood);
        memset(&fold->cross, 0, sizeof fold->cross);
        break;
    case DO_SET:
    case DO_PEAK:
    case DO_NULL:
    case DO_TIGHTEN:
        break;
    default:
        return;
    }
    /* what was measured before is of an antenna that is being moved now */
    out->level.measured = false;
}

static enum handover_ending ending_of(const struct handover_fold *fold, const struct record *record)
{
    enum procedure_do act = fold->out->procedure->steps[record->step.number - 1].act;

    if (fold->said_t != record->t) {
        return HANDOVER_DONE;
    }
    switch (fold->said) {
    case STEP_SKIP:
        return HANDOVER_SKIPPED;
    case STEP_BACK:
    case STEP_REPEAT:
        return HANDOVER_LEFT;
    default:
        return act == DO_CONFIRM                        ? HANDOVER_CONFIRMED
               : act == DO_TIGHTEN || act == DO_MEASURE ? HANDOVER_DONE
                                                        : HANDOVER_BY_WORD;
    }
}

static void end_step(struct handover_fold *fold, const struct record *record)
{
    struct handover_step *step = &fold->out->steps[record->step.number - 1];

    step->ending = ending_of(fold, record);
    step->ended_t = record->t;
    step->ended_utc_s = record->t + fold->offset_s;
    text_copy(step->result, sizeof step->result, record->step.result);
    fold->said_t = NAN; /* an answer ends one step */
    if (fold->out->procedure->steps[record->step.number - 1].act == DO_SWEEP) {
        fold->out->level.best = fold->out->level.best_t = NAN;
    }
    fold->left = record->step.number - 1;
    fold->at = -1;
}

static void take_step(struct handover_fold *fold, const struct record *record)
{
    int number = record->step.number;

    if (number < 1 || number > (int)fold->out->procedure->step_count) {
        return;
    }
    if (record->step.event == STEP_ENTER) {
        begin_step(fold, record);
    } else {
        end_step(fold, record);
    }
}

/* --- notes, faults, the score ---------------------------------------------------------------- */

static void take_sentence(struct handover *out, const char *text)
{
    const char *points = strstr(text, "Score: ");

    if (points == text) {
        out->score.known = true;
        out->score.points = strtod(points + strlen("Score: "), NULL);
    }
    if (out->score.count == HANDOVER_SENTENCES) {
        /* the oldest goes: the sum comes last */
        memmove(out->score.sentences, out->score.sentences + 1,
                sizeof out->score.sentences - sizeof *out->score.sentences);
        out->score.count--;
        out->score.lost++;
    }
    text_copy(out->score.sentences[out->score.count++], RECORD_TEXT_SIZE, text);
}

/* The score of a practice or a quiz stands in notes. */
static bool take_score(struct handover_fold *fold, const char *text)
{
    struct handover *out = fold->out;

    if (strncmp(text, score_prefix, strlen(score_prefix)) == 0 && out->kind == HANDOVER_PRACTICE) {
        take_sentence(out, text + strlen(score_prefix));
        return true;
    }
    if (strncmp(text, quiz_prefix, strlen(quiz_prefix)) == 0 &&
        (out->kind == HANDOVER_QUIZ || out->log.records == 1)) {
        out->kind = HANDOVER_QUIZ;
        take_sentence(out, text + strlen(quiz_prefix));
        return true;
    }
    return false;
}

static void take_note(struct handover_fold *fold, const struct record *record)
{
    struct handover *out = fold->out;

    if (out->note_count == HANDOVER_NOTES) {
        memmove(out->notes, out->notes + 1, sizeof out->notes - sizeof *out->notes);
        out->note_count--;
        out->notes_lost++;
    }
    out->notes[out->note_count].t = record->t;
    out->notes[out->note_count].utc_s = record->t + fold->offset_s;
    out->notes[out->note_count].mark = record->kind == RECORD_MARK;
    text_copy(out->notes[out->note_count++].text, RECORD_TEXT_SIZE, record->note.text);
}

static void take_source(struct handover_fold *fold, const struct record *record)
{
    struct handover *out = fold->out;

    if (record->source.status == SOURCE_UP) {
        return;
    }
    if (out->fault_count == HANDOVER_FAULTS) {
        memmove(out->faults, out->faults + 1, sizeof out->faults - sizeof *out->faults);
        out->fault_count--;
        out->faults_lost++;
    }
    out->faults[out->fault_count].t = record->t;
    out->faults[out->fault_count++].source = record->source;
}

/* --- readings -------------------------------------------------------------------------------- */

static bool is_measuring(const struct handover_fold *fold)
{
    return fold->at >= 0 && fold->out->procedure->steps[fold->at].act == DO_MEASURE;
}

static void take_level(struct handover_fold *fold, const struct record *record,
                       enum level_unit unit_before, bool known_before)
{
    struct handover *out = fold->out;
    const struct level_filter *filter = &fold->state.level.filter;
    double sure = level_filter_sure(filter);

    if (known_before && unit_before != record->level.unit) {
        out->level.best = out->level.best_t = NAN;
        out->level.measured = false;
    }
    if (isfinite(sure) && !(sure <= out->level.best)) {
        out->level.best = sure;
        out->level.best_t = record->t;
    }
    handover_trend_add(&out->trend, record->t, record->level.value, filter->level);
}

static void take_angles(struct handover_fold *fold, const struct record *record)
{
    for (int i = 0; i < AXIS_COUNT; i++) {
        double deg = fold->state.measured.deg[i];
        if (!isfinite(record->angles.deg[i])) {
            continue;
        }
        fold->typed[i] = record->angles.scale;
        if (is_measuring(fold)) {
            if (fold->stood[i].count++ == 0) {
                fold->stood[i].first_deg = deg;
            }
            fold->stood[i].sum_deg += i == AXIS_SKEW
                                          ? angle_turn_axial_deg(fold->stood[i].first_deg, deg)
                                          : angle_turn_deg(fold->stood[i].first_deg, deg);
        }
    }
}

static void take_aux(struct handover_fold *fold, const struct record_aux *aux)
{
    struct handover *out = fold->out;

    if (strcmp(aux->name, "cross") == 0 && is_measuring(fold)) {
        fold->cross.sum += aux->value;
        fold->cross.count++;
    } else if (strcmp(aux->name, "isolation") == 0) {
        fold->isolation_told_db = aux->value;
    } else if (strcmp(aux->name, "download") == 0 || strcmp(aux->name, "upload") == 0) {
        *(aux->name[0] == 'd' ? &out->speed.down_mbps : &out->speed.up_mbps) = aux->value;
        out->speed.origin = HANDOVER_READ;
        text_copy(out->speed.how, sizeof out->speed.how, "a speed test, typed in by the operator");
    }
}

static void take_clock(struct handover_fold *fold, const struct record *record)
{
    fold->offset_s = record->utc.unix_s - record->t;
    if (!isfinite(fold->first_offset_s)) {
        fold->first_offset_s = fold->offset_s;
    }
}

static void take_fix(struct handover *out, const struct record *record)
{
    if (record->fix.mode >= 2) {
        out->site.fix = record->fix;
        out->site.fix_t = record->t;
        out->site.fixes++;
    }
}

/* What was read or said, once the state has it. */
static void take_input(struct handover_fold *fold, const struct record *record,
                       enum level_unit unit_before, bool known_before)
{
    switch (record->kind) {
    case RECORD_FIX:
        take_fix(fold->out, record);
        break;
    case RECORD_UTC:
        take_clock(fold, record);
        break;
    case RECORD_ANGLES:
        take_angles(fold, record);
        break;
    case RECORD_LEVEL:
        take_level(fold, record, unit_before, known_before);
        break;
    case RECORD_AUX:
        take_aux(fold, &record->aux);
        break;
    case RECORD_NOTE:
    case RECORD_MARK:
        take_note(fold, record);
        break;
    case RECORD_SOURCE:
        take_source(fold, record);
        break;
    case RECORD_STEP:
        fold->said = record->step.event;
        fold->said_t = record->t;
        break;
    default:
        break;
    }
}

/* --- what the coach makes again ----------------------------------------------------------------
 */

static bool is_same(const struct record *a, const struct record *b)
{
    char one[4096], other[4096];
    int n = record_format(a, one, sizeof one);

    return n > 0 && record_format(b, other, sizeof other) == n &&
           memcmp(one, other, (size_t)n) == 0;
}

/* What it made of the last input must all have been logged before the next one came. */
static void settle_pending(struct handover_fold *fold)
{
    if (fold->pending_seen < fold->pending_count) {
        fold->out->log.differs++;
    }
    fold->pending_count = fold->pending_seen = 0;
}

static void compare_made(struct handover_fold *fold, const struct record *logged)
{
    if (fold->pending_seen >= fold->pending_count ||
        !is_same(logged, &fold->pending[fold->pending_seen])) {
        fold->out->log.differs++;
        fold->pending_seen = fold->pending_count;
        return;
    }
    fold->pending_seen++;
}

static void coach_again(struct handover_fold *fold, const struct record *input)
{
    struct handover_watch watch;
    struct record made;

    handover_watch_before(fold, input, &watch);
    coach_update(&fold->coach, &fold->state, input);
    handover_watch_after(fold, &watch);
    while (coach_take(&fold->coach, &made)) {
        record_round(&made);
        state_apply(&fold->state, &made);
        fold->pending[fold->pending_count++] = made;
        if (made.kind == RECORD_STEP && made.step.event == STEP_LEAVE) {
            handover_watch_left(fold, &watch, &made.step, input);
        }
    }
}

void handover_fold_apply(struct handover_fold *fold, const struct record *record)
{
    struct handover *out = fold->out;
    enum level_unit unit_before = fold->state.level.unit;
    bool known_before = fold->state.level.known;

    out->log.records++;
    out->duration_s = record->t;
    if (record_is_made(record)) {
        compare_made(fold, record);
        if (record->kind == RECORD_STEP) {
            take_step(fold, record);
        }
        return;
    }
    settle_pending(fold);
    if (record->kind == RECORD_NOTE && take_score(fold, record->note.text)) {
        return; /* nobody coaches any more */
    }
    state_apply(&fold->state, record);
    take_input(fold, record, unit_before, known_before);
    coach_again(fold, record);
}

/* --- the end --------------------------------------------------------------------------------- */

static void end_axis(struct handover_fold *fold, enum axis axis)
{
    struct handover_axis *ret = &fold->out->axes[axis];
    const struct state *state = &fold->state;
    const struct job_axis *mount = &fold->out->job->mount.axes[axis];
    double deg = state->measured.deg[axis];

    ret->computed_deg = state->target.deg[axis];
    if (!isfinite(deg)) {
        return;
    }
    ret->found_deg = deg + state->measured.nudged_deg[axis];
    ret->found_t = state->measured.t[axis];
    ret->found_by = state->measured.nudged_deg[axis] != 0.0 ? HANDOVER_COUNTED
                    : fold->typed[axis]                     ? HANDOVER_READ
                                                            : HANDOVER_MEASURED;
    if (ret->found_by == HANDOVER_MEASURED && fold->stood[axis].count > 0 &&
        fold->out->level.measured) {
        /* one reading of a sensor jumps: the mean of those beside the final level */
        ret->found_deg =
            fold->stood[axis].first_deg + fold->stood[axis].sum_deg / fold->stood[axis].count;
        ret->found_t = fold->out->level.final_t;
    }
    if (axis == AXIS_AZIMUTH) {
        ret->found_deg = angle_wrap_deg(ret->found_deg);
    } else if (axis == AXIS_SKEW) {
        ret->found_deg = angle_wrap_axial_deg(ret->found_deg);
    }
    if (mount->from == JOB_FROM_SCALE || fold->typed[axis]) {
        ret->found_scale_deg = job_scale_from_true(mount, ret->found_deg);
    }
}

static void end_met(struct handover_fold *fold)
{
    const struct arc *arc = &fold->coach.arc;
    struct handover *out = fold->out;

    for (int i = 0; i < arc->top_count && out->met_count < HANDOVER_CARRIERS; i++) {
        struct handover_met *met = &out->met[out->met_count++];
        *met = (struct handover_met){.azimuth_deg = arc->tops[i].x,
                                     .level = arc->tops[i].level,
                                     .chosen = i == arc->chosen,
                                     .refused = arc->tops[i].refused};
        text_copy(met->name, sizeof met->name, arc_name(arc, out->job, i));
    }
}

static void end_site(struct handover_fold *fold)
{
    const struct state *state = &fold->state;
    struct handover *out = fold->out;

    if (state->site_from == SITE_NONE) {
        return;
    }
    out->site.origin = state->site_from == SITE_JOB ? HANDOVER_GIVEN : HANDOVER_MEASURED;
    out->site.lat_deg = state->site.lat_deg;
    out->site.lon_deg = state->site.lon_deg;
    out->site.height_m = state->site.height_m;
    if (state->field_known) {
        out->declination_deg = state->field.declination_deg;
    }
}

static void end_level(struct handover_fold *fold)
{
    struct handover_level *level = &fold->out->level;
    const struct job_meter *meter = job_find_meter(fold->out->job, "");

    level->known = fold->state.level.known;
    level->unit = level->known ? fold->state.level.unit : meter ? meter->unit : LEVEL_DB;
    level->last = level->known ? fold->state.level.filter.level : NAN;
    if (meter) {
        text_copy(level->quantity, sizeof level->quantity, meter->quantity);
    }
    if (!level->measured) {
        level->final = level->final_error = level->final_t = NAN;
        level->final_readings = 0;
    }
    level->below_best = level->best - level->final;
    level->below_expected = level->expected - level->final;
}

/* What happened before the first clock is dated by it. */
static void date(double *utc_s, double t, double offset_s)
{
    if (!isfinite(*utc_s)) {
        *utc_s = t + offset_s;
    }
}

static void end_dates(struct handover_fold *fold)
{
    struct handover *out = fold->out;

    out->begun_utc_s = fold->first_offset_s;
    for (size_t i = 0; i < out->procedure->step_count; i++) {
        date(&out->steps[i].ended_utc_s, out->steps[i].ended_t, fold->first_offset_s);
    }
    for (int i = 0; i < out->note_count; i++) {
        date(&out->notes[i].utc_s, out->notes[i].t, fold->first_offset_s);
    }
}

void handover_fold_finish(struct handover_fold *fold)
{
    struct handover *out = fold->out;
    const struct coach_learned *learned = &fold->coach.learned;
    size_t last = out->procedure->step_count - 1;

    out->finished = out->procedure->step_count > 0 && out->steps[last].ending >= HANDOVER_DONE &&
                    out->steps[last].ending <= HANDOVER_SKIPPED;
    for (size_t i = 0; i < fold->state.source_count; i++) {
        out->refused += fold->state.sources[i].bad;
    }
    end_site(fold);
    end_level(fold);
    for (int i = 0; i < AXIS_COUNT; i++) {
        end_axis(fold, (enum axis)i);
    }
    end_met(fold);
    end_dates(fold);
    out->bias_deg = learned->azimuth_bias_deg;
    out->identity.sure = learned->sure;
    text_copy(out->identity.grounds, sizeof out->identity.grounds, learned->grounds);
    text_copy(out->identity.lock_id, sizeof out->identity.lock_id,
              fold->state.lock.locked ? fold->state.lock.id : "");
    handover_signal_end(fold);
}
