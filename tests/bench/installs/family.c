#include "family.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "sky/magnetic.h"
#include "sky/utc.h"

/* --- drawing -------------------------------------------------------------------------------- */

struct draw {
    struct install *install;
    struct sim_random random;
    double beam_deg[WORLD_AXES]; /* half-power width on the scale of the axis */
    double target_deg[WORLD_AXES];
    bool failed;
};

static double between(struct draw *draw, double low, double high)
{
    return low + (high - low) * random_uniform(&draw->random);
}

static double either(struct draw *draw, double size)
{
    return random_uniform(&draw->random) < 0.5 ? -size : size;
}

/* Normal, cut at two standard deviations. */
static double about(struct draw *draw, double mean, double sd)
{
    return mean + sd * fmax(-2.0, fmin(2.0, random_normal(&draw->random)));
}

static bool chance(struct draw *draw, double share)
{
    return random_uniform(&draw->random) < share;
}

static void tell_job(struct draw *draw, const char *section, const char *key, const char *format,
                     ...) __attribute__((format(printf, 4, 5)));

static void tell_job(struct draw *draw, const char *section, const char *key, const char *format,
                     ...)
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
    tell_job(draw, "mount", name, "%s", text);
}

static void vary_site(struct draw *draw, double lat_by, double lon_by)
{
    struct scenario *scenario = &draw->install->scenario;
    struct globe_site *place = &scenario->site.place;
    struct magnetic_model model;
    double year = utc_decimal_year(scenario->site.utc_s);

    place->lat_deg += between(draw, -lat_by, lat_by);
    place->lon_deg += between(draw, -lon_by, lon_by);
    magnetic_builtin(&model);
    /* the map's declination and the hill's own */
    scenario->site.declination_deg =
        magnetic_at(&model, place->lat_deg, place->lon_deg, place->height_m, year).declination_deg +
        about(draw, 0.0, 0.2);
}

static void find_target(struct draw *draw)
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
static void vary_mount(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;
    static const double start_by[WORLD_AXES] = {40.0, 8.0, 20.0};

    scenario->mount.lean_deg = fabs(about(draw, 0.0, 0.4));
    scenario->mount.lean_toward_deg = between(draw, 0.0, 360.0);
    for (int i = 0; i < WORLD_AXES; i++) {
        struct scenario_axis *axis = &scenario->mount.axes[i];
        axis->start_deg = draw->target_deg[i] + between(draw, -start_by[i], start_by[i]);
        if (i == WORLD_SKEW) {
            continue;
        }
        axis->turn_deg = between(draw, 0.4, 0.9) * draw->beam_deg[i];
        axis->backlash_deg = between(draw, 0.02, 0.15) * draw->beam_deg[i];
        axis->tighten_deg = about(draw, 0.0, 0.05) * draw->beam_deg[i];
        tell_axis(draw, i, "turn", "3", axis->turn_deg * about(draw, 1.0, 0.04));
        tell_axis(draw, i, "backlash", "2", axis->backlash_deg * between(draw, 0.6, 1.6));
    }
}

static void vary_weather(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;

    scenario->weather.fade_db = between(draw, 0.03, 0.2);
    scenario->weather.fade_s = between(draw, 3.0, 40.0);
    scenario->weather.rain_db = chance(draw, 0.1) ? between(draw, 0.5, 2.5) : 0.0;
    scenario->weather.rain_start_s = between(draw, 60.0, 300.0);
    scenario->weather.rain_length_s = between(draw, 40.0, 120.0);
}

/* --- by what the angles are told ------------------------------------------------------------ */

static void give_sensor(struct draw *draw, int i, double noise_deg, double offset_sd_deg)
{
    struct scenario_axis *axis = &draw->install->scenario.mount.axes[i];

    axis->read = READ_SENSOR;
    axis->sensor_noise_deg = noise_deg * between(draw, 0.6, 1.4);
    axis->sensor_offset_deg = about(draw, 0.0, offset_sd_deg);
    tell_axis(draw, i, "sensor_error", "2", noise_deg);
}

