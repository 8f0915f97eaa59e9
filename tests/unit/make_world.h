/* make_world.h - a simulated world from a text, and how to stir it. */
#ifndef TESTS_MAKE_WORLD_H
#define TESTS_MAKE_WORLD_H

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "sim/world.h"

/* A quiet place: no noise, no lag, no play, the antenna upright and on the target. */
#define QUIET_SITE                                                                                 \
    "[site]\nlat = 46.6\nlon = 10.1\nheight = 2200\nair = 0\n"                                     \
    "[target]\nsatellite = Wren\npolarisation = V\n"                                               \
    "[satellite Wren]\nlon = 22.4\nlevel = 13\npolarisation = V\nid = WREN\n"                      \
    "[antenna]\nkind = dish\nwidth = 0.75\nfrequency = 11.7\nbeam_width = 2\n"
#define QUIET_METER "[meter]\nnoise = 0\nlag = 0\nquantum = 0\nreads = power\nperiod = 0.5\n"
#define QUIET QUIET_SITE QUIET_METER

static inline int try_world(const char *text, uint64_t seed, struct world **ret, char *why)
{
    char path[] = "/tmp/peakward-test-XXXXXX";
    int fd = mkstemp(path), r;

    assert_true(fd >= 0);
    assert_int_equal(write(fd, text, strlen(text)), (ssize_t)strlen(text));
    close(fd);
    r = world_create(path, seed, ret, why);
    unlink(path);
    return r;
}

static inline struct world *make_world(const char *text, uint64_t seed)
{
    char why[SCENARIO_WHY_SIZE] = "";
    struct world *world = NULL;

    if (try_world(text, seed, &world, why) < 0) {
        fail_msg("%s", why);
    }
    world_set_hand_error(world, 0.0);
    return world;
}

static inline void run_to(struct world *world, double t)
{
    struct world_event event;

    while (world_next_event(world, t, &event)) {
    }
}

/* Turn an axis until what is aimed at is reached, however far that is. */
static inline void point(struct world *world, double azimuth, double elevation, double skew)
{
    struct world_truth truth = world_truth(world);
    double want[WORLD_AXES] = {azimuth, elevation, skew};

    for (int i = 0; i < WORLD_AXES; i++) {
        world_turn(world, (enum world_axis)i, want[i] - truth.pointing_deg[i], 1000.0);
    }
    run_to(world, world_now(world) + 1.0);
}

/* The next reading of the meter. */
static inline double next_level(struct world *world)
{
    struct world_event event;

    while (world_next_event(world, 1e9, &event)) {
        if (event.kind == WORLD_LEVEL) {
            return event.level;
        }
    }
    return NAN;
}

static inline double db(double ratio)
{
    return 10.0 * log10(ratio);
}

#endif
