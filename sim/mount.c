#include "sim/mount.h"

#include <math.h>

static const double settle_s = 0.7;  /* fastening a bolt gives way in about this time */
static const double spring_s = 0.15; /* and what a hand has bent springs back */

static double clamp(double value, double low, double high)
{
    return value < low ? low : value > high ? high : value;
}

void mount_init(struct mount *mount, const struct scenario *scenario)
{
    *mount = (struct mount){.scenario = scenario};
    for (int i = 0; i < WORLD_AXES; i++) {
        double start = scenario->mount.axes[i].start_deg;
        mount->axes[i] = (struct mount_axis){
            .bolt_deg = start, .mount_deg = start, .belief = 1.0, .rate_deg_s = 1.0};
    }
}

void mount_turn(struct mount *mount, enum world_axis axis, double deg, double factor,
                double rate_deg_s)
{
    mount->axes[axis].tight = false; /* its bolts are eased for that */
    mount->axes[axis].left_deg += deg * factor;
    mount->axes[axis].belief = 1.0 / factor;
    mount->axes[axis].rate_deg_s = rate_deg_s;
}

void mount_tighten(struct mount *mount, enum world_axis axis, double share)
{
    if (!mount->axes[axis].tight) {
        mount->axes[axis].tight = true;
        mount->axes[axis].gives = share;
    }
}

void mount_rock(struct mount *mount, enum world_axis axis, double deg)
{
    mount->axes[axis].rocked_to_deg = deg;
}

double mount_halt(struct mount *mount, enum world_axis axis)
{
    double meant = mount->axes[axis].meant_deg;

    mount->axes[axis].left_deg = 0.0;
    mount->axes[axis].meant_deg = 0.0;
    return meant;
}

/* The bolt turns; the mount follows when the play is taken up. True: it did. */
static bool turn(struct mount_axis *axis, double backlash_deg, double step_s)
{
    double most = axis->rate_deg_s * step_s, before = axis->mount_deg;
    double deg = clamp(axis->left_deg, -most, most);

    axis->left_deg -= deg;
    axis->bolt_deg += deg;
    axis->meant_deg += deg * axis->belief;
    axis->mount_deg = clamp(axis->mount_deg, axis->bolt_deg - backlash_deg / 2.0,
                            axis->bolt_deg + backlash_deg / 2.0);
    return axis->mount_deg != before;
}

/* Give way toward a goal, at first fast, then slowly. True: it did. */
static bool give(double *deg, double goal_deg, double step_s, double within_s)
{
    double left = goal_deg - *deg;

    if (left == 0.0) {
        return false;
    }
    *deg = fabs(left) < 1e-6 ? goal_deg : *deg + left * (1.0 - exp(-step_s / within_s));
    return true;
}

bool mount_step(struct mount *mount, double step_s)
{
    bool moved = false;

    for (int i = 0; i < WORLD_AXES; i++) {
        const struct scenario_axis *built = &mount->scenario->mount.axes[i];
        struct mount_axis *axis = &mount->axes[i];
        double press = axis->left_deg == 0.0 ? 0.0 : copysign(built->press_deg, axis->left_deg);
        moved |= turn(axis, built->backlash_deg, step_s);
        moved |= give(&axis->given_deg, axis->tight ? built->tighten_deg * axis->gives : 0.0,
                      step_s, settle_s);
        moved |= give(&axis->pressed_deg, press, step_s, spring_s);
        moved |= give(&axis->rocked_deg, axis->rocked_to_deg, step_s, spring_s);
    }
    return moved;
}

double mount_angle_deg(const struct mount *mount, enum world_axis axis)
{
    return mount->axes[axis].mount_deg + mount->axes[axis].given_deg;
}

static struct globe_attitude attitude(const struct mount *mount, double share_bent)
{
    double lean = mount->scenario->mount.lean_deg, deg[WORLD_AXES];
    struct globe_attitude antenna;

    for (int i = 0; i < WORLD_AXES; i++) {
        const struct mount_axis *axis = &mount->axes[i];
        deg[i] = mount_angle_deg(mount, (enum world_axis)i) +
                 share_bent * (axis->pressed_deg + axis->rocked_deg + axis->sway_deg);
    }
    antenna = globe_roll(globe_look(deg[WORLD_AZIMUTH], deg[WORLD_ELEVATION]), deg[WORLD_SKEW]);
    if (lean != 0.0) {
        /* about the line to the right of where it leans, so that the top goes over that way */
        struct globe_vector right = globe_look(mount->scenario->mount.lean_toward_deg, 0.0).right;
        antenna.ahead = globe_turn(antenna.ahead, right, -lean);
        antenna.up = globe_turn(antenna.up, right, -lean);
        antenna.right = globe_turn(antenna.right, right, -lean);
    }
    return antenna;
}

struct globe_attitude mount_attitude(const struct mount *mount)
{
    return attitude(mount, 0.0);
}

struct globe_attitude mount_attitude_bent(const struct mount *mount)
{
    return attitude(mount, 1.0);
}
