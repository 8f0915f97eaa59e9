#include "coach/identity.h"

#include <math.h>

#include "base/text.h"
#include "base/tongue.h"

/* A hand does not turn evenly: where time stands for the angle the width is told less well. */
static const double sensed_width_error = 0.12, told_width_error = 0.3;
static const double expected_error_db = 2.0;
static const double worth_saying = 0.3; /* log10: twice as likely */

struct verdict_evidence identity_evidence(const struct state *state, const struct arc *arc,
                                          bool waited)
{
    struct verdict_evidence evidence = verdict_no_evidence();
    const struct job_satellite *target = &state->job->target.satellite;
    const struct sweep_peak *top = arc->chosen >= 0 ? &arc->tops[arc->chosen] : NULL;
    bool sensed = state->job->mount.axes[AXIS_AZIMUTH].from == JOB_FROM_SENSOR;
    bool is_db = level_unit_is_db(state->level.unit);

    if (is_db && isfinite(state->job->target.expected_level)) {
        evidence.level_db = state->level.filter.level - state->job->target.expected_level;
        evidence.level_error_db = expected_error_db;
    }
    if (isfinite(state->lock_t)) {
        evidence.lock = state->lock.locked ? LOCK_YES : waited ? LOCK_NO : LOCK_UNKNOWN;
        if (state_carrier(state)[0] != '\0' && job_target_has_id(state->job)) {
            evidence.name = job_names(target, state_carrier(state)) ? NAME_TARGET : NAME_OTHER;
        }
    }
    if (!top) {
        return evidence;
    }
    evidence.width_ratio = top->width_deg / arc->width_deg;
    evidence.width_error = sensed ? sensed_width_error : told_width_error;
    for (int i = 0; i < arc->top_count && is_db; i++) {
        const struct sweep_peak *other = &arc->tops[i];
        if (i != arc->chosen && evidence.companion_count < VERDICT_COMPANIONS) {
            evidence.companions[evidence.companion_count++] =
                (struct verdict_companion){.offset_widths = (other->x - top->x) / arc->width_deg,
                                           .level_db = other->level - top->level};
        }
    }
    /* a name outweighs the arc, which may not have heard it yet */
    if (arc->matched && state->job->neighbour_count > 0 && evidence.name == NAME_NONE) {
        double probability;
        evidence.arc_probability =
            arc_likeliest(arc, &probability) == arc->chosen ? probability : 0.0;
    }
    return evidence;
}

/* --- words ------------------------------------------------------------------------------------ */

static void say_ground(const struct state *state, const struct arc *arc,
                       const struct verdict_evidence *e, enum verdict_ground ground, char *text)
{
    const char *name = arc_name(arc, state->job, arc->chosen);

    switch (ground) {
    case GROUND_WIDTH:
        text_append(text, RECORD_TEXT_SIZE, _("its lobe is %.1f times as wide as expected"),
                    e->width_ratio);
        break;
    case GROUND_LEVEL:
        text_append(text, RECORD_TEXT_SIZE,
                    e->level_db < 0.0 ? _("it stands %.1f dB below the level expected")
                                      : _("it stands %.1f dB above the level expected"),
                    fabs(e->level_db));
        break;
    case GROUND_HEIGHT:
        text_append(text, RECORD_TEXT_SIZE, _("it hardly stands out of the noise"));
        break;
    case GROUND_COMPANIONS:
        text_append(text, RECORD_TEXT_SIZE, _("the tops beside it speak so"));
        break;
    case GROUND_LOCK:
        text_append(text, RECORD_TEXT_SIZE, "%s",
                    e->lock == LOCK_YES ? _("the receiver locks")
                                        : _("the receiver does not lock"));
        break;
    case GROUND_NAME:
        text_append(text, RECORD_TEXT_SIZE, _("the receiver names %s"), state->lock.id);
        break;
    case GROUND_ARC:
        if (e->arc_probability >= e->sure) {
            text_append(text, RECORD_TEXT_SIZE, _("its place among %d met fits the arc (%.0f %%)"),
                        arc->top_count, fmin(100.0 * e->arc_probability, 99.0));
        } else if (e->arc_probability >= 0.5) {
            text_append(text, RECORD_TEXT_SIZE,
                        _("by its place on the arc it is the target in %.0f of 100 cases"),
                        100.0 * e->arc_probability);
        } else if (name[0] != '\0') {
            text_append(text, RECORD_TEXT_SIZE, _("by the arc it is %s"), name);
        } else {
            text_append(text, RECORD_TEXT_SIZE,
                        tongue_say_count("the %d carrier met fits the arc in several ways",
                                         "the %d carriers met fit the arc in several ways",
                                         (unsigned long)arc->top_count),
                        arc->top_count);
        }
        break;
    case GROUND_COUNT:
        break;
    }
}

