#include "coach/tighten_rock.h"

#include <math.h>

#include "base/known.h"
#include "base/text.h"
#include "base/tongue.h"
#include "coach/sentence.h"

/* From the word to the push, so that the level is that of the antenna held: at first the hands come
 * from the keys. */
static const double first_reaction_s = 1.5, reaction_s = 0.8, hold_s = 2.0;
/* Fading slower than a reading. */
static const double fading_db = 0.1;
/* What is known beforehand, in widths: where bolts leave an antenna, and how far a firm hand bends
 * it; and of one push beside the others. Common practice, no source. */
static const struct rock_prior usual = {.off_widths = 0.1,
                                        .give_widths = 0.15,
                                        .give_spread = 0.4,
                                        .stiff = 0.01,
                                        .force_share = 0.15,
                                        .slip = 0.03};
/* Worth easing the bolts once more for, and so surely that more pushes need not say it; moved by so
 * much it is tried anew (widths). */
static const double worth_widths = 0.06, surely_worth_widths = 0.07, far_widths = 0.1;
/* What comes of turning it back errs by this share of the way: the hand, and how the bolts give
 * anew. Common practice, no source. */
static const double turn_share = 0.2;
/* Enough is known; not even after two pushes each way (widths). */
static const double sure_widths = 0.035, unsure_widths = 0.05;
/* Nobody holds an antenna for longer while no level comes in. */
static const double silent_s = 5.0;
/* A mount so stiff, or a meter at its end, wants twice the force to show more than this (widths).
 */
static const double stiff_widths = 0.11, shown_widths = 0.04, harder = 2.0;
/* A scale that is not in dB is closer at the top than in the mean from the floor up: by so much.
 * Common practice, no source. */
static const double slope_at_top = 0.65;
static const double lobe_db = 12.0;

static bool is_blind(const struct step_context *context, enum axis axis)
{
    return context->state->job->mount.axes[axis].from != JOB_FROM_SENSOR;
}

bool tighten_rock_may(const struct step_context *context)
{
    return is_blind(context, AXIS_AZIMUTH) || is_blind(context, AXIS_ELEVATION);
}

/* --- what is to be tried -------------------------------------------------------------------- */

static void ask(const struct step_context *context, bool all)
{
    struct tighten_rock *rock = &context->coach->tighten.rock;
    enum axis before = rock->axis;

    rock->axis = AXIS_NONE;
    for (int i = TIGHTEN_AXES - 1; i >= 0; i--) {
        rock->wanted[i] = is_blind(context, (enum axis)i) &&
                          (all || !rock->known[i] || fabs(rock->moved_widths[i]) > far_widths);
        rock->axis = rock->wanted[i] ? (enum axis)i : rock->axis;
    }
    rock->there = rock->there && rock->axis == before;
}

void tighten_rock_ask(const struct step_context *context)
{
    ask(context, false);
}

void tighten_rock_ask_all(const struct step_context *context)
{
    ask(context, true);
}

void tighten_rock_forget(const struct step_context *context, enum axis axis)
{
    struct tighten_rock *rock = &context->coach->tighten.rock;

    rock->known[axis] = false;
    rock->there = false;
    rock->axis = AXIS_NONE;
}

bool tighten_rock_waits(const struct step_context *context)
{
    const struct tighten_rock *rock = &context->coach->tighten.rock;

    return rock->axis != AXIS_NONE && !rock->there;
}

/* --- pushing and pulling -------------------------------------------------------------------- */

/* Of the meter's unit, near the top. */
static double per_db(const struct step_context *context)
{
    return context->coach->tighten.per_db *
           (level_unit_is_db(context->state->level.unit) ? 1.0 : slope_at_top);
}

static void hold(const struct step_context *context, int way, double within_s)
{
    struct coach *coach = context->coach;

    coach->tighten.rock.way = way;
    dwell_start(&coach->dwell, context->state, AXIS_NONE, coach_lag_s(coach, context->state),
                context->state->t + within_s, hold_s, true);
}

