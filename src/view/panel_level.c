/* panel_level.c - is it getting better, and how far below the best. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/aim.h"
#include "view/figures.h"
#include "view/letters.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, UNIT_COLS = 5 };

static const double slope_s = 3.0;

/* The filtered level some seconds before the newest; NaN where there was a gap or nothing yet. */
static double level_before(const struct state *state, double seconds)
{
    for (size_t i = state->trend_count; i-- > 0;) {
        const struct state_trend *point = state_trend_at(state, i);
        if (isnan(point->filtered)) {
            return NAN;
        }
        if (point->t <= state->level.t - seconds) {
            return point->filtered;
        }
    }
    return NAN;
}

/* A word for where the level goes: a change counts when noise does not explain it. */
static const char *describe_slope(const struct state *state)
{
    double change = state->level.filter.level - level_before(state, slope_s);
    double least =
        level_unit_is_db(state->level.unit) ? 0.1 : 0.01 * fabs(state->level.filter.level);

    if (isfinite(state->level.filter.error)) {
        least = fmax(least, 2.0 * state->level.filter.error);
    }
    return isnan(change)     ? ""
           : change > least  ? _("rising")
           : change < -least ? _("falling")
                             : _("steady");
}

/* All zeros once it is rounded. */
static bool is_nothing(const char *number)
{
    return number[strspn(number, "-0.")] == '\0';
}

/* How the level stands against the best: the large number and the sentence under it. */
static void describe_best(const struct state *state, char big[FIGURES_SIZE], char text[LINE_SIZE])
{
    double below = state->level.best - state->level.filter.level;
    char number[FIGURES_SIZE], best[FIGURES_SIZE];

    figures_level(best, state->level.best, state->level.unit);
    figures_level_number(number, below, state->level.unit);
    text[0] = '\0';
    if (!isfinite(below)) {
        text_copy(big, FIGURES_SIZE, "");
        text_append(text, LINE_SIZE, "%s", _("no best yet"));
    } else if (state->t < state->level.free_t) {
        /* nothing to be made better, and nothing that stays */
        text_copy(big, FIGURES_SIZE, "");
        text_append(text, LINE_SIZE, _("bent by a hand; best %s"), best);
    } else if (is_nothing(number)) {
        text_copy(big, FIGURES_SIZE, number);
        text_append(text, LINE_SIZE, _("at the best: %s (filtered)"), best);
    } else if (below < 0.0) {
        /* the best is what is sure; the level now has not been seen for long enough */
        snprintf(big, FIGURES_SIZE, "+%.20s", number + 1);
        text_append(text, LINE_SIZE, _("above best %s (filtered)"), best);
    } else {
        snprintf(big, FIGURES_SIZE, "-%.20s", number);
        text_append(text, LINE_SIZE, _("against best %s (filtered)"), best);
    }
}

/* "Level 11.9 dB, rising", or what is the matter with it. */
static enum ink describe_now(const struct panel_view *view, bool with_meter, char text[LINE_SIZE])
{
    const struct state *state = view->scene->state;
    const char *slope = describe_slope(state);
    char number[FIGURES_SIZE], meter[FIGURES_SIZE], age[FIGURES_SIZE];

    text[0] = '\0';
    if (!state->level.known) {
        text_append(text, LINE_SIZE, "%s", _("No level yet"));
        return INK_WARN;
    }
    /* the filtered level: with the best, which is filtered too, it gives the difference */
    figures_level(number, state->level.filter.level, state->level.unit);
    figures_level_number(meter, state->level.value, state->level.unit);
    if (view->t - state->level.t > aim_old_s) {
        figures_age(age, view->t - state->level.t);
        text_append(text, LINE_SIZE, _("Level old: %s, %s ago"), number, age);
        return INK_WARN;
    }
    if (slope[0]) {
        /* TRANSLATORS: "Level 11.9 dB, rising" */
        text_append(text, LINE_SIZE, _("Level %s, %s"), number, slope);
    } else {
        text_append(text, LINE_SIZE, _("Level %s"), number);
    }
    if (with_meter && strncmp(meter, number, strlen(meter)) != 0) {
        text_append(text, LINE_SIZE, _(" (meter %s)"), meter);
    }
    if (level_filter_saturated(&state->level.filter)) {
        text_append(text, LINE_SIZE, "%s", _(", meter at its limit"));
        return INK_WARN;
    }
    return INK_STRONG;
}

void panel_level(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    bool old = view->t - state->level.t > aim_old_s;
    char now[LINE_SIZE], big[FIGURES_SIZE] = "", below[LINE_SIZE] = "";
    enum ink ink = describe_now(view, pane->rows > 1, now);
    /* TRANSLATORS: large, over the level when it is old; letters A to Z only, as few as can be */
    const char *large = old ? _("OLD") : big;
    struct letters_size size;
    bool is_off;
    int col;

    if (state->level.known) {
        describe_best(state, big, below);
    }
    is_off = big[0] == '-' || big[0] == '+';
    if (pane->rows >= 5) {
        struct pane middle = pane_part(pane, 1, 1, pane->rows - 2, pane->cols - 1 - UNIT_COLS);
        size = letters_fit(&middle, SIGN_NONE, large);
        col = letters_put(&middle, size, 0, old ? INK_WARN : INK_STRONG, large);
        if (!old && big[0]) {
            pane_put(pane, letters_rows(&middle, size), col + 2, INK_STRONG,
                     level_unit_symbol(state->level.unit, true));
        }
        pane_put(pane, 0, 1, ink, now);
        pane_put(pane, pane->rows - 1, 1, INK_STRONG, below);
    } else if (pane->rows >= 2) {
        pane_put(pane, 0, 1, ink, now);
        pane_print(pane, 1, 1, INK_STRONG, "%s%s%s", is_off ? big : "", is_off ? " " : "", below);
    } else {
        col = pane_put(pane, 0, 1, ink, now);
        if (big[0] == '-') {
            pane_print(pane, 0, col, INK_STRONG, _(", %s below best"), big + 1);
        } else if (big[0]) {
            pane_put(pane, 0, col, INK_STRONG, _(", at the best"));
        } else if (state->t < state->level.free_t) {
            pane_put(pane, 0, col, INK_STRONG, _(", bent by a hand"));
        }
    }
}
