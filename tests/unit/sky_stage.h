/* sky_stage.h - a job with an invented arc of satellites, and the state at its site. */
#ifndef TESTS_SKY_STAGE_H
#define TESTS_SKY_STAGE_H

#include "given.h"
#include "coach/arc.h"
#include "sky/magnetic.h"

struct sky_stage {
    struct job job;
    struct magnetic_model magnetic;
    struct state state;
    struct arc arc;
};

/* Target Wren at 13.3E; unequal gaps, so that the arc can be told. */
static const struct {
    const char *name, *longitude;
} sky_neighbours[] = {{"Finch", "5.2E"}, {"Robin", "9E"},       {"Tit", "11.1E"},
                      {"Pipit", "18E"},  {"Dotterel", "20.1E"}, {"Lark", "24.6E"}};
enum { SKY_NEIGHBOURS = sizeof sky_neighbours / sizeof *sky_neighbours };

static inline void sky_raise(struct sky_stage *stage, const char *id)
{
    struct record level = {.t = 1.0, .kind = RECORD_LEVEL, .level = {.value = 0.0}};

    job_init(&stage->job);
    given_job(&stage->job, "site", "lat", "46.6");
    given_job(&stage->job, "site", "lon", "10.1");
    given_job(&stage->job, "target", "name", "Wren");
    given_job(&stage->job, "target", "longitude", "13.3E");
    given_job(&stage->job, "target", "polarisation", "V");
    given_job(&stage->job, "target", "id", id);
    given_job(&stage->job, "antenna", "diameter", "1.2");
    given_job(&stage->job, "antenna", "frequency", "11.7");
    given_job(&stage->job, "mount", "azimuth_from", "sensor");
    given_job(&stage->job, "mount", "elevation_from", "sensor");
    for (int i = 0; i < SKY_NEIGHBOURS; i++) {
        char section[64];
        snprintf(section, sizeof section, "neighbour %s", sky_neighbours[i].name);
        given_job(&stage->job, section, "longitude", sky_neighbours[i].longitude);
    }
    magnetic_builtin(&stage->magnetic);
    state_init(&stage->state, &stage->job, &stage->magnetic);
    state_apply(&stage->state, &level);
    arc_begin(&stage->arc, &stage->state, stage->state.target.deg[AXIS_AZIMUTH],
              stage->state.target.deg[AXIS_ELEVATION]);
}

/* Neighbour i, or the target with -1, is met on the target's line with the azimuth off. */
static inline int sky_meet(struct sky_stage *stage, int i, double bias_deg)
{
    double lon = i < 0 ? stage->job.target.satellite.lon_deg : stage->job.neighbours[i].lon_deg;
    struct look look = look_at_geostationary(&look_earth_wgs84, &stage->state.site, lon);
    double off = look.elevation_deg - stage->state.target.look.elevation_deg;
    struct sweep_peak top = {.x = look.azimuth_deg + bias_deg,
                             .elevation = stage->state.target.deg[AXIS_ELEVATION],
                             .level = 13.0 - 12.0 * off * off /
                                                 (stage->arc.height_deg * stage->arc.height_deg),
                             .width_deg = stage->arc.width_deg,
                             .peaked_elevation = NAN};

    arc_swept(&stage->arc, top.elevation, top.x - 2.0, top.x + 2.0);
    return arc_add(&stage->arc, &stage->state, &top);
}

#endif
