/* The panels of words: title, coach, aim, level, sources, notes, steps, keys. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "view/panel.h"
#include "view/readout.h"

/* --- title ---------------------------------------------------------------------------------- */

static void draw_title(const struct canvas *canvas, const struct face_scene *scene,
                       const struct panel_view *view)
{
    const struct job *job = scene->state->job;
    char left[READOUT_SIZE] = "", right[READOUT_SIZE] = "", time[READOUT_SIZE];

    (void)view;
    readout_time(scene->t, time);
    text_append(left, sizeof left, " %s  %s, pol %s", scene->title, job->target.satellite.name,
                polarisation_name(job->target.polarisation));
    if (scene->replaying) {
        text_append(right, sizeof right, "%s %s x%.3g ", scene->paused ? "PAUSED" : "REPLAY", time,
                    scene->speed);
    } else {
        text_append(right, sizeof right, "recording %s ", time);
    }
    canvas_bar(canvas, 0, LOOK_BAR);
    canvas_text(canvas, 0, 0, LOOK_BAR, "%s", left);
    canvas_text(canvas, 0, canvas->cols - canvas_width(canvas, right), LOOK_BAR, "%s", right);
}

const struct panel panel_title = {"title", 1, 1, draw_title};

/* --- coach ---------------------------------------------------------------------------------- */

/* Arrows on both sides make the way plain from afar. */
static void draw_coach(const struct canvas *canvas, const struct face_scene *scene,
                       const struct panel_view *view)
{
    const struct state *state = scene->state;
    const struct advice *advice = &state->advice;
    const char *arrow = readout_arrow(advice->move);
    char move[READOUT_SIZE], turns[READOUT_SIZE];
    int col, used;

    (void)view;
    readout_move(advice, move);
    readout_turns(advice->turns, turns);
    col = canvas_text(canvas, 0, 1, LOOK_STRONG, "%s%s%s%s%s", arrow, arrow, arrow,
                      arrow[0] ? "  " : "", move[0] ? move : "WAIT");
    if (turns[0] != '\0') {
        col = canvas_text(canvas, 0, col, LOOK_STRONG, "  = %s", turns);
    }
    if (arrow[0] != '\0') {
        canvas_text(canvas, 0, col + 2, LOOK_STRONG, "%s%s%s", arrow, arrow, arrow);
    }
    used = 1 + canvas_paragraph(canvas, 1, 1, canvas->rows > 4 ? 2 : 1, LOOK_PLAIN,
                                advice->say[0] ? advice->say : "Waiting for the first reading.");
    if (state->step.count > 0 && used < canvas->rows) {
        char step[READOUT_SIZE] = "";
        text_append(step, sizeof step, "step %d of %d: %s", state->step.number, state->step.count,
                    state->step.name);
        if (advice->why[0] != '\0') {
            text_append(step, sizeof step, " \u2500 %s", advice->why);
        }
        canvas_paragraph(canvas, used, 1, canvas->rows - used, LOOK_FAINT, step);
    }
}

const struct panel panel_coach = {"coach", 4, 6, draw_coach};

/* --- aim ------------------------------------------------------------------------------------ */

static void draw_aim(const struct canvas *canvas, const struct face_scene *scene,
                     const struct panel_view *view)
{
    bool narrow = canvas->cols < 56;
    int at_target = 11, at_measured = narrow ? 20 : 22, at_go = narrow ? 29 : 37;

    (void)view;
    canvas_text(canvas, 0, at_target, LOOK_FAINT, "target");
    canvas_text(canvas, 0, at_measured, LOOK_FAINT, narrow ? "now" : "measured");
    canvas_text(canvas, 0, at_go, LOOK_FAINT, "to go");
    for (int i = 0; i < AXIS_COUNT; i++) {
        struct readout_axis axis;
        const char *arrow;
        int col;

        readout_axis(scene, (enum axis)i, &axis);
        arrow = readout_arrow(axis.way);
        canvas_text(canvas, i + 1, 1, LOOK_PLAIN, "%s", axis_name((enum axis)i));
        canvas_text(canvas, i + 1, at_target, LOOK_PLAIN, "%s", axis.target);
        canvas_text(canvas, i + 1, at_measured, axis.old ? LOOK_BAD : LOOK_PLAIN, "%s",
                    axis.measured);
        col = canvas_text(canvas, i + 1, at_go, axis.way == ADVICE_HOLD && axis.known ? LOOK_GOOD : LOOK_STRONG,
                          "%s%s%s", arrow, arrow[0] ? " " : "", axis.to_go);
        if (axis.scale[0] != '\0') {
            canvas_text(canvas, i + 1, col + 2, LOOK_FAINT, "scale %s", axis.scale);
        }
    }
}

const struct panel panel_aim = {"aim", 4, 5, draw_aim};

/* --- level ---------------------------------------------------------------------------------- */

/* A bar from the lowest of the trend to the best, so that the eye sees how far there is to go. */
static void draw_bar(const struct canvas *canvas, int row, const struct state *state)
{
    double low = INFINITY, best = state->level.best, share;
    int cols = canvas->cols - 4, filled;
    char bar[256];

    for (size_t i = 0; i < state->trend_count; i++) {
        low = fmin(low, isfinite(state_trend_at(state, i)->filtered)
                            ? state_trend_at(state, i)->filtered
                            : low);
    }
    share = (state->level.filter.level - low) / (best - low);
    if (cols < 10 || !isfinite(share)) {
        return;
    }
    cols = cols < (int)sizeof bar - 1 ? cols : (int)sizeof bar - 1;
    filled = (int)lround(fmin(fmax(share, 0.0), 1.0) * cols);
    memset(bar, '.', (size_t)cols);
    memset(bar, '=', (size_t)filled);
    bar[cols] = '\0';
    canvas_text(canvas, row, 1, LOOK_STRONG, "%s|", bar);
}

