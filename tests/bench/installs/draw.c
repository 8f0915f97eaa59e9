#include "draw.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "sky/magnetic.h"
#include "sky/utc.h"

enum { EDGE_STREAM = 2100 };

double draw_between(struct draw *draw, double low, double high)
{
    return low + (high - low) * random_uniform(&draw->random);
}

double draw_either(struct draw *draw, double size)
{
    return random_uniform(&draw->random) < 0.5 ? -size : size;
}

/* Normal, cut at two standard deviations. */
double draw_about(struct draw *draw, double mean, double sd)
{
    return mean + sd * fmax(-2.0, fmin(2.0, random_normal(&draw->random)));
}

bool draw_chance(struct draw *draw, double share)
{
    return random_uniform(&draw->random) < share;
}

void draw_tell(struct draw *draw, const char *section, const char *key, const char *format, ...)
{
    char value[JOB_TEXT_SIZE], why[JOB_ERROR_SIZE] = "";
    va_list args;

    va_start(args, format);
    vsnprintf(value, sizeof value, format, args);
    va_end(args);
    if (job_set(&draw->install->job, section, key, value, why) < 0) {
        fprintf(stderr, "installs: [%s] %s\n", section, why);
        draw->failed = true;
    }
}

/* --- what all have -------------------------------------------------------------------------- */

static const char *const axis_names[WORLD_AXES] = {"azimuth", "elevation", "skew"};

static void tell_axis(struct draw *draw, int axis, const char *key, const char *format,
                      double value)
{
    char name[32], text[JOB_TEXT_SIZE];

    snprintf(name, sizeof name, "%s_%s", axis_names[axis], key);
    snprintf(text, sizeof text, "%.*f", format[0] - '0', value);
    draw_tell(draw, "mount", name, "%s", text);
}

void draw_site(struct draw *draw, double lat_by, double lon_by)
{
    struct scenario *scenario = &draw->install->scenario;
    struct globe_site *place = &scenario->site.place;
    struct magnetic_model model;
    double year = utc_decimal_year(scenario->site.utc_s);

    place->lat_deg += draw_between(draw, -lat_by, lat_by);
    place->lon_deg += draw_between(draw, -lon_by, lon_by);
    magnetic_builtin(&model);
    /* the map's declination and the hill's own */
    scenario->site.declination_deg =
        magnetic_at(&model, place->lat_deg, place->lon_deg, place->height_m, year).declination_deg +
        draw_about(draw, 0.0, 0.2);
}

void draw_find_target(struct draw *draw)
{
    const struct scenario *scenario = &draw->install->scenario;
    const struct scenario_satellite *target = &scenario->satellites[scenario->target];
    struct aperture aperture = scenario_aperture(scenario);
    struct globe_arrival arrival =
        globe_receive(&scenario->site.place, target->lon_deg, scenario->site.air);
    double height = aperture.panel ? aperture.height_deg : aperture.width_deg;
    double width = fmin(aperture.width_deg, height);

    draw->target_deg[WORLD_AZIMUTH] = globe_azimuth_deg(arrival.toward);
    draw->target_deg[WORLD_ELEVATION] = globe_elevation_deg(arrival.toward);
    draw->target_deg[WORLD_SKEW] = 0.0;
    draw->beam_deg[WORLD_AZIMUTH] =
        width / cos(draw->target_deg[WORLD_ELEVATION] * 0.017453292519943295769);
    draw->beam_deg[WORLD_ELEVATION] = width;
    draw->beam_deg[WORLD_SKEW] = 20.0;
}

