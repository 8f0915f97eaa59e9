/* panel_aim.c - the three axes: where they should be, where they are, how far to go and which way.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/figures.h"
#include "view/panel.h"

enum { COLUMN_SIZE = 48, WIDE_COLS = 70 };

/* Below this there is nothing to turn: it rounds to 0.00. */
static const double there_deg = 0.005;
/* For an antenna whose beam is not known. */
static const double guessed_width_deg = 3.0;

/* What is shown of an axis. A scale is shown where the mount's printing differs from the truth. */
struct aim {
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
static void describe_now(const struct state *state, enum axis axis, struct aim *ret)
{
    double deg = state->measured.deg[axis], nudged = state->measured.nudged_deg[axis];

    if (fabs(nudged) < there_deg) {
        put_number(ret->now, deg);
    } else if (isfinite(deg)) {
        snprintf(ret->now, COLUMN_SIZE, "~%.2f", deg + nudged);
    } else {
        snprintf(ret->now, COLUMN_SIZE, "%+.2f", nudged);
    }
    describe_scale(&state->job->mount.axes[axis], deg + nudged, ret->now_scale);
}

/*
 * The receiver names the target, so the antenna looks at it to within its beam: a sensor or a scale
 * that says it is further off is itself off, and a way to turn by it would contradict the coach.
 */
static bool misleads(const struct state *state, enum axis axis, double to_go)
{
    const char *id = state->job->target.satellite.id;
    double width = guessed_width_deg;
    struct beam beam;

    if (axis == AXIS_SKEW || state->job->mount.axes[axis].from == JOB_FROM_NUDGES) {
        return false;
    }
    if (job_beam(state->job, state->target.deg[AXIS_SKEW], &beam)) {
        width = axis == AXIS_AZIMUTH
                    ? beam_azimuth_width_deg(&beam, state->target.deg[AXIS_ELEVATION])
                    : beam_elevation_width_deg(&beam);
    }
    return isfinite(state->lock_t) && state->lock.locked && id[0] != '\0' &&
           strcasecmp(state->lock.id, id) == 0 && fabs(to_go) > width;
}

static void describe_to_go(const struct panel_view *view, enum axis axis, struct aim *ret)
{
    const struct state *state = view->scene->state;
    const struct job_axis *mount = &state->job->mount.axes[axis];
    double to_go = state_to_go_deg(state, axis) - state->measured.nudged_deg[axis];
    double age = view->t - state->measured.t[axis];
    char age_text[FIGURES_SIZE];

    ret->to_go[0] = ret->turns[0] = '\0';
    ret->now_ink = INK_STRONG;
    ret->to_go_ink = ret->asked ? INK_STRONG : INK_PLAIN;
    if (!isfinite(to_go)) {
        return;
    }
    /* a scale is read when it is read; a sensor is expected to go on talking */
    if (mount->from == JOB_FROM_SENSOR && age > panel_old_s) {
        figures_age(age_text, age);
        snprintf(ret->to_go, COLUMN_SIZE, _("old: %.20s ago"), age_text);
        ret->now_ink = ret->to_go_ink = INK_WARN;
        return;
    }
    if (fabs(to_go) < there_deg) {
        text_copy(ret->to_go, COLUMN_SIZE, _("there"));
        return;
    }
    if (misleads(state, axis, to_go)) {
        snprintf(ret->to_go, COLUMN_SIZE,
                 mount->from == JOB_FROM_SENSOR ? _("sensor off %.2f") : _("scale off %.2f"),
                 fabs(to_go));
        ret->to_go_ink = INK_PLAIN;
        return;
    }
    snprintf(ret->to_go, COLUMN_SIZE, "%s %.2f", axis_way_label(axis, to_go), fabs(to_go));
    figures_turns(ret->turns, to_go / mount->turn_deg);
}

static struct aim describe(const struct panel_view *view, enum axis axis)
{
    const struct state *state = view->scene->state;
    struct aim aim = {.asked = isfinite(state->advice_t) && state->advice.axis == axis};

    put_number(aim.target, state->target.deg[axis]);
    describe_scale(&state->job->mount.axes[axis], state->target.deg[axis], aim.target_scale);
    describe_now(state, axis, &aim);
    describe_to_go(view, axis, &aim);
    aim.best[0] = '\0';
    if (isfinite(state->level.best_deg[axis])) {
        put_number(aim.best, state->level.best_deg[axis]);
    }
    return aim;
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

static void put_wide(const struct pane *pane, int row, enum axis axis, const struct aim *aim)
{
    enum ink ink = aim->asked ? INK_STRONG : INK_PLAIN;

    pane_print(pane, row, 0, ink, "%s%s", aim->asked ? ">" : " ", axis_word(axis));
    pane_print(pane, row, 11, INK_PLAIN, "%7s%7s", aim->target, aim->target_scale);
    pane_print(pane, row, 26, aim->now_ink, "%8s%7s", aim->now, aim->now_scale);
    pane_put(pane, row, 43, aim->to_go_ink, aim->to_go);
    pane_put(pane, row, 64, ink, aim->turns);
    pane_print(pane, row, 71, INK_PLAIN, "%7s", aim->best);
}

static void put_narrow(const struct pane *pane, int row, enum axis axis, const struct aim *aim)
{
    static const char *const names[AXIS_COUNT] = {N_("az"), N_("el"), N_("skew")};
    enum ink ink = aim->asked ? INK_STRONG : INK_PLAIN;

    pane_print(pane, row, 0, ink, "%s%s", aim->asked ? ">" : " ", _(names[axis]));
    pane_print(pane, row, 5, aim->now_ink, "%7s", aim->now);
    pane_print(pane, row, 12, INK_PLAIN, "/%s", aim->target);
    pane_put(pane, row, 21, aim->to_go_ink, aim->to_go);
}

void panel_aim(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    bool wide = pane->cols >= WIDE_COLS && pane->rows > AXIS_COUNT;

    if (wide) {
        put_head(pane);
    }
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        struct aim aim = describe(view, (enum axis)axis);
        if (wide) {
            put_wide(pane, 1 + axis, (enum axis)axis, &aim);
        } else {
            put_narrow(pane, axis, (enum axis)axis, &aim);
        }
    }
    if (wide && pane->rows > AXIS_COUNT + 1 && state->field_known && state->target.known) {
        double magnetic = state->target.deg[AXIS_AZIMUTH] - state->field.declination_deg;
        pane_print(pane, AXIS_COUNT + 1, 1, INK_PLAIN,
                   state->field.declination_deg < 0.0
                       ? _("On a compass, away from steel: %.1f° (declination %.1f° west)")
                       : _("On a compass, away from steel: %.1f° (declination %.1f° east)"),
                   magnetic - 360.0 * floor(magnetic / 360.0), fabs(state->field.declination_deg));
    }
}
