#include "command/quiz_score.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"

/* Common practice, no source: a hand turns by eye. */
static const double near_share = 0.3, near_deg = 0.1;

static const char *const texts[QUIZ_MISSES] = {
    [QUIZ_RIGHT] = "right",
    [QUIZ_NO_ANSWER] = N_("no answer"),
    [QUIZ_WRONG_AXIS] = N_("the wrong axis"),
    [QUIZ_WRONG_WAY] = N_("the wrong way"),
    [QUIZ_NO_DISTANCE] = N_("no distance"),
    [QUIZ_TOO_FAR] = N_("too far"),
    [QUIZ_TOO_SHORT] = N_("not far enough"),
};

bool quiz_can_ask(const struct advice *advice)
{
    return advice->move <= ADVICE_ANTICLOCKWISE && advice->axis < AXIS_COUNT;
}

enum quiz_miss quiz_judge(const struct advice *advice, const struct quiz_answer *answer)
{
    double near = fmax(near_share * advice->deg, near_deg);

    if (answer->axis == AXIS_NONE) {
        return QUIZ_NO_ANSWER;
    }
    if (answer->axis != advice->axis) {
        return QUIZ_WRONG_AXIS;
    }
    if (advice_move_toward(answer->axis, answer->way) != advice->move) {
        return QUIZ_WRONG_WAY;
    }
    if (isnan(advice->deg)) {
        return QUIZ_RIGHT;
    }
    if (isnan(answer->deg)) {
        return QUIZ_NO_DISTANCE;
    }
    return answer->deg > advice->deg + near   ? QUIZ_TOO_FAR
           : answer->deg < advice->deg - near ? QUIZ_TOO_SHORT
                                              : QUIZ_RIGHT;
}

void quiz_count(struct quiz_tally *tally, const struct advice *advice, enum quiz_miss miss)
{
    int of = isnan(advice->deg) ? 2 : 3;

    tally->asked++;
    tally->misses[miss]++;
    tally->of += of;
    switch (miss) {
    case QUIZ_RIGHT:
        tally->got += of;
        break;
    case QUIZ_NO_DISTANCE:
    case QUIZ_TOO_FAR:
    case QUIZ_TOO_SHORT:
        tally->got += 2;
        break;
    case QUIZ_WRONG_WAY:
        tally->got += 1;
        break;
    default:
        break;
    }
}

double quiz_points(const struct quiz_tally *tally)
{
    return tally->of > 0 ? 100.0 * tally->got / tally->of : NAN;
}

const char *quiz_miss_key(enum quiz_miss miss)
{
    return texts[miss];
}

const char *quiz_miss_text(enum quiz_miss miss)
{
    return miss == QUIZ_RIGHT ? tongue_say_in("answer", "right") : _(texts[miss]);
}

void quiz_tell(const struct quiz_tally *tally, char ret_sentence[RECORD_TEXT_SIZE])
{
    bool missed = false;

    if (tally->asked == 0) {
        text_copy(ret_sentence, RECORD_TEXT_SIZE, _("Nothing was asked."));
        return;
    }
    /* TRANSLATORS: "Score: " and a number at the beginning: the report looks for it in the log */
    snprintf(ret_sentence, RECORD_TEXT_SIZE, _("Score: %.0f of 100: %d of %d answers right."),
             quiz_points(tally), tally->misses[QUIZ_RIGHT], tally->asked);
    for (int i = QUIZ_RIGHT + 1; i < QUIZ_MISSES; i++) {
        if (tally->misses[i] > 0) {
            /* TRANSLATORS: what was answered wrongly, and how often */
            text_append(ret_sentence, RECORD_TEXT_SIZE,
                        missed ? _(", %s (%d)") : _(" Missed: %s (%d)"), _(texts[i]),
                        tally->misses[i]);
            missed = true;
        }
    }
    text_append(ret_sentence, RECORD_TEXT_SIZE, "%s", missed ? "." : "");
}
