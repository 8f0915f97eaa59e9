#include "view/tell.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "session/timeline.h"
#include "view/figures.h"

/* A distance that only counts down is told this often at most. */
static const double repeat_s = 2.0;

/* How much better a best level must be to be told, and how often at most. */
static const double best_step_db = 0.5;
static const double best_step_share = 0.03;
static const double best_repeat_s = 2.0;

static const double target_moved_deg = 0.01;

void tell_init(struct tell *tell, void (*say)(void *to, const char *sentence), void *to)
{
    *tell = (struct tell){.say = say, .to = to, .best = NAN, .best_t = NAN, .advice_t = NAN};
    for (int i = 0; i < AXIS_COUNT; i++) {
        tell->target_deg[i] = NAN;
    }
}

static void finish(struct tell *tell, char *sentence)
{
    text_end_sentence(sentence, TELL_SIZE);
    tell->say(tell->to, sentence);
}

static void tell_begin(struct tell *tell, const struct face_scene *scene)
{
    char sentence[TELL_SIZE] = "";

    tell->begun = true;
    if (scene->log_path[0]) {
        text_append(sentence, TELL_SIZE,
                    scene->replaying ? _("Replaying %s") : _("Recording to %s"), scene->log_path);
        finish(tell, sentence);
    }
}

/* --- one kind of record each ---------------------------------------------------------------- */

static void tell_target(struct tell *tell, const struct state *state)
{
    const double *deg = state->target.deg;
    char sentence[TELL_SIZE] = "", name[RECORD_TEXT_SIZE];
    char azimuth[FIGURES_SIZE], elevation[FIGURES_SIZE], skew[FIGURES_SIZE];
    bool moved = false;

    if (!state->target.known) {
        return;
    }
    for (int i = 0; i < AXIS_COUNT; i++) {
        moved =
            moved || (isfinite(deg[i]) && !(fabs(deg[i] - tell->target_deg[i]) < target_moved_deg));
    }
    if (!moved) {
        return;
    }
    memcpy(tell->target_deg, deg, sizeof tell->target_deg);
    text_copy(name, sizeof name, job_target_name(state->job));
    text_capitalise(name);
    figures_degrees(azimuth, deg[AXIS_AZIMUTH]);
    figures_degrees(elevation, deg[AXIS_ELEVATION]);
    figures_degrees(skew, deg[AXIS_SKEW]);
    if (deg[AXIS_ELEVATION] < 0.0) {
        text_append(sentence, TELL_SIZE, _("%s: below the horizon, elevation %s"), name, elevation);
    } else if (isfinite(deg[AXIS_SKEW])) {
        text_append(sentence, TELL_SIZE, _("%s: azimuth %s, elevation %s, skew %s"), name, azimuth,
                    elevation, skew);
    } else {
        text_append(sentence, TELL_SIZE, _("%s: azimuth %s, elevation %s"), name, azimuth,
                    elevation);
    }
    finish(tell, sentence);
}

static void tell_fix(struct tell *tell, const struct record_fix *fix)
{
    char sentence[TELL_SIZE] = "";

    if ((fix->mode >= 2) == (tell->fix_mode >= 2)) {
        return;
    }
    tell->fix_mode = fix->mode;
    if (fix->mode < 2) {
        text_copy(sentence, sizeof sentence, _("The position is lost"));
    } else if (isfinite(fix->error_m)) {
        text_append(sentence, TELL_SIZE, _("Position found: %.5f, %.5f, within %.0f m"),
                    fix->lat_deg, fix->lon_deg, ceil(fix->error_m));
    } else {
        text_append(sentence, TELL_SIZE, _("Position found: %.5f, %.5f"), fix->lat_deg,
                    fix->lon_deg);
    }
    finish(tell, sentence);
}

static void tell_source(struct tell *tell, const struct state *state,
                        const struct record_source *source)
{
    char sentence[TELL_SIZE] = "";
    size_t i = 0;

    while (i < state->source_count && strcmp(state->sources[i].name, source->name) != 0) {
        i++;
    }
    if (i == state->source_count) {
        return;
    }
    if (source->status == SOURCE_BAD) {
        /* at the first, then at every doubling: a source that only talks nonsense must not drown
         * the advice */
        if (source->bad < 2 * tell->sources[i].bad || source->bad == 0) {
            return;
        }
        tell->sources[i].bad = source->bad;
        text_append(sentence, TELL_SIZE,
                    tongue_say_count("Source %s: %u line refused so far",
                                     "Source %s: %u lines refused so far", source->bad),
                    source->name, source->bad);
    } else if (tell->sources[i].told && tell->sources[i].status == source->status) {
        return;
    } else {
        tell->sources[i].told = true;
        tell->sources[i].status = source->status;
        text_append(sentence, TELL_SIZE,
                    source->status == SOURCE_UP     ? _("Source %s is up")
                    : source->status == SOURCE_DOWN ? _("Source %s is down")
                                                    : _("Source %s is silent"),
                    source->name);
    }
    if (source->why[0]) {
        text_append(sentence, TELL_SIZE, ": %s", source->why);
    }
    finish(tell, sentence);
}