static void add(const struct step_context *context, int way, double level, double error)
{
    struct tighten_rock *rock = &context->coach->tighten.rock;
    double db = per_db(context);

    rock->readings[rock->count++] =
        (struct rock_reading){.way = way,
                              .level_db = level / db,
                              .error_db = hypot(known_or(error / db, 0.0), fading_db)};
}

bool tighten_rock_begin(const struct step_context *context)
{
    const struct change_reference *rest = &context->coach->tighten.readings;
    struct tighten_rock *rock = &context->coach->tighten.rock;

    if (rock->axis == AXIS_NONE) {
        return false;
    }
    rock->count = 0;
    rock->harder = false;
    add(context, 0, change_reference_level(rest), change_reference_error(rest));
    if (rock->there) {
        hold(context, -1, first_reaction_s);
    }
    return true;
}

/* By now the axis is known well enough, or as well as it will be. */
static bool is_known(const struct tighten_rock *rock)
{
    const struct rock_fit *fit = &rock->fit[rock->axis];
    bool clear = fabs(fit->off_widths) + fit->off_error < worth_widths;
    bool worth = fabs(fit->off_widths) - fit->off_error > surely_worth_widths;
    size_t most = fit->off_error > unsure_widths ? ROCK_READINGS : ROCK_READINGS - 2;

    return fit->off_error < sure_widths || clear || worth || rock->count >= most;
}

/* Push and pull have shown too little, be it that the mount is stiff or the meter at its end. */
static bool shows_little(const struct tighten_rock *rock, double saturation_db)
{
    const struct rock_fit *fit = &rock->fit[rock->axis];
    bool clipped =
        rock->readings[1].level_db >= saturation_db || rock->readings[2].level_db >= saturation_db;

    return clipped || (fit->off_error > shown_widths && fit->give_widths < stiff_widths);
}

static bool next_axis(const struct step_context *context)
{
    struct tighten_rock *rock = &context->coach->tighten.rock;
    double width = step_width_deg(context, rock->axis);

    rock->wanted[rock->axis] = false;
    rock->known[rock->axis] = true;
    rock->found_round[rock->axis] = context->coach->tighten.round;
    rock->found_deg[rock->axis] = rock->fit[rock->axis].off_widths * width;
    rock->found_error_deg[rock->axis] = rock->fit[rock->axis].off_error * width;
    rock->moved_widths[rock->axis] = 0.0;
    rock->there = false;
    rock->axis = rock->wanted[AXIS_ELEVATION] ? AXIS_ELEVATION : AXIS_NONE;
    return tighten_rock_begin(context);
}

static bool is_silent(const struct state *state)
{
    return state->t - state->level.t >
           fmax(silent_s, 3.0 * level_filter_period_s(&state->level.filter));
}

bool tighten_rock_update(const struct step_context *context)
{
    struct coach *coach = context->coach;
    struct tighten_rock *rock = &coach->tighten.rock;
    struct rock_prior prior = usual;

    if (is_silent(context->state)) {
        rock->there = false; /* who holds it lets go */
        rock->count = 1;
        return false;
    }
    if (!rock->there) {
        rock->there = step_answered(context);
        if (rock->there) {
            hold(context, -1, first_reaction_s);
        }
        return false;
    }
    if (!dwell_update(&coach->dwell, context->state, context->record)) {
        return false;
    }
    add(context, rock->way, dwell_level(&coach->dwell), dwell_level_error(&coach->dwell));
    if (rock->count > 2) {
        prior.saturation_db = step_end_level(context) / per_db(context);
        prior.give_widths *= rock->harder ? harder : 1.0;
        rock_fit(rock->readings, rock->count, &prior, &rock->fit[rock->axis]);
        if (is_known(rock)) {
            return !next_axis(context);
        }
        if (!rock->harder && rock->count == 3 && shows_little(rock, prior.saturation_db)) {
            rock->harder = true;
            rock->count = 1; /* the one at rest */
        }
    }
    hold(context, -rock->way, reaction_s);
    return false;
}

/* --- what it tells -------------------------------------------------------------------------- */

