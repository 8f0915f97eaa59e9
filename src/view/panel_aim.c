/* panel_aim.c - the three axes: where they should be, where they are, how far to go and which way.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/aim.h"
#include "view/figures.h"
#include "view/panel.h"

enum { COLUMN_SIZE = 48, WIDE_COLS = 70 };

/* Below this there is nothing to turn: it rounds to 0.00. */
static const double there_deg = 0.005;

/* What is shown of an axis. A scale is shown where the mount's printing differs from the truth. */
struct row {
    char target[COLUMN_SIZE], target_scale[COLUMN_SIZE];
    char now[COLUMN_SIZE], now_scale[COLUMN_SIZE];
    char to_go[COLUMN_SIZE], turns[FIGURES_SIZE], best[COLUMN_SIZE];
    enum ink now_ink, to_go_ink;
    bool asked; /* the advice is about it */
};

static void put_number(char text[COLUMN_SIZE], double deg)
{
    /* the column's head says degrees */
    if (isfinite(deg)) {
        snprintf(text, COLUMN_SIZE, "%.2f", fabs(deg) < there_deg ? 0.0 : deg);
    } else {
        text_copy(text, COLUMN_SIZE, "-");
    }
}

static void describe_scale(const struct job_axis *mount, double deg, char text[COLUMN_SIZE])
{
    double scale = job_scale_from_true(mount, deg);

    text[0] = '\0';
    if (isfinite(scale) && fabs(scale - deg) >= there_deg) {
        put_number(text, scale);
    }
}

/*
 * Where an axis stands: "163.06"; "~163.31" when it was nudged since it was read; "+0.25" when
 * nudges are all that is known.
 */
static void describe_now(const struct state *state, enum axis axis, struct row *ret)
{
    double deg = state_stands_deg(state, axis), nudged = state->measured.nudged_deg[axis];

    if (fabs(nudged) < there_deg) {
        put_number(ret->now, deg);
    } else if (isfinite(deg)) {
        snprintf(ret->now, COLUMN_SIZE, "~%.2f", deg);
    } else {
        snprintf(ret->now, COLUMN_SIZE, "%+.2f", nudged);
    }
    describe_scale(&state->job->mount.axes[axis], deg, ret->now_scale);
}

static void describe_to_go(const struct panel_view *view, enum axis axis, struct row *ret)
{
    const struct state *state = view->scene->state;
    const struct job_axis *mount = &state->job->mount.axes[axis];
    struct aim aim = aim_of(view->scene, view->t, axis);
    char age[FIGURES_SIZE];

    ret->to_go[0] = ret->turns[0] = '\0';
    ret->now_ink = INK_STRONG;
    ret->to_go_ink = ret->asked ? INK_STRONG : INK_PLAIN;
    switch (aim.kind) {
    case AIM_OLD:
        figures_age(age, view->t - state->measured.t[axis]);
        snprintf(ret->to_go, COLUMN_SIZE, _("old: %.20s ago"), age);
        ret->now_ink = ret->to_go_ink = INK_WARN;
        break;
    case AIM_MISLED:
        snprintf(ret->to_go, COLUMN_SIZE,
                 mount->from == JOB_FROM_SENSOR ? _("sensor off %.2f") : _("scale off %.2f"),
                 aim.deg);
        ret->to_go_ink = INK_PLAIN;
        break;
    case AIM_TURN:
        snprintf(ret->to_go, COLUMN_SIZE, "%s %.2f", axis_way_label(axis, aim.deg), fabs(aim.deg));
        figures_turns(ret->turns, aim.deg / mount->turn_deg);
        break;
    default:
        text_copy(ret->to_go, COLUMN_SIZE, aim_words(aim.kind, axis));
        break;
    }
}

static struct row describe(const struct panel_view *view, enum axis axis)
{
    const struct state *state = view->scene->state;
    struct row row = {.asked = isfinite(state->advice_t) && state->advice.axis == axis};

    put_number(row.target, state->target.deg[axis]);
    describe_scale(&state->job->mount.axes[axis], state->target.deg[axis], row.target_scale);
    describe_now(state, axis, &row);
    describe_to_go(view, axis, &row);
    row.best[0] = '\0';
    if (isfinite(state->level.best_deg[axis])) {
        put_number(row.best, state->level.best_deg[axis]);
    }
    return row;
}

static void put_head(const struct pane *pane)
{
    /* TRANSLATORS: heads of columns, 6 wide and "best at" 7 */
    static const struct {
        int end;
        const char *text;
    } heads[] = {{18, N_("target")},
                 {25, N_("scale")},
                 {34, N_("now")},
                 {41, N_("scale")},
                 {78, N_("best at")}};

    pane_put(pane, 0, 1, INK_FAINT, _("degrees"));
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++) {
        const char *head = _(heads[i].text);
        pane_put(pane, 0, heads[i].end - pane_columns(pane, head), INK_FAINT, head);
    }
    pane_put(pane, 0, 43, INK_FAINT, _("to go"));
    pane_put(pane, 0, 64, INK_FAINT, _("turns"));
}

static void put_wide(const struct pane *pane, int row, enum axis axis, const struct row *shown)
{
    enum ink ink = shown->asked ? INK_STRONG : INK_PLAIN;

    pane_print(pane, row, 0, ink, "%s%s", shown->asked ? ">" : " ", axis_word(axis));
    pane_print(pane, row, 11, INK_PLAIN, "%7s%7s", shown->target, shown->target_scale);
    pane_print(pane, row, 26, shown->now_ink, "%8s%7s", shown->now, shown->now_scale);
    pane_put(pane, row, 43, shown->to_go_ink, shown->to_go);
    pane_put(pane, row, 64, ink, shown->turns);
    pane_print(pane, row, 71, INK_PLAIN, "%7s", shown->best);
}

static void put_narrow(const struct pane *pane, int row, enum axis axis, const struct row *shown)
{
    static const char *const names[AXIS_COUNT] = {N_("az"), N_("el"), N_("skew")};
    enum ink ink = shown->asked ? INK_STRONG : INK_PLAIN;

    pane_print(pane, row, 0, ink, "%s%s", shown->asked ? ">" : " ", _(names[axis]));
    pane_print(pane, row, 5, shown->now_ink, "%7s", shown->now);
    pane_print(pane, row, 12, INK_PLAIN, "/%s", shown->target);
    pane_put(pane, row, 21, shown->to_go_ink, shown->to_go);
}

void panel_aim(const struct pane *pane, const struct panel_view *view)
{
    char compass[AIM_TEXT_SIZE];
    bool wide = pane->cols >= WIDE_COLS && pane->rows > AXIS_COUNT;

    if (wide) {
        put_head(pane);
    }
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        struct row shown = describe(view, (enum axis)axis);
        if (wide) {
            put_wide(pane, 1 + axis, (enum axis)axis, &shown);
        } else {
            put_narrow(pane, axis, (enum axis)axis, &shown);
        }
    }
    if (wide && pane->rows > AXIS_COUNT + 1 && aim_say_compass(view->scene->state, compass)) {
        pane_put(pane, AXIS_COUNT + 1, 1, INK_PLAIN, compass);
    }
}
