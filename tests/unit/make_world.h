/* make_world.h - a simulated world from a text. */
#ifndef TESTS_MAKE_WORLD_H
#define TESTS_MAKE_WORLD_H

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

#endif