/* Play, threads, flex: and what is believed of them. */
void draw_mount(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;
    static const double start_by[WORLD_AXES] = {40.0, 8.0, 20.0};
    /* most mounts hold when they are fastened; one in four gives */
    bool gives = draw_chance(draw, 0.25);
    /* a sequence of its own: what an edge gives changes nothing else that is drawn */
    struct draw edge = {.install = draw->install};

    random_seed(&edge.random, draw->install->seed, EDGE_STREAM);

    scenario->mount.lean_deg = fabs(draw_about(draw, 0.0, 0.4));
    scenario->mount.lean_toward_deg = draw_between(draw, 0.0, 360.0);
    if (gives) {
        draw_add_to_kit(draw, "gives");
    }
    for (int i = 0; i < WORLD_AXES; i++) {
        struct scenario_axis *axis = &scenario->mount.axes[i];
        axis->start_deg = draw->target_deg[i] + draw_between(draw, -start_by[i], start_by[i]);
        if (i == WORLD_SKEW) {
            continue;
        }
        axis->turn_deg = draw_between(draw, 0.4, 0.9) * draw->beam_deg[i];
        axis->backlash_deg = draw_between(draw, 0.02, 0.15) * draw->beam_deg[i];
        axis->tighten_deg = draw_about(draw, 0.0, gives ? 0.08 : 0.025) * draw->beam_deg[i];
        axis->press_deg = draw_between(draw, 0.0, 0.05) * draw->beam_deg[i];
        axis->rock_deg = exp(draw_between(&edge, log(0.06), log(0.3))) * draw->beam_deg[i];
        tell_axis(draw, i, "turn", "3", axis->turn_deg * draw_about(draw, 1.0, 0.04));
        tell_axis(draw, i, "backlash", "2", axis->backlash_deg * draw_between(draw, 0.6, 1.6));
    }
}

void draw_weather(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;

    scenario->weather.fade_db = draw_between(draw, 0.03, 0.2);
    scenario->weather.fade_s = draw_between(draw, 3.0, 40.0);
    scenario->weather.rain_db = draw_chance(draw, 0.1) ? draw_between(draw, 0.5, 2.5) : 0.0;
    scenario->weather.rain_start_s = draw_between(draw, 60.0, 300.0);
    scenario->weather.rain_length_s = draw_between(draw, 40.0, 120.0);
    scenario->weather.sway_deg = draw_between(draw, 0.0, 0.04) * draw->beam_deg[WORLD_ELEVATION];
    scenario->weather.sway_s = draw_between(draw, 0.5, 3.0);
}

/* --- by what the angles are told ------------------------------------------------------------ */

void draw_sensor(struct draw *draw, int i, double noise_deg, double offset_sd_deg)
{
    struct scenario_axis *axis = &draw->install->scenario.mount.axes[i];

    axis->read = READ_SENSOR;
    axis->sensor_noise_deg = noise_deg * draw_between(draw, 0.6, 1.4);
    axis->sensor_offset_deg = draw_about(draw, 0.0, offset_sd_deg);
    tell_axis(draw, i, "sensor_error", "2", noise_deg);
}

void draw_scale(struct draw *draw, int i, double graduation_deg, double zero_sd_deg)
{
    struct scenario_axis *axis = &draw->install->scenario.mount.axes[i];
    double believed = i == WORLD_ELEVATION ? -22.0 : 0.0;

    axis->read = READ_SCALE;
    axis->graduation_deg = graduation_deg;
    axis->scale_zero_deg = believed + draw_about(draw, 0.0, zero_sd_deg);
    draw->install->sheet.scale_zero_deg[i] = believed;
    tell_axis(draw, i, "scale_zero", "1", believed);
}

/* Nothing built in: the first angle by a hand compass or a spirit level, then the bolt's turns. */
void draw_nothing(struct draw *draw, int i, double graduation_deg, double zero_sd_deg)
{
    struct scenario_axis *axis = &draw->install->scenario.mount.axes[i];

    axis->read = READ_NOTHING;
    axis->graduation_deg = graduation_deg;
    axis->scale_zero_deg = draw_about(draw, 0.0, zero_sd_deg);
}

void draw_tell_from(struct draw *draw)
{
    static const char *const from[] = {
        [READ_SENSOR] = "sensor", [READ_SCALE] = "scale", [READ_NOTHING] = "nudges"};

    for (int i = 0; i < WORLD_AXES; i++) {
        char key[32];
        snprintf(key, sizeof key, "%s_from", axis_names[i]);
        draw_tell(draw, "mount", key, "%s", from[draw->install->scenario.mount.axes[i].read]);
    }
}

void draw_compass(struct draw *draw, double bias_deg)
{
    struct scenario *scenario = &draw->install->scenario;

    scenario->sensors.compass_bias_deg = bias_deg;
    scenario->sensors.compass_swing_deg = draw_between(draw, 0.0, 0.8);
    scenario->sensors.compass_swing_at_deg = draw_between(draw, 0.0, 360.0);
}

/* --- meters --------------------------------------------------------------------------------- */