static void give_scale(struct draw *draw, int i, double graduation_deg, double zero_sd_deg)
{
    struct scenario_axis *axis = &draw->install->scenario.mount.axes[i];
    double believed = i == WORLD_ELEVATION ? -22.0 : 0.0;

    axis->read = READ_SCALE;
    axis->graduation_deg = graduation_deg;
    axis->scale_zero_deg = believed + about(draw, 0.0, zero_sd_deg);
    draw->install->sheet.scale_zero_deg[i] = believed;
    tell_axis(draw, i, "scale_zero", "1", believed);
}

/* Nothing built in: the first angle by a hand compass or a spirit level, then the bolt's turns. */
static void give_nothing(struct draw *draw, int i, double graduation_deg, double zero_sd_deg)
{
    struct scenario_axis *axis = &draw->install->scenario.mount.axes[i];

    axis->read = READ_NOTHING;
    axis->graduation_deg = graduation_deg;
    axis->scale_zero_deg = about(draw, 0.0, zero_sd_deg);
}

static void tell_from(struct draw *draw)
{
    static const char *const from[] = {
        [READ_SENSOR] = "sensor", [READ_SCALE] = "scale", [READ_NOTHING] = "nudges"};

    for (int i = 0; i < WORLD_AXES; i++) {
        char key[32];
        snprintf(key, sizeof key, "%s_from", axis_names[i]);
        tell_job(draw, "mount", key, "%s", from[draw->install->scenario.mount.axes[i].read]);
    }
}

static void give_compass(struct draw *draw, double bias_deg)
{
    struct scenario *scenario = &draw->install->scenario;

    scenario->sensors.compass_bias_deg = bias_deg;
    scenario->sensors.compass_swing_deg = between(draw, 0.0, 0.8);
    scenario->sensors.compass_swing_at_deg = between(draw, 0.0, 360.0);
}

/* --- meters --------------------------------------------------------------------------------- */

/* What the meter is expected to show at the top, where the network's operator says so. */
static void tell_expected(struct draw *draw)
{
    const struct scenario *scenario = &draw->install->scenario;
    double db = scenario->satellites[scenario->target].level_db + about(draw, 0.0, 1.5);
    double bend = scenario->meter.bend_db;
    double bent = bend > 0.0 ? bend * (1.0 - exp(-db / bend)) : db;

    if (isfinite(draw->install->job.target.expected_level)) {
        tell_job(draw, "target", "expected_level", "%.1f",
                 scenario->meter.zero + scenario->meter.slope * bent);
    }
}

/* The meter as its data sheet has it. */
static void tell_meter(struct draw *draw, const char *unit)
{
    struct scenario *scenario = &draw->install->scenario;
    const char *section = "meter finder";

    snprintf(scenario->meter.unit, sizeof scenario->meter.unit, "%s", unit);
    tell_job(draw, section, "unit", "%s", unit);
    tell_job(draw, section, "minimum", "%g", scenario->meter.minimum);
    tell_job(draw, section, "maximum", "%g", scenario->meter.maximum);
    tell_job(draw, section, "lock_delay", "%.1f", scenario->meter.lock_delay_s);
    tell_job(draw, section, "lag", "%.2f", scenario->meter.lag_s * about(draw, 1.0, 0.15));
    tell_expected(draw);
}

static void add_to_kit(struct draw *draw, const char *word)
{
    size_t used = strlen(draw->install->kit);

    snprintf(draw->install->kit + used, FAMILY_KIT_SIZE - used, "%s%s", used ? "," : "", word);
}

static void give_db_meter(struct draw *draw, double period_s, double lag_s, double quantum)
{
    struct scenario *scenario = &draw->install->scenario;

    scenario->meter.period_s = period_s * between(draw, 0.8, 1.25);
    scenario->meter.lag_s = lag_s * between(draw, 0.7, 1.4);
    scenario->meter.noise = between(draw, 0.08, 0.3);
    scenario->meter.quantum = quantum;
    scenario->meter.zero = 0.0;
    scenario->meter.slope = 1.0;
    scenario->meter.bend_db = 0.0;
    scenario->meter.minimum = 0.0;
    scenario->meter.maximum = 30.0;
    scenario->meter.lock_delay_s = between(draw, 1.0, 3.0);
    tell_meter(draw, "dB");
}

