/* panel_turn.c - which way and how far, large enough for an arm's length. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "view/figures.h"
#include "view/letters.h"
#include "view/panel.h"

enum { LINE_SIZE = 160, BIG_SIZE = 32, BIG_LEAST_ROWS = 3 };

static bool is_turn(enum advice_move move)
{
    return move <= ADVICE_ANTICLOCKWISE;
}

/* What is written large beside the sign, and what stands above it. */
static void describe_stay(enum advice_move move, char big[BIG_SIZE], char above[LINE_SIZE])
{
    static const struct {
        const char *big, *above;
    } texts[ADVICE_MOVE_COUNT] = {
        [ADVICE_HOLD] = {"HOLD", "Hands off the mount"},
        [ADVICE_WAIT] = {"WAIT", "Nothing to do yet"},
        [ADVICE_TIGHTEN] = {"TIGHTEN", "Fasten the bolts, a little each in turn"},
        [ADVICE_CONFIRM] = {"CONFIRM", "Read, see to it, then press Enter"},
        [ADVICE_DONE] = {"DONE", "The work is done"},
    };

    text_copy(big, BIG_SIZE, texts[move].big);
    text_copy(above, LINE_SIZE, texts[move].above);
}

static void describe_turn(const struct advice *advice, char big[BIG_SIZE], char above[LINE_SIZE])
{
    const char *way = advice_move_name(advice->move);

    above[0] = '\0';
    text_append(above, LINE_SIZE, "Turn %s: %s", way, axis_name(advice->axis));
    if (isfinite(advice->deg)) {
        snprintf(big, BIG_SIZE,
                 advice->deg < 9.995   ? "%.2f\u00b0"
                 : advice->deg < 99.95 ? "%.1f\u00b0"
                                       : "%.0f\u00b0",
                 advice->deg);
    } else {
        /* a sweep has no distance */
        text_copy(big, BIG_SIZE, strlen(way) <= 5 ? way : "");
        for (char *p = big; *p; p++) {
            *p = *p >= 'a' && *p <= 'z' ? (char)(*p - 'a' + 'A') : *p;
        }
    }
}

static void describe_bolt(const struct advice *advice, char below[LINE_SIZE])
{
    static const char *const until[UNTIL_COUNT] = {
        [UNTIL_NONE] = "",
        [UNTIL_ARRIVED] = "",
        [UNTIL_DWELL] = "until enough readings are in",
        [UNTIL_CARRIER] = "until a carrier shows",
        [UNTIL_ANSWER] = "",
        [UNTIL_SOURCE] = "until a source comes up",
    };
    char turns[FIGURES_SIZE];

    below[0] = '\0';
    figures_turns_worded(turns, advice->turns);
    if (is_turn(advice->move) && turns[0]) {
        text_append(below, LINE_SIZE, "%s", turns);
    }
    if (is_turn(advice->move) && isfinite(advice->rate) && advice->rate > 0.0) {
        text_append(below, LINE_SIZE, "%s%.2g\u00b0/s at most", below[0] ? ", " : "", advice->rate);
    }
    if (until[advice->until][0]) {
        text_append(below, LINE_SIZE, "%s%s", below[0] ? ", " : "", until[advice->until]);
    }
}

/* The sign and the number; a size down where they are too wide. */
static void put_big(const struct pane *pane, const struct advice *advice, enum ink ink,
                    const char *big)
{
    struct pane part = *pane;
    int col;

    for (;;) {
        struct pane nowhere = {.sheet = part.sheet, .rows = part.rows, .cols = 0};
        int sign = letters_put_way(&nowhere, 0, ink, advice->move);
        if (sign + 2 + letters_columns(&part, big) <= part.cols || part.rows <= BIG_LEAST_ROWS) {
            break;
        }
        part.rows--;
    }
    col = letters_put_way(&part, 0, ink, advice->move);
    letters_put(&part, col > 0 ? col + 2 : 0, ink, big);
}

void panel_turn(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    struct advice nothing = {
        .axis = AXIS_NONE, .move = ADVICE_WAIT, .deg = NAN, .turns = NAN, .rate = NAN};
    const struct advice *advice = isfinite(state->advice_t) ? &state->advice : &nothing;
    char big[BIG_SIZE], above[LINE_SIZE], below[LINE_SIZE];
    enum ink ink = advice->move == ADVICE_DONE ? INK_GOOD : INK_STRONG;
    struct pane middle =
        pane_part(pane, 1, 1, pane->rows >= 5 ? pane->rows - 2 : pane->rows - 1, pane->cols - 1);

    if (is_turn(advice->move)) {
        describe_turn(advice, big, above);
    } else {
        describe_stay(advice->move, big, above);
    }
    describe_bolt(advice, below);
    if (pane->rows < 5 && below[0]) {
        text_append(above, sizeof above, ", %s", below);
    }
    pane_put(pane, 0, 1, ink, above);
    put_big(&middle, advice, ink, big);
    if (pane->rows >= 5) {
        pane_put(pane, pane->rows - 1, 1, INK_STRONG, below);
    }
}
