/* technician_stage.h - a hill, an antenna and a simulated person who hears what a test tells it. */
#ifndef TESTS_TECHNICIAN_STAGE_H
#define TESTS_TECHNICIAN_STAGE_H

#include "expect.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "make_world.h"
#include "sim/technician.h"
#include "sim/world_inside.h"

/* Axes read in three ways; no play, no noise. */
static const char place[] = "[site]\nlat = 46.6\nlon = 10.1\n"
                            "[target]\nsatellite = Wren\npolarisation = V\n"
                            "[satellite Wren]\nlon = 22.4\nlevel = 13\npolarisation = V\n"
                            "[mount azimuth]\nstart = 100\nturn = 1.5\nread = sensor\n"
                            "[mount elevation]\nstart = 30\nturn = 1.2\nread = scale\n"
                            "scale_zero = -22\ngraduation = 0.5\n"
                            "[mount skew]\nstart = 0\nturn = 4\nread = nothing\n";

struct scene {
    struct world *world;
    struct technician hand;
    double t;
};

static inline struct scene begin(enum technician_model model, uint64_t seed)
{
    char path[] = "/tmp/peakward-test-XXXXXX", why[SCENARIO_WHY_SIZE] = "";
    int fd = mkstemp(path);
    struct scene scene = {.world = NULL};

    assert_true(fd >= 0);
    assert_int_equal(write(fd, place, strlen(place)), (ssize_t)strlen(place));
    close(fd);
    if (world_create(path, seed, &scene.world, why) < 0) {
        fail_msg("%s", why);
    }
    unlink(path);
    technician_init(&scene.hand, scene.world, model, seed);
    return scene;
}

static inline void run_world(struct scene *scene, double t)
{
    struct world_event event;

    while (world_next_event(scene->world, t, &event)) {
    }
    scene->t = t;
}

/* What is said next, until t. False: nothing. */
static inline bool listen(struct scene *scene, double t, struct record *ret)
{
    while (technician_next_t(&scene->hand) <= t) {
        run_world(scene, technician_next_t(&scene->hand));
        if (technician_act(&scene->hand, scene->world, ret)) {
            return true;
        }
    }
    run_world(scene, t);
    return false;
}

static inline struct advice turn(enum axis axis, enum advice_move move, double deg, double turns)
{
    struct advice advice = {.step = "test",
                            .axis = axis,
                            .move = move,
                            .deg = deg,
                            .turns = turns,
                            .rate = NAN,
                            .until = UNTIL_ARRIVED};
    return advice;
}

static inline struct advice stay(enum advice_move move, enum advice_until until, const char *say)
{
    struct advice advice = {.step = "test",
                            .axis = AXIS_NONE,
                            .move = move,
                            .deg = NAN,
                            .turns = NAN,
                            .rate = NAN,
                            .until = until};

    snprintf(advice.say, sizeof advice.say, "%s", say);
    return advice;
}

static inline void hear(struct scene *scene, struct advice advice)
{
    technician_hear(&scene->hand, scene->t, &advice);
}

static inline double azimuth(const struct scene *scene)
{
    return world_truth(scene->world).pointing_deg[WORLD_AZIMUTH];
}

#endif
