#include "coach/by_scale.h"

#include <math.h>

#include "base/tongue.h"
#include "coach/sentence.h"
#include "coach/travel.h"
#include "sky/angle.h"

/* A number this far off the one asked for is a slip, not a matter of reading; common practice, no
 * source: scales are graduated to 2 degrees at the coarsest. */
static const double slip_deg = 1.2;
/* Off each time: then that is how this scale is read. */
enum { MOST_LOOKS = 3 };

bool by_scale_applies(const struct state *state, enum axis axis)
{
    const struct job_axis *mount = &state->job->mount.axes[axis];

    return mount->from == JOB_FROM_SCALE && !isfinite(mount->turn_deg);
}

void by_scale_start(struct by_scale *set, enum axis axis, double deg)
{
    *set = (struct by_scale){.axis = axis, .deg = deg, .stands = NAN};
}

static double off_deg(const struct by_scale *set, double deg)
{
    return set->axis == AXIS_SKEW ? angle_turn_axial_deg(set->deg, deg)
                                  : angle_turn_deg(set->deg, deg);
}

bool by_scale_update(struct by_scale *set, const struct state *state, const struct record *record)
{
    double shown = state->measured.deg[set->axis];
    bool says = record->kind == RECORD_ANGLES && isfinite(record->angles.deg[set->axis]);
    bool done = record->kind == RECORD_STEP && record->step.event == STEP_DONE;
    bool slipped = says && fabs(off_deg(set, shown)) > slip_deg;

    if (set->is_set || !(says || done)) {
        return set->is_set;
    }
    set->looks++;
    if (!slipped || set->looks == MOST_LOOKS) {
        set->is_set = true;
        set->stands = slipped ? set->deg + off_deg(set, shown) : set->deg;
    }
    return set->is_set;
}

double by_scale_position(const struct by_scale *set, const struct state *state, enum axis axis)
{
    double here = travel_position(state, axis);

    if (by_scale_applies(state, axis) && set->axis == axis && set->is_set &&
        fabs(off_deg(set, here)) <= slip_deg) {
        return travel_from_angle(state, axis, set->stands);
    }
    return here;
}

void by_scale_advise(const struct by_scale *set, const struct state *state, struct advice *advice)
{
    double number =
        sentence_number(job_scale_from_true(&state->job->mount.axes[set->axis], set->deg), 1);

    advice->axis = set->axis;
    sentence_stay(advice, ADVICE_CONFIRM, UNTIL_ARRIVED,
                  _("Set the %s closely to %.1f° on the scale, between two lines if need be, then "
                    "say %s."),
                  axis_word(set->axis), number,
                  set->axis == AXIS_AZIMUTH     ? _("az and the number")
                  : set->axis == AXIS_ELEVATION ? _("el and the number")
                                                : _("skew and the number"));
}
