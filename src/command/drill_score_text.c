/* The score of a practice session in sentences and as JSON. */
#include "command/drill_score.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"

static const double side_lobe_beams = 3.0; /* farther off it is none that a meter shows */

static void tell_where(const struct drill_result *result, const struct drill_ending *ending,
                       char *text)
{
    if (result->on_target) {
        snprintf(text, RECORD_TEXT_SIZE, _("On %s, %.2f beamwidths beside its top."),
                 ending->target, ending->target_beams);
    } else if (!ending->on_target && ending->nearest_beams < ending->target_beams &&
               ending->nearest_beams <= 1.0) {
        snprintf(text, RECORD_TEXT_SIZE, _("On the wrong satellite: %s instead of %s."),
                 ending->nearest, ending->target);
    } else if (ending->target_beams <= side_lobe_beams) {
        snprintf(text, RECORD_TEXT_SIZE,
                 _("Not on %s but %.1f beamwidths beside it, on the flank or on a side lobe."),
                 ending->target, ending->target_beams);
    } else {
        snprintf(text, RECORD_TEXT_SIZE, "%s", _("On no satellite at all."));
    }
}

static void tell_time(const struct drill_result *result, const struct drill_ending *ending,
                      char *text)
{
    int s = (int)round(result->t);

    snprintf(text, RECORD_TEXT_SIZE,
             _("It took %d min %d s; a practised hand needs about %.0f min."), s / 60, s % 60,
             ending->allowed_s / 60.0);
}

static void tell_turns(const struct drill_score *score, char *text)
{
    if (score->wrong_turns == 0) {
        snprintf(text, RECORD_TEXT_SIZE, "%s", _("No turn went the wrong way."));
    } else if (score->wrong_turns == 1) {
        snprintf(text, RECORD_TEXT_SIZE, _("One turn went the wrong way, after %.0f s."),
                 score->first_wrong_t);
    } else {
        snprintf(text, RECORD_TEXT_SIZE,
                 _("%d turns went the wrong way, the first of them after %.0f s."),
                 score->wrong_turns, score->first_wrong_t);
    }
    if (score->asked > 0) {
        text_append(text, RECORD_TEXT_SIZE, _(" Times that the coach was asked: %d."),
                    score->asked);
    }
}

static void tell_cautions(const struct drill_score *score, const struct drill_result *result,
                          char *text)
{
    char names[RECORD_TEXT_SIZE] = "";

    if (result->cautions_skipped == 0) {
        snprintf(text, RECORD_TEXT_SIZE, "%s", _("No caution was skipped."));
        return;
    }
    for (size_t i = 0; i < score->cautions; i++) {
        if (!score->answered[i]) {
            text_append(names, sizeof names, names[0] ? ", %s" : "%s",
                        _(score->procedure->steps[i].name));
        }
    }
    text[0] = '\0';
    text_append(text, RECORD_TEXT_SIZE,
                _("Not answered with done: %s. At a real mount that is where people get hurt."),
                names);
}

size_t drill_score_tell(const struct drill_score *score, const struct drill_ending *ending,
                        char ret_sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE])
{
    struct drill_result result = drill_score_end(score, ending);
    size_t n = 0;

    tell_where(&result, ending, ret_sentences[n++]);
    snprintf(ret_sentences[n++], RECORD_TEXT_SIZE,
             _("It loses %.2f dB by pointing and %.2f dB by its skew, which is %.1f° off."),
             ending->pointing_loss_db, ending->skew_loss_db, fabs(ending->skew_error_deg));
    tell_time(&result, ending, ret_sentences[n++]);
    tell_turns(score, ret_sentences[n++]);
    tell_cautions(score, &result, ret_sentences[n++]);
    if (!result.fastened) {
        snprintf(ret_sentences[n++], RECORD_TEXT_SIZE, "%s",
                 _("The bolts were not fastened: the first gale turns it away."));
    }
    if (!result.finished) {
        snprintf(ret_sentences[n++], RECORD_TEXT_SIZE, "%s", _("It was not brought to its end."));
    }
    /* TRANSLATORS: "Score: " and a number at the beginning: the report looks for it in the log */
    snprintf(ret_sentences[n++], RECORD_TEXT_SIZE, _("Score: %d of 100."), result.points);
    return n;
}

static double rounded(double value, double to)
{
    return isfinite(value) ? round(value / to) * to : value;
}

/* What is not known is null. */
static void put(json_t *object, const char *key, double value)
{
    json_object_set_new(object, key, isfinite(value) ? json_real(value) : json_null());
}

json_t *drill_score_json(const struct drill_score *score, const struct drill_ending *ending)
{
    struct drill_result result = drill_score_end(score, ending);
    json_t *object = json_object(), *skipped = json_array();

    for (size_t i = 0; i < score->cautions; i++) {
        if (!score->answered[i]) {
            json_array_append_new(skipped, json_string(score->procedure->steps[i].name));
        }
    }
    json_object_set_new(object, "points", json_integer(result.points));
    json_object_set_new(object, "finished", json_boolean(result.finished));
    json_object_set_new(object, "on_target", json_boolean(result.on_target));
    json_object_set_new(object, "target", json_string(ending->target));
    json_object_set_new(object, "nearest", json_string(ending->nearest));
    put(object, "target_beams", rounded(ending->target_beams, 1e-3));
    put(object, "loss_db", rounded(result.loss_db, 1e-3));
    put(object, "pointing_loss_db", rounded(ending->pointing_loss_db, 1e-3));
    put(object, "skew_loss_db", rounded(ending->skew_loss_db, 1e-3));
    put(object, "skew_error_deg", rounded(ending->skew_error_deg, 1e-2));
    put(object, "time_s", rounded(result.t, 1e-1));
    put(object, "allowed_s", rounded(ending->allowed_s, 1e-1));
    json_object_set_new(object, "wrong_turns", json_integer(result.wrong_turns));
    put(object, "first_wrong_turn_s", rounded(score->first_wrong_t, 1e-1));
    json_object_set_new(object, "cautions_skipped", skipped);
    json_object_set_new(object, "fastened", json_boolean(result.fastened));
    json_object_set_new(object, "asked", json_integer(score->asked));
    return object;
}