/* over_db: where 100 % is reached, above (or, saturating, below) the top of the target's lobe */
static void give_percent_meter(struct draw *draw, double period_s, double lag_s, double over_db)
{
    struct scenario *scenario = &draw->install->scenario;
    double top = scenario->satellites[scenario->target].level_db + over_db;
    double bend = between(draw, 14.0, 30.0);

    scenario->meter.period_s = period_s * between(draw, 0.8, 1.25);
    scenario->meter.lag_s = lag_s * between(draw, 0.7, 1.4);
    scenario->meter.bend_db = bend;
    scenario->meter.zero = 0.0;
    scenario->meter.slope = 100.0 / (bend * (1.0 - exp(-top / bend)));
    scenario->meter.noise = between(draw, 0.4, 1.0);
    scenario->meter.quantum = 1.0;
    scenario->meter.floor_db = 0.0;
    scenario->meter.minimum = 0.0;
    scenario->meter.maximum = 100.0;
    scenario->meter.lock_delay_s = between(draw, 1.0, 3.0);
    tell_meter(draw, "percent");
}

static void give_any_meter(struct draw *draw)
{
    double which = random_uniform(&draw->random);

    if (which < 0.35) {
        add_to_kit(draw, "fast dB");
        give_db_meter(draw, 0.25, 0.3, 0.1);
    } else if (which < 0.65) {
        add_to_kit(draw, "lagging dB");
        give_db_meter(draw, 0.6, 1.2, 0.1);
    } else if (which < 0.75) {
        add_to_kit(draw, "coarse dB");
        give_db_meter(draw, 0.5, 0.5, 0.5);
    } else if (which < 0.9) {
        add_to_kit(draw, "slow percent");
        give_percent_meter(draw, 1.0, 1.0, 3.0);
    } else {
        add_to_kit(draw, "saturating");
        give_percent_meter(draw, 0.5, 0.5, -1.0);
    }
}

/* --- families ------------------------------------------------------------------------------- */

static void vary_easy(struct draw *draw)
{
    vary_site(draw, 5.0, 8.0);
    find_target(draw);
    vary_mount(draw);
    give_sensor(draw, WORLD_AZIMUTH, 0.06, 0.0);
    give_sensor(draw, WORLD_ELEVATION, 0.03, 0.2);
    give_sensor(draw, WORLD_SKEW, 0.2, 0.3);
    give_compass(draw, about(draw, 0.0, 5.0));
    give_any_meter(draw);
}

static void vary_narrow(struct draw *draw)
{
    double which = random_uniform(&draw->random);

    vary_site(draw, 5.0, 5.0);
    find_target(draw);
    vary_mount(draw);
    give_scale(draw, WORLD_SKEW, 2.0, 0.3);
    if (which < 0.5) {
        add_to_kit(draw, "scales");
        give_scale(draw, WORLD_AZIMUTH, 1.0, 3.0);
        give_scale(draw, WORLD_ELEVATION, 0.5, 0.3);
    } else if (which < 0.8) {
        add_to_kit(draw, "nudges");
        give_nothing(draw, WORLD_AZIMUTH, 1.0, 3.0);
        give_nothing(draw, WORLD_ELEVATION, 0.5, 0.3);
    } else {
        add_to_kit(draw, "nudges+level");
        give_nothing(draw, WORLD_AZIMUTH, 1.0, 3.0);
        give_sensor(draw, WORLD_ELEVATION, 0.03, 0.2);
    }
    give_any_meter(draw);
}