static void tell_lock(struct tell *tell, const struct record_lock *lock)
{
    char sentence[TELL_SIZE] = "";

    if (tell->lock_told ? tell->locked == lock->locked && strcmp(tell->lock_id, lock->id) == 0
                        : !lock->locked) {
        return;
    }
    tell->lock_told = true;
    tell->locked = lock->locked;
    text_copy(tell->lock_id, sizeof tell->lock_id, lock->id);
    if (lock->locked && lock->id[0]) {
        text_append(sentence, TELL_SIZE, _("Locked on %s"), lock->id);
    } else {
        text_copy(sentence, sizeof sentence, lock->locked ? _("Locked") : _("Lock lost"));
    }
    finish(tell, sentence);
}

static void tell_best(struct tell *tell, const struct state *state)
{
    double best = state->level.best;
    double step = level_unit_is_db(state->level.unit) ? best_step_db : best_step_share * fabs(best);
    char sentence[TELL_SIZE] = "", number[FIGURES_SIZE];

    if (tell->best_unit != state->level.unit) {
        tell->best_unit = state->level.unit;
        tell->best = NAN;
    }
    if (!isfinite(best) || best - tell->best < step || state->t - tell->best_t < best_repeat_s) {
        return;
    }
    tell->best = best;
    tell->best_t = state->t;
    figures_level(number, best, state->level.unit);
    text_append(sentence, TELL_SIZE, _("Best so far %s (filtered)"), number);
    finish(tell, sentence);
}

static void tell_move(struct tell *tell, const struct record_move *move)
{
    char sentence[TELL_SIZE] = "", number[FIGURES_SIZE];
    bool in_deg = isfinite(move->deg);

    if (in_deg) {
        figures_degrees(number, fabs(move->deg));
    } else {
        figures_turns_worded(number, move->turns);
    }
    text_append(sentence, TELL_SIZE, _("Moved %s %s"),
                axis_way_word(move->axis, in_deg ? move->deg : move->turns), number);
    finish(tell, sentence);
}

/* What was read off a scale is said back, with the true angle where the two differ. */
static void tell_angles(struct tell *tell, const struct state *state,
                        const struct record_angles *angles)
{
    for (int i = 0; angles->scale && i < AXIS_COUNT; i++) {
        char sentence[TELL_SIZE] = "", scale[FIGURES_SIZE], truth[FIGURES_SIZE];
        double deg = angles->deg[i], true_deg = state->measured.deg[i];
        if (!isfinite(deg)) {
            continue;
        }
        figures_degrees(scale, deg);
        if (fabs(true_deg - deg) >= target_moved_deg) {
            figures_degrees(truth, true_deg);
            text_append(sentence, TELL_SIZE, _("Read %s %s on the scale, true %s"),
                        axis_word((enum axis)i), scale, truth);
        } else {
            text_append(sentence, TELL_SIZE, _("Read %s %s on the scale"), axis_word((enum axis)i),
                        scale);
        }
        finish(tell, sentence);
    }
}

static void tell_step(struct tell *tell, const struct record_step *step)
{
    char sentence[TELL_SIZE] = "";

    if (step->event == STEP_ENTER) {
        text_append(sentence, TELL_SIZE, _("Step %d of %d: %s"), step->number, step->count,
                    _(step->name));
        tell->advice_t = NAN; /* what it asks is said, be it the same as before */
    } else if (step->event == STEP_LEAVE && step->result[0]) {
        /* TRANSLATORS: of a step, and what came of it */
        text_append(sentence, TELL_SIZE, _("End of %s: %s"), _(step->name), step->result);
    } else if (step->event == STEP_LEAVE) {
        text_append(sentence, TELL_SIZE, _("End of %s"), _(step->name));
    } else {
        return;
    }
    finish(tell, sentence);
}

static void say_advice(struct tell *tell, double t)
{
    char sentence[TELL_SIZE] = "";

    tell->advice_t = t;
    tell->advice_waits = false;
    text_append(sentence, TELL_SIZE, "%s", tell->advice.say);
    finish(tell, sentence);
    /* the grounds stay the same while a distance counts down */
    if (tell->advice.why[0] && strcmp(tell->advice.why, tell->why) != 0) {
        sentence[0] = '\0';
        text_append(sentence, TELL_SIZE, _("Why: %s"), tell->advice.why);
        finish(tell, sentence);
    }
    text_copy(tell->why, sizeof tell->why, tell->advice.why);
}

static void tell_advice(struct tell *tell, const struct advice *advice, double t)
{
    const struct advice *last = &tell->advice;
    bool same_kind = !isnan(tell->advice_t) && strcmp(advice->step, last->step) == 0 &&
                     advice->axis == last->axis && advice->move == last->move &&
                     advice->until == last->until && isnan(advice->deg) == isnan(last->deg);
    bool same = same_kind && strcmp(advice->say, last->say) == 0;

    tell->advice = *advice;
    if (same_kind && isfinite(advice->deg) && t - tell->advice_t < repeat_s) {
        tell->advice_waits = tell->advice_waits || !same;
    } else if (!same) {
        say_advice(tell, t);
    }
}

