/* quiz_sentences.c - a quiz line by line: questions and answers, and nothing else. */
#include <math.h>

#include "base/tongue.h"
#include "command/command.h"
#include "command/quiz_face.h"

static void begin(struct quiz *quiz)
{
    (void)quiz;
    command_say(_("Before each new turn you are asked for it. Answer with\n%s\n"), _(quiz_ways));
}

static void say_angles(const struct state *state)
{
    const char *before = "  ";

    for (int i = 0; i < AXIS_COUNT; i++) {
        const char *axis = axis_word((enum axis)i);
        if (!isfinite(state->measured.deg[i])) {
            continue;
        }
        if (state->target.known && isfinite(state->target.deg[i])) {
            command_say(_("%s%s %.2f° (target %.2f°)"), before, axis, state->measured.deg[i],
                        state->target.deg[i]);
        } else {
            command_say("%s%s %.2f°", before, axis, state->measured.deg[i]);
        }
        before = ", ";
    }
    command_say("%s\n", before[0] == ' ' ? _("  no angle is known") : "");
}

static void question(struct quiz *quiz)
{
    const struct state *state = &quiz->engine->state;
    const char *unit = level_unit_symbol(state->level.unit, true);
    int s = (int)state->t;

    command_say(_("\nQuestion %d, %d:%02d into the session: %s.\n"), quiz->tally.asked + 1, s / 60,
                s % 60, _(quiz->asked.advice.step));
    say_angles(state);
    if (isfinite(quiz_level(quiz))) {
        command_say(_("  level %.1f %s, best so far %.1f %s"), quiz_level(quiz), unit,
                    state->level.best, unit);
        command_say(!state->lock.locked ? _("; no lock\n")
                    : state->lock.id[0] ? _("; locked on %s\n")
                                        : _("; locked\n"),
                    state->lock.id);
    }
    command_say(_("Which way, and how far? "));
}

static void refuse(struct quiz *quiz)
{
    (void)quiz;
    command_say("%s\n? ", _(quiz_ways));
}

static void verdict(struct quiz *quiz, const char *said)
{
    (void)said;
    if (quiz->miss == QUIZ_RIGHT) {
        command_say(_("Right.\n"));
    } else {
        command_say(_("Not so: %s.\n"), quiz_miss_text(quiz->miss));
    }
    command_say(_("  The coach said: %s\n"), quiz->asked.advice.say);
    if (quiz->asked.advice.why[0]) {
        command_say(_("  Why: %s.\n"), quiz->asked.advice.why);
    }
}

static void outcome(struct quiz *quiz)
{
    command_say("%s\n", quiz->outcome);
}

static void score(struct quiz *quiz)
{
    command_say("\n%s\n", quiz->score);
}

const struct quiz_voice quiz_in_sentences = {
    .begin = begin,
    .question = question,
    .refuse = refuse,
    .verdict = verdict,
    .outcome = outcome,
    .score = score,
};
