/* panel_turn.c - which way and how far, large enough for an arm's length. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/figures.h"
#include "view/letters.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, BIG_SIZE = 32 };

static bool is_turn(enum advice_move move)
{
    return move <= ADVICE_ANTICLOCKWISE;
}

static enum letters_sign sign_of(const struct advice *advice)
{
    static const enum letters_sign signs[ADVICE_MOVE_COUNT] = {
        [ADVICE_LEFT] = SIGN_LEFT,
        [ADVICE_RIGHT] = SIGN_RIGHT,
        [ADVICE_UP] = SIGN_UP,
        [ADVICE_DOWN] = SIGN_DOWN,
        [ADVICE_CLOCKWISE] = SIGN_CLOCKWISE,
        [ADVICE_ANTICLOCKWISE] = SIGN_ANTICLOCKWISE,
        [ADVICE_PUSH] = SIGN_RIGHT_EDGE,
        [ADVICE_PULL] = SIGN_RIGHT_EDGE,
    };
    bool upper = advice_bends(advice->move) && advice->axis == AXIS_ELEVATION;

    return upper ? SIGN_UPPER_EDGE : signs[advice->move];
}

/* What is written large beside the sign, and what stands above it. */
static void describe_stay(const struct advice *advice, char big[BIG_SIZE], char above[LINE_SIZE])
{
    /* TRANSLATORS: the words in capitals are written large: letters A to Z only, as few as can be
     */
    static const struct {
        const char *big, *above;
    } texts[ADVICE_MOVE_COUNT] = {
        [ADVICE_HOLD] = {N_("HOLD"), N_("Hands off the mount")},
        [ADVICE_WAIT] = {N_("WAIT"), N_("Nothing to do yet")},
        [ADVICE_TIGHTEN] = {N_("TIGHTEN"), N_("Fasten the bolts, a little each in turn")},
        [ADVICE_PUSH] = {N_("PUSH"), N_("The right edge, away from you")},
        [ADVICE_PULL] = {N_("PULL"), N_("The right edge, towards you")},
        [ADVICE_CONFIRM] = {N_("CONFIRM"), N_("Read, see to it, then press Enter")},
        [ADVICE_DONE] = {N_("DONE"), N_("The work is done")},
    };

    if (advice->move == ADVICE_CONFIRM && advice->axis != AXIS_NONE) {
        /* TRANSLATORS: written large: letters A to Z only */
        text_copy(big, BIG_SIZE, _("SET"));
        text_copy(above, LINE_SIZE, _("Set it, then press Enter"));
        return;
    }
    text_copy(big, BIG_SIZE, _(texts[advice->move].big));
    if (advice_bends(advice->move) && advice->axis == AXIS_ELEVATION) {
        text_copy(above, LINE_SIZE,
                  advice->move == ADVICE_PUSH ? _("The upper edge, away from you")
                                              : _("The upper edge, towards you"));
        return;
    }
    text_copy(above, LINE_SIZE, _(texts[advice->move].above));
}

/* Without a sensor the bolt is counted: then its turns are what stands large. */
static bool counts_turns(const struct state *state, const struct advice *advice)
{
    return advice->axis < AXIS_COUNT && isfinite(advice->turns) &&
           state->job->mount.axes[advice->axis].from != JOB_FROM_SENSOR;
}

/* A short way in capitals; the sign beside it says the others. */
static const char *large_way(enum advice_move move)
{
    /* TRANSLATORS: written large: letters A to Z only */
    switch (move) {
    case ADVICE_LEFT:
        return _("LEFT");
    case ADVICE_RIGHT:
        return _("RIGHT");
    case ADVICE_UP:
        return _("UP");
    case ADVICE_DOWN:
        return _("DOWN");
    default:
        return "";
    }
}

/* A sentence with what stands for its %s. */
static void put_in(char text[LINE_SIZE], const char *sentence, const char *what)
{
    const char *place = strstr(sentence, "%s");

    text[0] = '\0';
    if (place) {
        text_append(text, LINE_SIZE, "%.*s%s%s", (int)(place - sentence), sentence, what,
                    place + strlen("%s"));
    }
}