/* Who practises alone has no antenna to push. */
static void tell_simulation(struct tell *tell, const struct advice *advice)
{
    char sentence[TELL_SIZE] = "";

    if (tell->simulation_told || !advice_bends(advice->move)) {
        return;
    }
    tell->simulation_told = true;
    text_append(sentence, TELL_SIZE, "%s", _("The simulation pushes and pulls by itself"));
    finish(tell, sentence);
}

static void tell_note(struct tell *tell, const char *what, const char *text)
{
    char sentence[TELL_SIZE] = "";

    text_append(sentence, TELL_SIZE, "%s%s%s", what, text[0] ? ": " : "", text);
    finish(tell, sentence);
}

void tell_record(struct tell *tell, const struct face_scene *scene, const struct record *record)
{
    const struct state *state = scene->state;

    if (!tell->begun) {
        tell_begin(tell, scene);
    }
    if (tell->advice_waits && record->kind != RECORD_ADVICE &&
        record->t - tell->advice_t >= repeat_s) {
        say_advice(tell, record->t);
    }
    switch (record->kind) {
    case RECORD_FIX:
        tell_fix(tell, &record->fix);
        break;
    case RECORD_ANGLES:
        tell_angles(tell, state, &record->angles);
        break;
    case RECORD_LEVEL:
        tell_best(tell, state);
        break;
    case RECORD_LOCK:
        tell_lock(tell, &record->lock);
        break;
    case RECORD_MOVE:
        tell_move(tell, &record->move);
        break;
    case RECORD_NOTE:
        tell_note(tell, _("Note"), record->note.text);
        break;
    case RECORD_MARK:
        tell_note(tell, _("Mark"), record->mark.text);
        break;
    case RECORD_SOURCE:
        tell_source(tell, state, &record->source);
        break;
    case RECORD_STEP:
        tell_step(tell, &record->step);
        break;
    case RECORD_ADVICE:
        tell_advice(tell, &record->advice, record->t);
        if (scene->mount_is_simulated) {
            tell_simulation(tell, &record->advice);
        }
        break;
    case RECORD_UTC:
    case RECORD_AUX:
    case RECORD_KIND_COUNT:
        break;
    }
    tell_target(tell, state);
}

/* --- a replay ------------------------------------------------------------------------------- */

/* As if everything that is so had been told. */
static void catch_up(struct tell *tell, const struct state *state)
{
    memcpy(tell->target_deg, state->target.deg, sizeof tell->target_deg);
    tell->fix_mode = isfinite(state->fix_t) ? state->fix.mode : 0;
    for (size_t i = 0; i < state->source_count; i++) {
        tell->sources[i].told = true;
        tell->sources[i].status = state->sources[i].status;
        tell->sources[i].bad = state->sources[i].bad;
    }
    tell->lock_told = isfinite(state->lock_t);
    tell->locked = tell->lock_told && state->lock.locked;
    text_copy(tell->lock_id, sizeof tell->lock_id, tell->lock_told ? state->lock.id : "");
    tell->best = state->level.best;
    tell->best_t = state->t;
    tell->best_unit = state->level.unit;
    tell->advice_t = NAN;
    tell->advice_waits = false;
    tell->why[0] = '\0';
}

/* "Paused at 4:10 of 12:32", "Going on at 4:10 of 12:32, 4 times as fast" */
static void tell_stand(struct tell *tell, const struct face_scene *scene)
{
    char sentence[TELL_SIZE] = "", now[FIGURES_SIZE], end[FIGURES_SIZE];

    figures_clock(now, scene->t);
    figures_clock(end, scene->timeline->end_t);
    if (scene->ended) {
        text_append(sentence, TELL_SIZE, _("The end, %s"), now);
        finish(tell, sentence);
        return;
    }
    text_append(sentence, TELL_SIZE,
                scene->paused ? _("Paused at %s of %s") : _("Going on at %s of %s"), now, end);
    if (isinf(scene->speed)) {
        text_append(sentence, TELL_SIZE, "%s", _(", as fast as it goes"));
    } else if (scene->speed != 1.0) {
        text_append(sentence, TELL_SIZE, _(", %g times as fast"), scene->speed);
    }
    finish(tell, sentence);
}

void tell_steered(struct tell *tell, const struct face_scene *scene, bool sought)
{
    const struct state *state = scene->state;

    tell_stand(tell, scene);
    if (!sought) {
        return;
    }
    tell->begun = true;
    catch_up(tell, state);
    if (isfinite(state->step_t)) {
        tell_step(tell, &state->step);
    }
    if (isfinite(state->advice_t)) {
        tell_advice(tell, &state->advice, state->t);
    }
}
