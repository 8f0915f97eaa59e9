/*
 * world_inside.h - inside the world: what its two files share. Pure but for the world's own luck.
 */
#ifndef SIM_WORLD_INSIDE_H
#define SIM_WORLD_INSIDE_H

#include "sim/mount.h"
#include "sim/random.h"
#include "sim/sky.h"
#include "sim/world.h"

enum { PENDING = 8 };
enum stream {
    STREAM_METER = 1,
    STREAM_FADE,
    STREAM_SENSORS,
    STREAM_RECEIVER,
    STREAM_HAND,
    STREAM_WIND,
    STREAM_BOLTS,
    STREAM_ROCK,
    STREAMS
};

struct world {
    struct scenario scenario;
    struct sky sky;
    struct sim_random random[STREAMS];
    struct mount mount;
    struct globe_attitude antenna; /* as it stands, swaying */
    struct sky_power clear;        /* received as it stands, nothing faded */
    double hand_error;
    int fastened;  /* bolts, so far */
    int64_t steps; /* taken so far */
    double fade_db;
    double lagged; /* the level behind the meter's lag; NaN = not yet */
    double lagged_cross;
    double locked_for_s; /* above the threshold for so long */
    bool locked;
    int strongest_of; /* the satellite whose carrier is the strongest; -1 = none */
    int locked_to;    /* what the lamp was last said to show */
    int64_t next_meter, next_angles, next_fix; /* in steps */
    struct world_event pending[PENDING];
    int pending_first, pending_count;
};

/* A ratio of powers in dB. */
double world_ratio_db(double ratio);

/* What the meter makes of what is received, before its lag, noise and steps. */
double world_metered_db(const struct world *world, const struct sky_power *power);

/* Clockwise turn of a line, seen along ahead, from the upright one of two at right angles. */
double world_turned_deg(struct globe_vector line, struct globe_vector upright,
                        struct globe_vector right);

/* Where an antenna points: azimuth, elevation, skew. */
void world_find_pointing(const struct globe_attitude *antenna, double ret_deg[WORLD_AXES]);

#endif
