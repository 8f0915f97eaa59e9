#include "record/handover_fold.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
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
        dwell_start(&fold->final, &fold->state, AXIS_NONE, coach_lag_s(&fold->coach, &fold->state),
                    fold->state.t, 0.0, false);
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

/* It ended by itself: enough was read. */
static void end_measure(struct handover_fold *fold, double t)
{
    struct handover_level *level = &fold->out->level;

    if (fold->final.count > 0) {
        level->measured = true;
        level->final = dwell_level(&fold->final);
        level->final_error = dwell_level_error(&fold->final);
        level->final_t = t;
        level->final_readings = fold->final.count;
    }
}

static void end_step(struct handover_fold *fold, const struct record *record)
{
    enum procedure_do act = fold->out->procedure->steps[record->step.number - 1].act;
    struct handover_step *step = &fold->out->steps[record->step.number - 1];

    if (act == DO_MEASURE && fold->said_t != record->t) {
        end_measure(fold, record->t);
    }
    step->ending = ending_of(fold, record);
    step->ended_t = record->t;
    step->ended_utc_s = record->t + fold->offset_s;
    text_copy(step->result, sizeof step->result, record->step.result);
    fold->said_t = NAN; /* an answer ends one step */
    if (act == DO_SWEEP) {
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
    double sure = state_sure_level(&fold->state);

    if (known_before && unit_before != record->level.unit) {
        out->level.best = out->level.best_t = NAN;
        out->level.measured = false;
    }
    if (isfinite(sure) && !(sure <= out->level.best)) {
        out->level.best = sure;
        out->level.best_t = record->t;
    }
    handover_trend_add(&out->trend, record->t, record->level.value, filter->level);
    if (is_measuring(fold)) {
        dwell_update(&fold->final, &fold->state, record);
    }
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
        text_copy(out->speed.how, sizeof out->speed.how,
                  _("a speed test, typed in by the operator"));
    }
}

static void take_clock(struct handover_fold *fold, const struct record *record)
{
    fold->offset_s = record->utc.unix_s - record->t;
    if (!isfinite(fold->first_offset_s)) {
        fold->first_offset_s = fold->offset_s;
    }
}

static void take_fix(struct handover_fold *fold, const struct record *record)
{
    struct handover *out = fold->out;

    if (record->fix.mode >= 2) {
        out->site.fix = record->fix;
        out->site.fix_t = record->t;
        out->site.fixes++;
        fold->height_seen |= isfinite(record->fix.height_m);
    }
}

/* What was read or said, once the state has it. */
static void take_input(struct handover_fold *fold, const struct record *record,
                       enum level_unit unit_before, bool known_before)
{
    switch (record->kind) {
    case RECORD_FIX:
        take_fix(fold, record);
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
        /* a word to go on from where nothing is left to do says nothing about the step */
        if (record->step.event != STEP_DONE || fold->coach.nothing_left[0] == '\0') {
            fold->said = record->step.event;
            fold->said_t = record->t;
        }
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