static int weightiest(const double *grounds, const bool *said, double way, bool lamp_is_lit)
{
    int best = -1;

    for (int g = 0; g < GROUND_COUNT; g++) {
        double weight = way * grounds[g];
        /* that it locks tells it from noise, not from a neighbour */
        if (!said[g] && !(g == GROUND_LOCK && lamp_is_lit) && weight > worth_saying &&
            (best < 0 || weight > way * grounds[best])) {
            best = g;
        }
    }
    return best;
}

void identity_say(const struct state *state, const struct arc *arc,
                  const struct verdict_evidence *evidence, const struct verdict *verdict,
                  char ret_text[RECORD_TEXT_SIZE])
{
    static const char *const kinds[] = {[VERDICT_TARGET] = N_("it is the target"),
                                        [VERDICT_SIDE_LOBE] = N_("it is a side lobe"),
                                        [VERDICT_NEIGHBOUR] = N_("it is another satellite"),
                                        [VERDICT_NOISE] = N_("it is no satellite")};
    bool said[GROUND_COUNT] = {false};
    /* what speaks against what it seems to be is why one is not sure */
    bool for_target = verdict->nearest == VERDICT_TARGET;
    bool lit = evidence->lock == LOCK_YES && !for_target;
    char reasons[2][RECORD_TEXT_SIZE] = {"", ""};
    int ground, count;

    ret_text[0] = '\0';
    if (verdict->kind == VERDICT_UNSURE) {
        ground = weightiest(verdict->grounds, said, for_target ? -1.0 : 1.0, lit);
        if (ground < 0) {
            text_append(ret_text, RECORD_TEXT_SIZE, "%s",
                        _("not sure, because a neighbour would look the same: the receiver names "
                          "nothing and the arc does not decide"));
            return;
        }
        say_ground(state, arc, evidence, (enum verdict_ground)ground, reasons[0]);
        /* TRANSLATORS: a ground follows, such as "the receiver does not lock" */
        text_append(ret_text, RECORD_TEXT_SIZE, _("not sure, because %s"), reasons[0]);
        return;
    }
    for (count = 0; count < 2; count++) {
        ground = count == 0 && evidence->name != NAME_NONE
                     ? GROUND_NAME
                     : weightiest(verdict->grounds, said, 1.0, lit);
        if (ground < 0) {
            break;
        }
        say_ground(state, arc, evidence, (enum verdict_ground)ground, reasons[count]);
        said[ground] = true;
    }
    switch (count) {
    case 0:
        text_copy(ret_text, RECORD_TEXT_SIZE, _(kinds[verdict->kind]));
        break;
    case 1:
        /* TRANSLATORS: "it is the target", and a ground: "the receiver names PTARMIGAN" */
        text_append(ret_text, RECORD_TEXT_SIZE, _("%s: %s"), _(kinds[verdict->kind]), reasons[0]);
        break;
    default:
        /* TRANSLATORS: the same with two grounds */
        text_append(ret_text, RECORD_TEXT_SIZE, _("%s: %s, and %s"), _(kinds[verdict->kind]),
                    reasons[0], reasons[1]);
        break;
    }
}
