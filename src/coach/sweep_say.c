#include "coach/sweep_say.h"

#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"

static void advise_run(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    struct advice *advice = context->advice;

    travel_advise(&context->coach->travel, context->state,
                  sweep->stepped             ? _("%s.")
                  : !sweep_is_passing(sweep) ? _("%s, to the start of the line.")
                  : sweep->told              ? _("%s, slowly and evenly, until I say stop.")
                                             : _("%s, slowly and evenly."),
                  advice);
    if (sweep->stepped || !sweep_is_passing(sweep) || advice->move == ADVICE_WAIT) {
        return;
    }
    advice->rate = sweep->rate;
    advice->until = UNTIL_CARRIER;
    if (!travel_say_slower(&context->coach->travel, context->state, sweep->rate, advice)) {
        sentence_why(advice,
                     _("looking for a carrier, %.1f° a second at the most, about %.0f s a line"),
                     sweep->rate, 2.0 * sweep->span / sweep->rate);
    }
}

static void advise_back(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    const struct arc *arc = &context->coach->arc;
    struct advice *advice = context->advice;
    const char *name = arc_name(arc, context->state->job, arc->chosen);
    const char *unit = level_unit_symbol(context->state->level.unit, true);

    if (arc->chosen < 0) {
        travel_advise(&context->coach->travel, context->state, _("%s, where the target should be."),
                      advice);
        sentence_why(advice,
                     arc->match.bias_deg < 0.0
                         ? _("what was met tells that the azimuth reads %.1f° too low")
                         : _("what was met tells that the azimuth reads %.1f° too high"),
                     fabs(arc->match.bias_deg));
        return;
    }
    travel_advise(&context->coach->travel, context->state, _("%s, back to the carrier."), advice);
    if (name[0] != '\0') {
        sentence_why(advice, _("it stood at %.1f %s there; by the arc it is %s"), sweep->goal_level,
                     unit, name);
    } else {
        sentence_why(advice, _("it stood at %.1f %s there"), sweep->goal_level, unit);
    }
}

/* "from 16° left to 16° right of where it was set, elevation 33.4° to 38.5°" */
static void append_searched(const struct arc *arc, char *text, size_t size)
{
    double left = 0.0, right = 0.0, low = INFINITY, high = -INFINITY;

    for (int i = 0; i < arc->line_count; i++) {
        const struct arc_line *line = &arc->lines[i];
        left = fmax(left, arc->origin_x - line->low);
        right = fmax(right, line->high - arc->origin_x);
        low = fmin(low, line->elevation - arc->elevation_offset);
        high = fmax(high, line->elevation - arc->elevation_offset);
    }
    text_append(text, size,
                /* TRANSLATORS: the piece of sky that was searched */
                _("azimuth %.0f° to the left and %.0f° to the right of where it was set, elevation "
                  "%.1f° to %.1f°"),
                left, right, low, high);
}

/* Once more may do, where a hand was too fast; then not the search is to blame. */
static void advise_lost(const struct step_context *context)
{
    const struct coach *coach = context->coach;
    const struct arc *arc = &coach->arc;
    char searched[RECORD_TEXT_SIZE] = "";

    append_searched(arc, searched, sizeof searched);
    sentence_stay(
        context->advice, ADVICE_CONFIRM, UNTIL_ANSWER,
        /* TRANSLATORS: the piece of sky that was searched follows; repeat, back, quit are typed */
        coach->lost <= 1   ? _("Not found in %s. Say repeat to search it once more, back to set "
                                 "the angles anew.")
        : coach->lost == 2 ? _("Again not found in %s. Say back to set the angles anew, once it is "
                               "checked what else may be wrong.")
                           : _("Still not found in %s. To search on will not help: find what is "
                               "wrong, then say back; or quit, the log is kept."),
        searched);
    step_say_causes(context);
}

void sweep_say(const struct step_context *context)
{
    const struct sweep *sweep = &context->coach->sweep;
    struct advice *advice = context->advice;

    switch (sweep->phase) {
    case SWEEP_LISTEN:
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL,
                      _("Hands off, listening to the noise first."));
        sentence_why(advice, _("the search takes about %.0f s, at the most %.0f s"),
                     sweep->plan.expected_s, sweep->plan.longest_s);
        break;
    case SWEEP_TO_START:
    case SWEEP_RUN:
        advise_run(context);
        break;
    case SWEEP_CHECK:
    case SWEEP_READ:
        advice->axis = sweep->axis;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_DWELL, _("Hands off, reading the level."));
        break;
    case SWEEP_STOP:
        advice->axis = sweep->axis;
        sentence_stay(advice, ADVICE_HOLD, UNTIL_ARRIVED,
                      context->state->job->mount.axes[sweep->axis].from == JOB_FROM_SCALE
                          ? _("Stop. Say the turns, or what the scale shows.")
                          : _("Stop. Say how many turns that were."));
        sentence_why(advice, _("a carrier was passed; its place follows from how far you came"));
        break;
    case SWEEP_NEXT_LINE:
        travel_advise(&context->coach->travel, context->state,
                      sweep->strayed     ? _("%s, back to the line.")
                      : sweep->line == 0 ? _("%s, to where the search begins.")
                                         : _("%s, to the next line."),
                      advice);
        if (sweep->strayed) {
            sentence_why(advice, _("the elevation has moved: another bolt was turned, or somebody "
                                   "leans on the antenna"));
        } else if (sweep->line > 0) {
            sentence_why(advice, _("the target was not on this line; %d of %d searched"),
                         sweep->line, sweep->plan.lines);
        }
        break;
    case SWEEP_BACK_ELEVATION:
    case SWEEP_BACK:
        advise_back(context);
        break;
    case SWEEP_LOST:
        advise_lost(context);
        break;
    }
}