static void draw_level(const struct canvas *canvas, const struct face_scene *scene,
                       const struct panel_view *view)
{
    const struct state *state = scene->state;
    char level[READOUT_SIZE], best[READOUT_SIZE], below[READOUT_SIZE], lock[READOUT_SIZE];
    const struct job_meter *meter = job_find_meter(state->job, "");
    bool stale = state->level.known && scene->t - state->level.t > 3.0;
    bool narrow = canvas->cols < 56;
    int col;

    (void)view;
    readout_level(state, state->level.filter.level, level);
    readout_level(state, state->level.best, best);
    readout_below(state, below);
    readout_lock(state, lock);
    col = canvas_text(canvas, 0, 1, LOOK_FAINT, "%s ",
                      meter && meter->quantity[0] ? meter->quantity : "level");
    col = canvas_text(canvas, 0, col, stale ? LOOK_BAD : LOOK_STRONG, "%s", level);
    if (stale) {
        col = canvas_text(canvas, 0, col + 1, LOOK_BAD, "%.0f s old", scene->t - state->level.t);
    }
    col = canvas_text(canvas, 0, col + 2, LOOK_STRONG, "%s", below);
    if (!narrow) {
        canvas_text(canvas, 0, col + 2, LOOK_FAINT, "best (filtered) %s", best);
    }
    draw_bar(canvas, 1, state);
    col = canvas_text(canvas, 2, 1, state->lock.locked ? LOOK_GOOD : LOOK_PLAIN, "%s", lock);
    if (level_filter_saturated(&state->level.filter)) {
        canvas_text(canvas, 2, col + 2, LOOK_BAD, "meter at its end: put in an attenuator");
    } else if (narrow) {
        canvas_text(canvas, 2, col + 2, LOOK_FAINT, "best %s", best);
    }
}

const struct panel panel_level = {"level", 3, 4, draw_level};

/* --- sources -------------------------------------------------------------------------------- */

static void draw_sources(const struct canvas *canvas, const struct face_scene *scene,
                         const struct panel_view *view)
{
    const struct state *state = scene->state;
    char text[READOUT_SIZE];
    int col = 1, row = 0;

    (void)view;
    readout_fix(state, scene->t, text);
    col = canvas_text(canvas, 0, col, LOOK_FAINT, "%s", text);
    for (size_t i = 0; i < state->source_count; i++) {
        const struct state_source *source = &state->sources[i];
        readout_source(source, scene->t, text);
        if (col + 3 + canvas_width(canvas, text) > canvas->cols && row + 1 < canvas->rows) {
            row++;
            col = -2;
        }
        col = canvas_text(canvas, row, col + 3, source->status == SOURCE_UP ? LOOK_GOOD : LOOK_BAD,
                          "%s", text);
    }
}

const struct panel panel_sources = {"sources", 1, 3, draw_sources};

/* --- notes ---------------------------------------------------------------------------------- */

static void draw_notes(const struct canvas *canvas, const struct face_scene *scene,
                       const struct panel_view *view)
{
    const struct state *state = scene->state;
    size_t shown = state->note_count < (size_t)canvas->rows ? state->note_count
                                                            : (size_t)canvas->rows;

    (void)view;
    for (size_t i = 0; i < shown; i++) {
        char time[READOUT_SIZE];
        size_t n = state->note_count - shown + i;
        readout_time(state->notes[n].t, time);
        canvas_text(canvas, (int)i, 1, LOOK_PLAIN, "%s %s%s", time,
                    state->notes[n].mark ? "mark " : "", state->notes[n].text);
    }
}

const struct panel panel_notes = {"notes", 1, 5, draw_notes};

/* --- steps ---------------------------------------------------------------------------------- */

static void draw_steps(const struct canvas *canvas, const struct face_scene *scene,
                       const struct panel_view *view)
{
    int at = scene->state->step.number;

    (void)view;
    for (size_t i = 0; i < scene->procedure->step_count && (int)i < canvas->rows; i++) {
        int number = (int)i + 1;
        canvas_text(canvas, (int)i, 1, number == at ? LOOK_STRONG : LOOK_PLAIN, "%s %2d %s",
                    number < at    ? "done"
                    : number == at ? " -> "
                                   : "    ",
                    number, scene->procedure->steps[i].name);
    }
}

const struct panel panel_steps = {"steps", 1, 0, draw_steps};

/* --- keys ----------------------------------------------------------------------------------- */

static void draw_keys(const struct canvas *canvas, const struct face_scene *scene,
                      const struct panel_view *view)
{
    const char *keys = scene->replaying
                           ? " space pause/play  +/- speed  [ ] 10 s  z zoom  ? help  q quit"
                       : canvas->cols < 56 ? " Enter done  b back  s skip  ? help  q q"
                       : scene->mount_is_simulated
                           ? " arrows < > turn the mount  Enter done  b back  s skip  ? help  q quit"
                           : " Enter done  b back  s skip  r repeat  : words  n note  ? help  q quit";

    if (view->typed) {
        canvas_bar(canvas, 0, LOOK_BAR);
        canvas_text(canvas, 0, 1, LOOK_BAR, "%s%s_", view->prompt, view->typed);
    } else if (view->message[0] != '\0') {
        canvas_bar(canvas, 0, LOOK_BAR);
        canvas_text(canvas, 0, 1, LOOK_BAR, "%s", view->message);
    } else {
        canvas_bar(canvas, 0, LOOK_BAR);
        canvas_text(canvas, 0, 0, LOOK_BAR, "%s", keys);
    }
}

const struct panel panel_keys = {"keys", 1, 1, draw_keys};