static void vary_panel(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;

    vary_site(draw, 1.0, 1.0); /* so that the skew stays about 44 degrees */
    find_target(draw);
    vary_mount(draw);
    scenario->mount.axes[WORLD_SKEW].start_deg = 44.0 + between(draw, -25.0, 25.0);
    give_sensor(draw, WORLD_AZIMUTH, 0.08, 0.0);
    give_sensor(draw, WORLD_ELEVATION, 0.03, 0.2);
    give_sensor(draw, WORLD_SKEW, 0.2, 0.3);
    give_compass(draw, about(draw, 0.0, 5.0));
    if (chance(draw, 0.5)) {
        add_to_kit(draw, "power");
        scenario->meter.noise = between(draw, 0.1, 0.3);
        scenario->meter.lag_s = between(draw, 0.2, 0.8);
        scenario->meter.period_s = between(draw, 0.25, 0.5);
        scenario->meter.lock_delay_s = between(draw, 1.0, 3.0);
        tell_meter(draw, "dBuV");
    } else {
        scenario->meter.carrier = true;
        scenario->meter.floor_db = 0.0;
        give_any_meter(draw);
    }
}

static void vary_arc(struct draw *draw)
{
    struct scenario *scenario = &draw->install->scenario;

    vary_site(draw, 3.0, 3.0);
    find_target(draw);
    vary_mount(draw);
    /* every strength and slot a little different; the target stays where it is */
    for (size_t i = 0; i < scenario->satellite_count; i++) {
        scenario->satellites[i].level_db += about(draw, 0.0, 1.0);
    }
    give_sensor(draw, WORLD_AZIMUTH, 0.06, 0.0);
    give_sensor(draw, WORLD_ELEVATION, 0.03, 0.1);
    give_sensor(draw, WORLD_SKEW, 0.2, 0.3);
    give_compass(draw, either(draw, 8.0));
    give_any_meter(draw);
}

static const struct family {
    const char *name, *title, *base;
    void (*vary)(struct draw *draw);
} families[FAMILIES] = {
    {"easy", "an easy dish: 0.75 m, sensors on all axes", "hut", vary_easy},
    {"narrow", "a narrow dish: 1.8 m, scales or counted turns", "narrow", vary_narrow},
    {"panel", "a rectangular panel turned 44 degrees, sensors", "panel", vary_panel},
    {"arc", "a crowded arc: compass 8 degrees off, no carrier has a name", "nameless", vary_arc},
};

static struct scenario base_scenarios[FAMILIES];
static struct job base_jobs[FAMILIES];

const char *family_name(int family)
{
    return families[family].name;
}

const char *family_title(int family)
{
    return families[family].title;
}

int family_read_all(void)
{
    for (int i = 0; i < FAMILIES; i++) {
        char path[512], why[JOB_ERROR_SIZE] = "";
        snprintf(path, sizeof path, SCENARIOS "/%s.scenario", families[i].base);
        if (scenario_read(path, &base_scenarios[i], why) < 0) {
            fprintf(stderr, "installs: %s\n", why);
            return -1;
        }
        snprintf(path, sizeof path, SCENARIOS "/%s.job", families[i].base);
        job_init(&base_jobs[i]);
        if (job_read(&base_jobs[i], path, why) < 0) {
            fprintf(stderr, "installs: %s\n", why);
            return -1;
        }
    }
    return 0;
}

static enum technician_model draw_hand(struct draw *draw)
{
    double which = random_uniform(&draw->random);

    return which < 0.5 ? TECHNICIAN_CAREFUL : which < 0.8 ? TECHNICIAN_HASTY : TECHNICIAN_CLUMSY;
}

int family_make(int family, uint64_t seed, struct install *ret)
{
    struct draw draw = {.install = ret};
    char why[JOB_ERROR_SIZE] = "";

    *ret = (struct install){.family = family, .seed = seed};
    ret->scenario = base_scenarios[family];
    ret->job = base_jobs[family];
    ret->sheet.span_deg = 2.0 * ret->job.coach.compass_error_deg;
    random_seed(&draw.random, seed, 2000 + (uint64_t)family);
    ret->hand = draw_hand(&draw);
    families[family].vary(&draw);
    tell_from(&draw);
    vary_weather(&draw);
    if (!draw.failed && job_check(&ret->job, why) < 0) {
        fprintf(stderr, "installs: %s %llu: %s\n", families[family].name, (unsigned long long)seed,
                why);
        draw.failed = true;
    }
    return draw.failed ? -1 : 0;
}
