/*
 * world.h - a hill, a sky and a mount: the physical model behind the simulator. One integer seeds
 * it; given the same seed and the same turns at the same times, everything that is read off it is
 * the same. Time is simulated: seconds since the start, in steps of 20 ms; nothing here reads a
 * clock.
 *
 * Azimuth grows clockwise, elevation upward, skew clockwise as seen from behind.
 */
#ifndef SIM_WORLD_H
#define SIM_WORLD_H

#include <stdbool.h>
#include <stdint.h>

#include "sim/scenario.h"

struct world;

enum world_event_kind {
    WORLD_LEVEL,  /* the meter shows a reading */
    WORLD_CROSS,  /* and the meter on the other polarisation's port one of its own */
    WORLD_LOCK,   /* the lock lamp changed */
    WORLD_ANGLES, /* the sensors on the antenna */
    WORLD_FIX,
    WORLD_UTC,
};

struct world_event {
    double t;
    enum world_event_kind kind;
    union {
        double level; /* LEVEL, CROSS: in the meter's unit */
        struct {
            bool locked;
            char id[SCENARIO_NAME_SIZE];
        } lock;
        double deg[WORLD_AXES]; /* the azimuth magnetic; NaN = no such sensor */
        struct globe_site fix;
        double utc_s;
    };
};

/* How things really are: what no one at the mount can read. The wind's swaying and what a hand on a
 * bolt bends are not counted. */
struct world_truth {
    double pointing_deg[WORLD_AXES]; /* true azimuth, elevation (apparent) and skew */
    double target_deg[WORLD_AXES];   /* where the target really stands */
    double error_deg[WORLD_AXES];    /* pointing minus target, the short way round; skew 0 for
                                        circular polarisation */
    double off_axis_deg;             /* angle between boresight and target */
    double pointing_loss_db;         /* below the top of the beam, >= 0 */
    double skew_loss_db;             /* below the right polarisation, >= 0; 0 for circular */
    double loss_db;                  /* both */
    double isolation_db;             /* of the other polarisation, the antenna's leak included */
    double level_db;                 /* what the meter is about to show, before lag and noise */
};

/*
 *   scenario  a path or the name of a scenario that comes with the program
 *   returns   0; -ENOENT no such scenario, -EINVAL a wrong one, -ENOMEM; why is a phrase
 */
int world_create(const char *scenario, uint64_t seed, struct world **ret_world,
                 char why[SCENARIO_WHY_SIZE]);

/* The same of a scenario at hand, which is copied. 0 or -ENOMEM. */
int world_create_of(const struct scenario *scenario, uint64_t seed, struct world **ret_world);

void world_destroy(struct world *world); /* NULL is allowed */

const struct scenario *world_scenario(const struct world *world);

/* How good the hand on the bolts is: each turn() is wrong by a share of this standard deviation,
 * cut at two of them. 0.1 at first. */
void world_set_hand_error(struct world *world, double share);

/*
 * A hand turns an axis by so much more, from the world's present time on. The bolt turns; what the
 * backlash eats does not reach the antenna.
 *
 *   deg         of the axis, positive right, up, clockwise
 *   rate_deg_s  > 0
 */
void world_turn(struct world *world, enum world_axis axis, double deg, double rate_deg_s);

/* The same by a hand that goes so many times as far as it believes, its usual error aside. */
void world_turn_times(struct world *world, enum world_axis axis, double deg, double times,
                      double rate_deg_s);

/* The same as world_turn() for an arrow key or a word: a short way is pushed at once, a longer one
 * is gone as fast as a person walks it. */
void world_push(struct world *world, enum world_axis axis, double deg);

/* The hand lets go: what is left of turns is forgotten. Returns what it had turned since the last
 * halt, as the hand believes (without its error), degrees. */
double world_halt(struct world *world, enum world_axis axis);

bool world_is_turning(const struct world *world, enum world_axis axis);

/* A hand pushes the antenna's edge (force < 0: down, left), pulls it (> 0: up, right) or lets go (0),
 * but for its usual error. 1 = firmly, 2 = twice as hard. */
void world_rock(struct world *world, enum world_axis axis, double force);

/* Fasten an axis: the antenna gives by the scenario's angle within a second or two. Turning the
 * axis eases it, and it springs back; fastened again it gives again, about as much. */
void world_tighten(struct world *world, enum world_axis axis);

/* Whose carrier the receiver shows; NULL = none. */
const struct scenario_satellite *world_locked(const struct world *world);

/* What the printed scale shows now, read perfectly; the graduation is in the scenario. */
double world_scale_deg(const struct world *world, enum world_axis axis);

/*
 * Let time pass until something is to be read, or until t.
 *
 *   returns  1 and the event; 0 when the world is at t and nothing is left
 */
int world_next_event(struct world *world, double t, struct world_event *ret_event);

/* When the next event is due at the latest. */
double world_next_t(const struct world *world);

/* The world's present time. */
double world_now(const struct world *world);

struct world_truth world_truth(const struct world *world);

/* How far a satellite stands off the boresight, to the right and up in the antenna's own frame, in
 * half-power widths; INFINITY behind it. */
void world_off_beams(const struct world *world, size_t satellite, double ret_beams[2]);

/* The level that the meter would settle to with nothing faded and the antenna turned so many
 * half-power widths right of and above the target, its roll as it is, dB. */
double world_level_beside_db(const struct world *world, double right_beams, double up_beams);

#endif
