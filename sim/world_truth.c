/* What the world knows and nobody in it: how far off the antenna really stands. */
#include "sim/world_inside.h"

#include <math.h>

static const double deg_per_rad = 57.295779513082320877;

static void point_out_target(const struct world *world, struct world_truth *truth)
{
    const struct scenario_satellite *target = &world->scenario.satellites[world->scenario.target];
    const struct globe_arrival *arrival = &world->sky.sources[world->scenario.target].arrival;
    double *deg = truth->target_deg;
    bool h = world->scenario.receives_h;

    deg[WORLD_AZIMUTH] = globe_azimuth_deg(arrival->toward);
    deg[WORLD_ELEVATION] = globe_elevation_deg(arrival->toward);
    struct globe_attitude level = globe_look(deg[WORLD_AZIMUTH], deg[WORLD_ELEVATION]);
    struct globe_vector wave =
        globe_turn(h ? arrival->e_h : arrival->e_v, level.ahead, target->turn_deg);
    if (target->wave == WAVE_CIRCULAR) {
        deg[WORLD_SKEW] = NAN;
    } else if (h) {
        deg[WORLD_SKEW] = world_turned_deg(wave, level.right, globe_scale(level.up, -1.0));
    } else {
        deg[WORLD_SKEW] = world_turned_deg(wave, level.up, level.right);
    }
}

static void lose(const struct world *world, const struct globe_attitude *antenna,
                 struct world_truth *truth)
{
    struct sky_share share = sky_share(&world->sky, world->scenario.target, antenna);
    struct sky_power power = sky_receive(&world->sky, antenna);

    truth->pointing_loss_db = -world_ratio_db(share.pattern);
    truth->skew_loss_db = -world_ratio_db(share.wanted);
    truth->loss_db = truth->pointing_loss_db + truth->skew_loss_db;
    truth->isolation_db = world_ratio_db(share.wanted / share.cross);
    truth->level_db = world_metered_db(world, &power);
}

struct world_truth world_truth(const struct world *world)
{
    struct globe_attitude antenna = mount_attitude(&world->mount);
    struct globe_vector toward = world->sky.sources[world->scenario.target].arrival.toward;
    struct world_truth truth;
    double *pointing = truth.pointing_deg;

    world_find_pointing(&antenna, pointing);
    point_out_target(world, &truth);
    truth.error_deg[WORLD_AZIMUTH] =
        globe_wrap_deg(pointing[WORLD_AZIMUTH] - truth.target_deg[WORLD_AZIMUTH]);
    truth.error_deg[WORLD_ELEVATION] =
        pointing[WORLD_ELEVATION] - truth.target_deg[WORLD_ELEVATION];
    truth.error_deg[WORLD_SKEW] =
        isnan(truth.target_deg[WORLD_SKEW])
            ? 0.0
            : globe_wrap_axial_deg(pointing[WORLD_SKEW] - truth.target_deg[WORLD_SKEW]);
    struct globe_vector cross = globe_cross(antenna.ahead, toward);
    truth.off_axis_deg =
        deg_per_rad * atan2(sqrt(globe_dot(cross, cross)), globe_dot(antenna.ahead, toward));
    lose(world, &antenna, &truth);
    return truth;
}

void world_off_beams(const struct world *world, size_t satellite, double ret_beams[2])
{
    struct globe_attitude antenna = mount_attitude(&world->mount);
    const struct aperture *aperture = &world->sky.aperture;
    struct globe_vector toward = world->sky.sources[satellite].arrival.toward;

    ret_beams[0] = ret_beams[1] = INFINITY;
    if (globe_dot(toward, antenna.ahead) > 0.0) {
        double height = aperture->panel ? aperture->height_deg : aperture->width_deg;
        ret_beams[0] = deg_per_rad * asin(globe_dot(toward, antenna.right)) / aperture->width_deg;
        ret_beams[1] = deg_per_rad * asin(globe_dot(toward, antenna.up)) / height;
    }
}

double world_level_beside_db(const struct world *world, double right_beams, double up_beams)
{
    const struct aperture *aperture = &world->sky.aperture;
    struct globe_vector toward = world->sky.sources[world->scenario.target].arrival.toward;
    double height = aperture->panel ? aperture->height_deg : aperture->width_deg,
           pointing[WORLD_AXES];
    struct globe_attitude now = mount_attitude(&world->mount), antenna;

    world_find_pointing(&now, pointing);
    antenna = globe_roll(globe_look(globe_azimuth_deg(toward), globe_elevation_deg(toward)),
                         pointing[WORLD_SKEW]);
    antenna.ahead = globe_turn(antenna.ahead, antenna.up, -right_beams * aperture->width_deg);
    antenna.right = globe_turn(antenna.right, antenna.up, -right_beams * aperture->width_deg);
    antenna.ahead = globe_turn(antenna.ahead, antenna.right, up_beams * height);
    antenna.up = globe_turn(antenna.up, antenna.right, up_beams * height);
    struct sky_power power = sky_receive(&world->sky, &antenna);
    return world_metered_db(world, &power);
}