double tighten_rock_off_deg(const struct step_context *context, enum axis axis)
{
    const struct tighten_rock *rock = &context->coach->tighten.rock;
    double off = rock->fit[axis].off_widths;

    return rock->known[axis] && fabs(off) > worth_widths ? off * step_width_deg(context, axis)
                                                         : 0.0;
}

void tighten_rock_moved(const struct step_context *context, enum axis axis)
{
    struct tighten_rock *rock = &context->coach->tighten.rock;
    struct rock_fit *fit = &rock->fit[axis];

    rock->moved_widths[axis] = fit->off_widths;
    fit->off_error = hypot(fit->off_error, turn_share * fit->off_widths);
    fit->off_widths = 0.0;
}

/* errors  how many standard errors further off it may stand */
static double loss_db(const struct step_context *context, double errors)
{
    const struct tighten_rock *rock = &context->coach->tighten.rock;
    double loss = 0.0;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        double off = fabs(rock->fit[i].off_widths) + errors * rock->fit[i].off_error;
        if (is_blind(context, (enum axis)i)) {
            loss += rock->known[i] ? lobe_db * off * off : INFINITY;
        }
    }
    return loss;
}

double tighten_rock_loss_db(const struct step_context *context)
{
    return loss_db(context, 0.0);
}

double tighten_rock_most_lost_db(const struct step_context *context)
{
    return loss_db(context, 1.0);
}

/* --- in words ------------------------------------------------------------------------------- */

void tighten_rock_say(const struct step_context *context)
{
    /* firmly or harder; at the right or the upper edge; push or pull */
    static const char *const sentences[2][2][2] = {
        {{N_("Push the right edge away from you, firmly, and hold."),
          N_("Pull the right edge towards you, just as firmly, and hold.")},
         {N_("Push the upper edge away from you, firmly, and hold."),
          N_("Pull the upper edge towards you, just as firmly, and hold.")}},
        {{N_("Push the right edge away from you, twice as hard, and hold."),
          N_("Pull the right edge towards you, twice as hard, and hold.")},
         {N_("Push the upper edge away from you, twice as hard, and hold."),
          N_("Pull the upper edge towards you, twice as hard, and hold.")}},
    };
    const struct tighten_rock *rock = &context->coach->tighten.rock;
    bool upper = rock->axis == AXIS_ELEVATION;

    if (!rock->there) {
        sentence_stay(context->advice, ADVICE_CONFIRM, UNTIL_ANSWER, "%s",
                      upper ? _("Stand behind the antenna's upper edge, both feet firm, hands "
                                "still off; say done.")
                            : _("Stand behind the antenna's right edge, both feet firm, hands "
                                "still off; say done."));
        sentence_why(
            context->advice, "%s",
            is_silent(context->state)
                ? _("no level")
                : _("pushed and pulled there, it shows how far off its top it stands. Out of "
                    "safe reach: say skip, and it stays as it is, unproven. Only from behind, "
                    "never from the front, never with your weight."));
        return;
    }
    context->advice->axis = rock->axis;
    sentence_stay(context->advice, rock->way < 0 ? ADVICE_PUSH : ADVICE_PULL, UNTIL_DWELL, "%s",
                  _(sentences[rock->harder][upper][rock->way > 0]));
    sentence_why(
        context->advice, "%s",
        rock->harder
            ? _("too little showed. Only as hard as your footing is firm; else say skip")
            : _("arms, not weight: the level falls more on the side to which it is off already"));
}

void tighten_rock_say_result(const struct step_context *context)
{
    const struct tighten_rock *rock = &context->coach->tighten.rock;

    for (int i = 0; i < TIGHTEN_AXES; i++) {
        char deg[24] = "";
        if (rock->known[i]) {
            sentence_append_degrees(deg, sizeof deg,
                                    (fabs(rock->fit[i].off_widths) + rock->fit[i].off_error) *
                                        step_width_deg(context, (enum axis)i));
            text_append(context->result, RECORD_TEXT_SIZE,
                        _("; pushed and pulled, %s is within about %s of its top"),
                        axis_word((enum axis)i), deg);
        }
    }
}
