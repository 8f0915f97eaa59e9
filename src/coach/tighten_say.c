#include "coach/tighten_say.h"

#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"
#include "coach/tighten_rock.h"

static bool has_sensor(const struct job *job)
{
    return job->mount.axes[AXIS_AZIMUTH].from == JOB_FROM_SENSOR ||
           job->mount.axes[AXIS_ELEVATION].from == JOB_FROM_SENSOR;
}

void tighten_say_drift(const struct job *job, const double moved_deg[TIGHTEN_AXES], double off_deg,
                       char text[RECORD_TEXT_SIZE])
{
    char deg[TIGHTEN_AXES][24] = {"", ""};
    const char *way[TIGHTEN_AXES];
    int told = 0;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        if (moved_deg[i] != 0.0) {
            way[told] = axis_way_word((enum axis)i, moved_deg[i]);
            sentence_append_degrees(deg[told++], sizeof deg[0], moved_deg[i]);
        }
    }
    if (told == 0 && !(off_deg > 0.0)) {
        return;
    }
    text_append(text, RECORD_TEXT_SIZE, " ");
    if (told == 2) {
        /* TRANSLATORS: "It went right 0.20° and up 0.10°." */
        text_append(text, RECORD_TEXT_SIZE, _("It went %s %s and %s %s."), way[0], deg[0], way[1],
                    deg[1]);
    } else if (told == 1) {
        /* TRANSLATORS: "It went right 0.20°." */
        text_append(text, RECORD_TEXT_SIZE, _("It went %s %s."), way[0], deg[0]);
    } else {
        sentence_append_degrees(deg[0], sizeof deg[0], off_deg);
        text_append(text, RECORD_TEXT_SIZE,
                    has_sensor(job)
                        ? _("That is about %s off; the sensors do not show yet which way.")
                        : _("That is about %s off; no sensor tells which way."),
                    deg[0]);
    }
}

static void advise_watch(const struct step_context *context)
{
    const struct tighten *tighten = &context->coach->tighten;
    struct advice *advice = context->advice;
    const char *unit = level_unit_symbol(context->state->level.unit, true);
    double loss = change_fall(&tighten->change);

    if (tighten->falling) {
        sentence_stay(advice, ADVICE_TIGHTEN, UNTIL_ANSWER, "%s", _("Stop: the level has fallen."));
        tighten_say_drift(context->state->job, tighten->said.deg, tighten->said.off_deg,
                          advice->say);
        text_append(advice->say, sizeof advice->say, " %s",
                    _("Ease that bolt, and press the antenna back while it is fastened again."));
        sentence_why(advice, _("%.1f %s below the level before the bolts"), fmax(loss, 0.0), unit);
        return;
    }
    sentence_stay(advice, ADVICE_TIGHTEN, UNTIL_ANSWER, "%s",
                  change_rising(&tighten->change)
                      ? _("The level rises, so it was not quite at its peak. Go on tightening; say "
                          "done when all are tight.")
                  : tighten->round > 1
                      ? _("Tighten the bolts again, crosswise; say done when all are tight.")
                      : _("Tighten the bolts crosswise, a little at a time; say done when all are "
                          "tight."));
    sentence_why(
        advice,
        _("the level is to stay at %.1f %s; a fall of %.1f %s is noticed within %.0f s, and one "
          "alarm in %.0f minutes is false"),
        tighten->reference, unit, tighten_noticed_db * tighten->per_db, unit,
        ceil(tighten->delay_s), tighten_false_alarm_every_s / 60.0);
}

static void advise_ease(const struct step_context *context)
{
    const struct tighten *tighten = &context->coach->tighten;
    enum axis axis = tighten->legs[tighten->leg].axis;

    travel_advise(&context->coach->travel, context->state,
                  axis == AXIS_AZIMUTH ? _("%s, with the bolts of azimuth eased.")
                                       : _("%s, with the bolts of elevation eased."),
                  context->advice);
    if (context->advice->why[0] == '\0') {
        sentence_why(
            context->advice, "%s",
            tighten->rock.known[axis]
                ? _("pushed and pulled, it showed that it stands off its top by as much, to the "
                    "other side")
                : _("fastening pulled it the other way by as much, and will do so again"));
    }
}

void tighten_say(const struct step_context *context)
{
    switch (context->coach->tighten.phase) {
    case TIGHTEN_WATCH:
        advise_watch(context);
        return;
    case TIGHTEN_EASE:
        advise_ease(context);
        return;
    case TIGHTEN_ROCK:
        tighten_rock_say(context);
        return;
    case TIGHTEN_CHECK:
        if (tighten_rock_waits(context)) {
            tighten_rock_say(context);
            return;
        }
        /* fallthrough */
    default:
        sentence_stay(context->advice, ADVICE_HOLD, UNTIL_DWELL,
                      _("Hands off, reading the level."));
        sentence_why(context->advice, "%s",
                     context->coach->tighten.phase == TIGHTEN_CHECK
                         ? _("comparing with the level before the bolts")
                         : _("the level to come back to"));
        return;
    }
}
