/* mount.h - bolts, play and a mast that leans: where the antenna stands. Pure. */
#ifndef SIM_MOUNT_H
#define SIM_MOUNT_H

#include <stdbool.h>

#include "sim/scenario.h"

struct mount_axis {
    double bolt_deg;  /* where the bolt is, in degrees of the axis */
    double mount_deg; /* where the mount is: behind the bolt by the play */
    double left_deg;  /* still to be turned */
    double meant_deg; /* turned since the last halt, as the hand believes */
    double belief;    /* meant / turned */
    double rate_deg_s;
    double given_deg;   /* how far fastening has moved it */
    double pressed_deg; /* how far the hand on the bolt bends it */
    double rocked_deg;  /* and one on the antenna's edge */
    double rocked_to_deg;
    double sway_deg; /* and the wind, now */
    bool tight;
    double gives; /* this time, of the scenario's angle */
};

struct mount {
    const struct scenario *scenario; /* borrowed */
    struct mount_axis axes[WORLD_AXES];
};

void mount_init(struct mount *mount, const struct scenario *scenario);

/* Fasten an axis: it gives by a share of the scenario's angle, and springs back when its bolts are
 * eased, which they are whenever it is turned. Nothing changes where it is fast already. */
void mount_tighten(struct mount *mount, enum world_axis axis, double share);

/* A hand on the antenna's edge bends an axis by so much; 0 = it lets go. */
void mount_rock(struct mount *mount, enum world_axis axis, double deg);

/* Turn by so much more: really by deg * factor, which the hand takes for deg. */
void mount_turn(struct mount *mount, enum world_axis axis, double deg, double factor,
                double rate_deg_s);

/* Let go. Returns what was turned since the last halt, as the hand believes. */
double mount_halt(struct mount *mount, enum world_axis axis);

/* A short time passes. True: it has moved. */
bool mount_step(struct mount *mount, double step_s);

/* The mount's own angle of an axis: what its scale would show with its zero in place. */
double mount_angle_deg(const struct mount *mount, enum world_axis axis);

/* How the antenna stands, the lean of the mast included, once no hand and no wind is on it. */
struct globe_attitude mount_attitude(const struct mount *mount);

/* How it stands at this moment, bent by both. */
struct globe_attitude mount_attitude_bent(const struct mount *mount);

#endif
