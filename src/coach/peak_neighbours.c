/* Who stands so near the target that a flank of its lobe is steeper for it. */
#include "coach/step_peak.h"

#include <math.h>

#include "sky/angle.h"
#include "sky/look.h"

/* Further off than this, in widths, none does. */
static const double too_near = 1.7;

/* Where a neighbour stands from the target, half-power widths of either axis. */
static void neighbour_off(const struct state *state, const struct job_satellite *neighbour,
                          double ret_widths[AXIS_COUNT])
{
    struct look its = look_at_geostationary(&look_earth_wgs84, &state->site, neighbour->lon_deg);
    struct look ours = look_at_geostationary(&look_earth_wgs84, &state->site,
                                             state->job->target.satellite.lon_deg);

    ret_widths[AXIS_AZIMUTH] = angle_turn_deg(ours.azimuth_deg, its.azimuth_deg) /
                               peak_expected_width_deg(state, AXIS_AZIMUTH);
    ret_widths[AXIS_ELEVATION] =
        (its.elevation_deg - ours.elevation_deg) / peak_expected_width_deg(state, AXIS_ELEVATION);
}

void peak_find_neighbours(const struct state *state, enum axis axis, struct lobe_prior *prior)
{
    enum axis other = axis == AXIS_AZIMUTH ? AXIS_ELEVATION : AXIS_AZIMUTH;
    double nearest[2] = {too_near, too_near};
    struct lobe_neighbour near[2] = {{0}};

    for (size_t i = 0; i < state->job->neighbour_count; i++) {
        double off[AXIS_COUNT], apart;
        int side;
        neighbour_off(state, &state->job->neighbours[i], off);
        apart = hypot(off[AXIS_AZIMUTH], off[AXIS_ELEVATION]);
        side = off[AXIS_AZIMUTH] > 0.0;
        if (apart < nearest[side]) {
            nearest[side] = apart;
            near[side] = (struct lobe_neighbour){.along = off[axis], .across = off[other]};
        }
    }
    for (int side = 0; side < 2; side++) {
        if (nearest[side] < too_near) {
            prior->near[prior->near_count++] = near[side];
        }
    }
}
