#include "view/now.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/aim.h"
#include "view/figures.h"
#include "view/panel.h"

/* Wide enough for any sentence of a panel; its rows are made as they are needed. */
enum { NOW_COLS = 300, NOW_ROWS = STATE_NOTES + 1, LINE_SIZE = 512 };

struct now {
    const struct face_scene *scene;
    double t;
    void (*say)(void *to, const char *sentence);
    void *to;
};

static void say(const struct now *now, const char *text)
{
    char sentence[SHEET_TEXT_SIZE];

    text_copy(sentence, sizeof sentence, text);
    text_capitalise(sentence);
    text_end_sentence(sentence, sizeof sentence);
    now->say(now->to, sentence);
}

/* What a panel has to say in so many rows. */
static void say_panel(const struct now *now, panel_compose *panel, int rows)
{
    struct keyboard keyboard;
    struct panel_view view = {
        .scene = now->scene, .t = now->t, .keyboard = &keyboard, .message = ""};
    struct sheet sheet;
    struct pane pane;

    if (sheet_init(&sheet, rows, NOW_COLS, GLYPHS_FULL) < 0) {
        return;
    }
    keyboard_init(&keyboard);
    sheet_blank(&sheet);
    pane = pane_whole(&sheet);
    panel(&pane, &view);
    for (int row = 0; row < rows; row++) {
        char text[4 * NOW_COLS + 1];
        if (sheet_row_text(&sheet, row, text, sizeof text) > 0) {
            say(now, text + strspn(text, " "));
        }
    }
    sheet_finish(&sheet);
}

/* "left 0.46°, 1/4 turn", "at its peak" */
static void append_aim(char line[LINE_SIZE], const struct job_axis *mount, enum axis axis,
                       const struct aim *aim)
{
    const char *words =
        aim->kind == AIM_OLD ? _("its sensor is silent") : aim_words(aim->kind, axis);
    char turns[FIGURES_SIZE];

    if (aim->kind == AIM_MISLED) {
        text_append(line, LINE_SIZE, "; ");
        text_append(line, LINE_SIZE,
                    mount->from == JOB_FROM_SENSOR ? _("sensor off %.2f") : _("scale off %.2f"),
                    aim->deg);
    } else if (aim->kind == AIM_TURN) {
        text_append(line, LINE_SIZE, "; %s %.2f\u00b0", axis_way_label(axis, aim->deg),
                    fabs(aim->deg));
        figures_turns_worded(turns, aim->deg / mount->turn_deg);
        text_append(line, LINE_SIZE, "%s%s", turns[0] ? ", " : "", turns);
    } else {
        text_append(line, LINE_SIZE, "%s%s", words[0] ? "; " : "", words);
    }
}

/* "azimuth 162.81°, target 163.28°; right 0.46°, 1/4 turn" */
static void say_axis(const struct now *now, enum axis axis)
{
    const struct state *state = now->scene->state;
    const struct job_axis *mount = &state->job->mount.axes[axis];
    double deg = state_stands_deg(state, axis), nudged = state->measured.nudged_deg[axis];
    struct aim aim = aim_of(now->scene, now->t, axis);
    char line[LINE_SIZE] = "", target[FIGURES_SIZE];

    text_append(line, sizeof line, "%s", axis_word(axis));
    if (isfinite(deg)) {
        text_append(line, sizeof line, " %.2f\u00b0", deg);
    } else if (nudged != 0.0) {
        text_append(line, sizeof line, _(" turned by %+.2f°"), nudged);
    } else {
        text_append(line, sizeof line, "%s", _(" not known"));
    }
    if (isfinite(state->target.deg[axis])) {
        figures_degrees(target, state->target.deg[axis]);
        text_append(line, sizeof line, _(", target %s"), target);
    }
    append_aim(line, mount, axis, &aim);
    say(now, line);
}

static void say_step(const struct now *now)
{
    const struct state *state = now->scene->state;
    const struct procedure *procedure = now->scene->procedure;
    char line[2 * LINE_SIZE] = "", clock[FIGURES_SIZE];

    if (isnan(state->step_t)) {
        return;
    }
    figures_clock(clock, now->t - state->step_t);
    text_append(line, sizeof line, _("Step %d of %d: %s"), state->step.number, state->step.count,
                _(state->step.name));
    text_append(line, sizeof line, ", %s", clock);
    say(now, line);
    if (isfinite(state->advice_t)) {
        say(now, state->advice.say);
    }
    if (isfinite(state->advice_t) && state->advice.why[0]) {
        line[0] = '\0';
        text_append(line, sizeof line, _("Why: %s"), state->advice.why);
        say(now, line);
    }
    text_copy(line, sizeof line, _("Still to come:"));
    for (size_t i = (size_t)state->step.number; i < procedure->step_count; i++) {
        text_append(line, sizeof line, "%s %s", i > (size_t)state->step.number ? "," : "",
                    _(procedure->steps[i].name));
    }
    if ((size_t)state->step.number < procedure->step_count) {
        say(now, line);
    }
}

void now_say(const struct face_scene *scene, void (*hear)(void *to, const char *sentence), void *to)
{
    const struct state *state = scene->state;
    struct now now = {scene, fmax(scene->t, state->t), hear, to};
    char compass[AIM_TEXT_SIZE];

    say_panel(&now, panel_level, 1);
    say_panel(&now, panel_satellite, 1);
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        say_axis(&now, (enum axis)axis);
    }
    if (aim_say_compass(state, compass)) {
        say(&now, compass);
    }
    if (scene->history->lobe.count > 0) {
        say_panel(&now, panel_lobe, 1);
    }
    if (state->target.known) {
        say_panel(&now, panel_arc, 1);
    }
    say_step(&now);
    say_panel(&now, panel_sources, (int)state->source_count + 1);
    if (state->note_count > 0) {
        say_panel(&now, panel_notes, (int)state->note_count);
    }
}