static void describe_turn(const struct state *state, const struct advice *advice,
                          char big[BIG_SIZE], char above[LINE_SIZE])
{
    static const char *const ways[] = {
        [ADVICE_LEFT] = N_("Turn left: %s"),
        [ADVICE_RIGHT] = N_("Turn right: %s"),
        [ADVICE_UP] = N_("Turn up: %s"),
        [ADVICE_DOWN] = N_("Turn down: %s"),
        [ADVICE_CLOCKWISE] = N_("Turn clockwise: %s"),
        [ADVICE_ANTICLOCKWISE] = N_("Turn anticlockwise: %s"),
    };
    const char *axis = axis_word(advice->axis);
    char both[LINE_SIZE];

    if (counts_turns(state, advice)) {
        /* TRANSLATORS: "Turn right: azimuth, turns of the bolt" */
        snprintf(both, sizeof both, _("%s, turns of the bolt"), axis);
        put_in(above, _(ways[advice->move]), both);
        figures_turns(big, advice->turns);
        return;
    }
    put_in(above, _(ways[advice->move]), axis);
    if (isfinite(advice->deg)) {
        snprintf(big, BIG_SIZE,
                 advice->deg < 9.995   ? "%.2f\u00b0"
                 : advice->deg < 99.95 ? "%.1f\u00b0"
                                       : "%.0f\u00b0",
                 advice->deg);
    } else {
        /* a sweep may have no distance */
        text_copy(big, BIG_SIZE, large_way(advice->move));
    }
}

/* Add to a list of phrases if it fits the columns. */
static void add_phrase(const struct pane *pane, char line[LINE_SIZE], const char *phrase)
{
    char longer[LINE_SIZE];

    text_copy(longer, sizeof longer, line);
    text_append(longer, sizeof longer, "%s%s", line[0] && phrase[0] ? ", " : "", phrase);
    if (pane_columns(pane, longer) < pane->cols) {
        text_copy(line, LINE_SIZE, longer);
    }
}

/* What goes with the number: the other measure, how fast, until when. */
static void describe_more(const struct pane *pane, const struct face_scene *scene,
                          const struct advice *advice, char below[LINE_SIZE])
{
    const struct state *state = scene->state;
    static const char *const until[UNTIL_COUNT] = {
        [UNTIL_NONE] = "",
        [UNTIL_ARRIVED] = "",
        [UNTIL_DWELL] = N_("until enough readings are in"),
        [UNTIL_CARRIER] = N_("until a carrier shows"),
        [UNTIL_ANSWER] = "",
        [UNTIL_SOURCE] = N_("until a source comes up"),
    };
    char text[FIGURES_SIZE];

    if (is_turn(advice->move)) {
        if (counts_turns(state, advice)) {
            figures_degrees(text, advice->deg);
        } else {
            figures_turns_worded(text, advice->turns);
        }
        add_phrase(pane, below, text);
        if (isfinite(advice->rate) && advice->rate > 0.0) {
            snprintf(text, sizeof text, _("at most %.2g°/s"), advice->rate);
            add_phrase(pane, below, text);
        }
    }
    if (advice_bends(advice->move) && scene->mount_is_simulated) {
        add_phrase(pane, below, _("the simulation does it by itself"));
    } else {
        add_phrase(pane, below, _(until[advice->until]));
    }
}

void panel_turn(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    struct advice nothing = {
        .axis = AXIS_NONE, .move = ADVICE_WAIT, .deg = NAN, .turns = NAN, .rate = NAN};
    const struct advice *advice = isfinite(state->advice_t) ? &state->advice : &nothing;
    char big[BIG_SIZE], above[LINE_SIZE], below[LINE_SIZE] = "";
    enum ink ink = advice->move == ADVICE_DONE ? INK_GOOD : INK_STRONG;
    enum letters_sign sign = sign_of(advice);
    struct pane middle =
        pane_part(pane, 1, 1, pane->rows >= 5 ? pane->rows - 2 : pane->rows - 1, pane->cols - 1);

    if (view->scene->asking) {
        text_copy(big, sizeof big, "?");
        text_copy(above, sizeof above, _("Which way, and how far?"));
    } else if (is_turn(advice->move)) {
        describe_turn(state, advice, big, above);
    } else {
        describe_stay(advice, big, above);
    }
    if (pane->rows >= 5) {
        describe_more(pane, view->scene, advice, below);
    } else {
        describe_more(pane, view->scene, advice, above);
    }
    pane_put(pane, 0, 1, ink, above);
    letters_put_line(&middle, letters_fit(&middle, sign, big), ink, sign, big);
    if (pane->rows >= 5) {
        pane_put(pane, pane->rows - 1, 1, INK_STRONG, below);
    }
}