/* What the meter is expected to show at the top, where the network's operator says so. */
static void tell_expected(struct draw *draw)
{
    const struct scenario *scenario = &draw->install->scenario;
    double db = scenario->satellites[scenario->target].level_db + draw_about(draw, 0.0, 1.5);
    double bend = scenario->meter.bend_db;
    double bent = bend > 0.0 ? bend * (1.0 - exp(-db / bend)) : db;

    if (isfinite(draw->install->job.target.expected_level)) {
        draw_tell(draw, "target", "expected_level", "%.1f",
                  scenario->meter.zero + scenario->meter.slope * bent);
    }
}

/* The meter as its data sheet has it. */
void draw_tell_meter(struct draw *draw, const char *unit)
{
    struct scenario *scenario = &draw->install->scenario;
    const char *section = "meter finder";

    snprintf(scenario->meter.unit, sizeof scenario->meter.unit, "%s", unit);
    draw_tell(draw, section, "unit", "%s", unit);
    draw_tell(draw, section, "minimum", "%g", scenario->meter.minimum);
    draw_tell(draw, section, "maximum", "%g", scenario->meter.maximum);
    draw_tell(draw, section, "lock_delay", "%.1f", scenario->meter.lock_delay_s);
    draw_tell(draw, section, "lag", "%.2f", scenario->meter.lag_s * draw_about(draw, 1.0, 0.15));
    tell_expected(draw);
}

void draw_add_to_kit(struct draw *draw, const char *word)
{
    size_t used = strlen(draw->install->kit);

    snprintf(draw->install->kit + used, FAMILY_KIT_SIZE - used, "%s%s", used ? "," : "", word);
}

static void give_db_meter(struct draw *draw, double period_s, double lag_s, double quantum)
{
    struct scenario *scenario = &draw->install->scenario;

    scenario->meter.period_s = period_s * draw_between(draw, 0.8, 1.25);
    scenario->meter.lag_s = lag_s * draw_between(draw, 0.7, 1.4);
    scenario->meter.noise = draw_between(draw, 0.08, 0.3);
    scenario->meter.quantum = quantum;
    scenario->meter.zero = 0.0;
    scenario->meter.slope = 1.0;
    scenario->meter.bend_db = 0.0;
    scenario->meter.minimum = 0.0;
    scenario->meter.maximum = 30.0;
    scenario->meter.lock_delay_s = draw_between(draw, 1.0, 3.0);
    draw_tell_meter(draw, "dB");
}

/* A second port in some: the skew can be set by the other polarisation's null. */
void draw_cross_port(struct draw *draw, double share)
{
    if (draw_chance(draw, share)) {
        draw_add_to_kit(draw, "cross");
        draw->install->scenario.meter.has_cross = true;
    }
}

/* over_db: where 100 % is reached, above (or, saturating, below) the top of the target's lobe */
static void give_percent_meter(struct draw *draw, double period_s, double lag_s, double over_db)
{
    struct scenario *scenario = &draw->install->scenario;
    double top = scenario->satellites[scenario->target].level_db + over_db;
    double bend = draw_between(draw, 14.0, 30.0);

    scenario->meter.period_s = period_s * draw_between(draw, 0.8, 1.25);
    scenario->meter.lag_s = lag_s * draw_between(draw, 0.7, 1.4);
    scenario->meter.bend_db = bend;
    scenario->meter.zero = 0.0;
    scenario->meter.slope = 100.0 / (bend * (1.0 - exp(-top / bend)));
    scenario->meter.noise = draw_between(draw, 0.4, 1.0);
    scenario->meter.quantum = 1.0;
    scenario->meter.floor_db = 0.0;
    scenario->meter.minimum = 0.0;
    scenario->meter.maximum = 100.0;
    scenario->meter.lock_delay_s = draw_between(draw, 1.0, 3.0);
    draw_tell_meter(draw, "percent");
}

void draw_any_meter(struct draw *draw)
{
    double which = random_uniform(&draw->random);

    if (which < 0.35) {
        draw_add_to_kit(draw, "fast dB");
        give_db_meter(draw, 0.25, 0.3, 0.1);
    } else if (which < 0.65) {
        draw_add_to_kit(draw, "lagging dB");
        give_db_meter(draw, 0.6, 1.2, 0.1);
    } else if (which < 0.75) {
        draw_add_to_kit(draw, "coarse dB");
        give_db_meter(draw, 0.5, 0.5, 0.5);
    } else if (which < 0.9) {
        draw_add_to_kit(draw, "slow percent");
        give_percent_meter(draw, 1.0, 1.0, 3.0);
    } else {
        draw_add_to_kit(draw, "saturating");
        give_percent_meter(draw, 0.5, 0.5, -1.0);
    }
}
