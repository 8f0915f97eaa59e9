#include "sim/world_inside.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/tongue.h"

static const double deg_per_rad = 57.295779513082320877;
static const double step_s = 0.02;
static const double push_s = 0.4, slowest_push_deg_s = 0.5, fastest_push_deg_s = 8.0;
static const double gust_s = 0.1;
static const double fastening_sd = 0.15;
static const double lock_hysteresis_db = 1.0;

static double clamp(double value, double low, double high)
{
    return value < low ? low : value > high ? high : value;
}

static int64_t to_steps(double s)
{
    return (int64_t)ceil(s / step_s - 1e-9);
}

/* --- the mount ------------------------------------------------------------------------------ */

void world_set_hand_error(struct world *world, double share)
{
    world->hand_error = share;
}

void world_turn_times(struct world *world, enum world_axis axis, double deg, double times,
                      double rate_deg_s)
{
    double wrong = clamp(random_normal(&world->random[STREAM_HAND]), -2.0, 2.0);

    mount_turn(&world->mount, axis, deg, times * fmax(0.1, 1.0 + world->hand_error * wrong),
               rate_deg_s);
}

void world_turn(struct world *world, enum world_axis axis, double deg, double rate_deg_s)
{
    world_turn_times(world, axis, deg, 1.0, rate_deg_s);
}

void world_push(struct world *world, enum world_axis axis, double deg)
{
    world_turn(world, axis, deg, clamp(fabs(deg) / push_s, slowest_push_deg_s, fastest_push_deg_s));
}

void world_rock(struct world *world, enum world_axis axis, double force)
{
    double deg = force * world->scenario.mount.axes[axis].rock_deg;
    double wrong =
        force != 0.0 ? clamp(random_normal(&world->random[STREAM_ROCK]), -2.0, 2.0) : 0.0;

    mount_rock(&world->mount, axis, deg * (1.0 + world->hand_error * wrong));
}

double world_halt(struct world *world, enum world_axis axis)
{
    return mount_halt(&world->mount, axis);
}

bool world_is_turning(const struct world *world, enum world_axis axis)
{
    return world->mount.axes[axis].left_deg != 0.0;
}

void world_tighten(struct world *world, enum world_axis axis)
{
    /* no fastening is quite like the last; common practice, no source */
    double share = world->fastened++ < WORLD_AXES
                       ? 1.0
                       : 1.0 + fastening_sd * random_normal(&world->random[STREAM_BOLTS]);

    mount_tighten(&world->mount, axis, share);
}

double world_scale_deg(const struct world *world, enum world_axis axis)
{
    const struct scenario_axis *built = &world->scenario.mount.axes[axis];

    return built->scale_zero_deg + built->scale_sense * mount_angle_deg(&world->mount, axis);
}

const struct scenario_satellite *world_locked(const struct world *world)
{
    return world->locked_to < 0 ? NULL : &world->scenario.satellites[world->locked_to];
}

/* --- the meter ------------------------------------------------------------------------------ */

double world_ratio_db(double ratio)
{
    return 10.0 * log10(ratio);
}

static double rain_db(const struct world *world, double t)
{
    double length = world->scenario.weather.rain_length_s;
    double into = (t - world->scenario.weather.rain_start_s) / length;

    if (into <= 0.0 || into >= 1.0) {
        return 0.0;
    }
    double swell = sin(into * 180.0 / deg_per_rad);
    return world->scenario.weather.rain_db * swell * swell;
}

/* What the meter makes of the power before its lag: dB, the floor blended in as a real one does. */
double world_metered_db(const struct world *world, const struct sky_power *power)
{
    if (!world->scenario.meter.carrier) {
        return world_ratio_db(1.0 + power->carriers);
    }
    double floor_ratio = pow(10.0, world->scenario.meter.floor_db / 10.0);
    return world_ratio_db(power->strongest / (1.0 + power->others) + floor_ratio);
}

/* dB to the meter's own unit. */
static double shown(const struct world *world, double db)
{
    double bend = world->scenario.meter.bend_db;
    double bent = bend > 0.0 ? bend * (1.0 - exp(-db / bend)) : db;

    return world->scenario.meter.zero + world->scenario.meter.slope * bent;
}

static double read_meter(struct world *world, double db)
{
    double value = shown(world, db) +
                   world->scenario.meter.noise * random_normal(&world->random[STREAM_METER]);
    double quantum = world->scenario.meter.quantum;

    if (quantum > 0.0) {
        value = quantum * floor(value / quantum + 0.5);
    }
    return clamp(value, world->scenario.meter.minimum, world->scenario.meter.maximum);
}

static void update_lock(struct world *world, const struct sky_power *power)
{
    double quality = world_ratio_db(power->strongest / (1.0 + power->others) + 1e-9);
    double threshold = world->scenario.meter.lock_threshold_db;
    bool same = power->strongest_of == world->strongest_of;

    /* another carrier has to be found anew */
    if (world->locked && same && quality > threshold - lock_hysteresis_db) {
        return;
    }
    world->locked_for_s = same && quality > threshold ? world->locked_for_s + step_s : 0.0;
    world->locked =
        quality > threshold && world->locked_for_s >= world->scenario.meter.lock_delay_s;
    world->strongest_of = power->strongest_of;
}

/* The antenna has moved. */
static void look_anew(struct world *world)
{
    world->antenna = mount_attitude_bent(&world->mount);
    world->clear = sky_receive(&world->sky, &world->antenna);
}

/* Gusts, as the slow fading has it, a few times a second. True: it has moved. */
static bool blow(struct world *world)
{
    double sd = world->scenario.weather.sway_deg;
    double share = fmin(1.0, gust_s / world->scenario.weather.sway_s);

    if (sd == 0.0 || world->steps % to_steps(gust_s) != 0) {
        return false;
    }
    for (int i = 0; i < WORLD_SKEW; i++) {
        double *sway = &world->mount.axes[i].sway_deg;
        *sway +=
            -*sway * share + sd * sqrt(2.0 * share) * random_normal(&world->random[STREAM_WIND]);
    }
    return true;
}

static void receive(struct world *world, double t)
{
    double sd = world->scenario.weather.fade_db, tau = world->scenario.weather.fade_s;
    double lag = world->scenario.meter.lag_s;
    double gain = lag > 0.0 ? 1.0 - exp(-step_s / lag) : 1.0;
    struct sky_power power;
    double level, cross;

    /* slow fading: a first-order random walk pulled back to its mean (Ornstein-Uhlenbeck) */
    world->fade_db += -world->fade_db * step_s / tau +
                      sd * sqrt(2.0 * step_s / tau) * random_normal(&world->random[STREAM_FADE]);
    power = sky_faded(&world->clear, world->fade_db + rain_db(world, t));
    level = world_metered_db(world, &power);
    cross = world_ratio_db(1.0 + power.cross);
    if (isnan(world->lagged)) {
        world->lagged = level;
        world->lagged_cross = cross;
    }
    world->lagged += (level - world->lagged) * gain;
    world->lagged_cross += (cross - world->lagged_cross) * gain;
    update_lock(world, &power);
}

/* --- what comes out ------------------------------------------------------------------------- */

static struct world_event *push(struct world *world, enum world_event_kind kind)
{
    int at = (world->pending_first + world->pending_count++) % PENDING;

    world->pending[at] = (struct world_event){.t = world_now(world), .kind = kind};
    return &world->pending[at];
}

static void push_lock(struct world *world)
{
    int now = world->locked ? world->strongest_of : -1;

    if (!world->scenario.meter.has_lock || now == world->locked_to) {
        return;
    }
    world->locked_to = now;
    struct world_event *event = push(world, WORLD_LOCK);
    event->lock.locked = now >= 0;
    if (now >= 0) {
        memcpy(event->lock.id, world->scenario.satellites[now].id, sizeof event->lock.id);
    }
}

static double sensed(struct world *world, enum world_axis axis, double deg)
{
    const struct scenario_axis *built = &world->scenario.mount.axes[axis];

    return deg + built->sensor_offset_deg +
           built->sensor_noise_deg * random_normal(&world->random[STREAM_SENSORS]);
}

double world_turned_deg(struct globe_vector line, struct globe_vector upright,
                        struct globe_vector right)
{
    return globe_wrap_axial_deg(deg_per_rad *
                                atan2(globe_dot(line, right), globe_dot(line, upright)));
}

void world_find_pointing(const struct globe_attitude *antenna, double ret_deg[WORLD_AXES])
{
    double azimuth = globe_azimuth_deg(antenna->ahead);
    double elevation = globe_elevation_deg(antenna->ahead);
    struct globe_attitude level = globe_look(azimuth, elevation);

    ret_deg[WORLD_AZIMUTH] = azimuth;
    ret_deg[WORLD_ELEVATION] = elevation;
    ret_deg[WORLD_SKEW] = world_turned_deg(antenna->up, level.up, level.right);
}

static void push_angles(struct world *world)
{
    double pointing[WORLD_AXES], azimuth;

    world_find_pointing(&world->antenna, pointing);
    azimuth = pointing[WORLD_AZIMUTH];
    /* iron that turns with the antenna biases, iron that stays put swings (one cycle a turn) */
    double swing = world->scenario.sensors.compass_swing_deg *
                   sin((azimuth - world->scenario.sensors.compass_swing_at_deg) / deg_per_rad);
    double magnetic = sensed(world, WORLD_AZIMUTH, azimuth) + swing +
                      world->scenario.sensors.compass_bias_deg -
                      world->scenario.site.declination_deg;
    double deg[WORLD_AXES] = {
        magnetic - 360.0 * floor(magnetic / 360.0),
        sensed(world, WORLD_ELEVATION, pointing[WORLD_ELEVATION]),
        globe_wrap_axial_deg(sensed(world, WORLD_SKEW, pointing[WORLD_SKEW])),
    };
    bool any = false;

    for (int i = 0; i < WORLD_AXES; i++) {
        if (world->scenario.mount.axes[i].read == READ_SENSOR) {
            any = true;
        } else {
            deg[i] = NAN;
        }
    }
    if (any) {
        struct world_event *event = push(world, WORLD_ANGLES);
        for (int i = 0; i < WORLD_AXES; i++) {
            event->deg[i] = deg[i];
        }
    }
}

static void push_fix(struct world *world)
{
    struct sim_random *random = &world->random[STREAM_RECEIVER];
    double noise = world->scenario.receiver.noise_m;
    double m_per_deg = 111320.0;
    struct globe_site fix = world->scenario.site.place;

    push(world, WORLD_UTC)->utc_s = world->scenario.site.utc_s + world_now(world);
    fix.lat_deg += noise * random_normal(random) / m_per_deg;
    fix.lon_deg +=
        noise * random_normal(random) / (m_per_deg * fmax(0.01, cos(fix.lat_deg / deg_per_rad)));
    fix.height_m += 1.5 * noise * random_normal(random); /* common practice, no source */
    push(world, WORLD_FIX)->fix = fix;
}

static void push_due(struct world *world)
{
    if (world->steps >= world->next_meter) {
        world->next_meter += to_steps(world->scenario.meter.period_s);
        push(world, WORLD_LEVEL)->level = read_meter(world, world->lagged);
        if (world->scenario.meter.has_cross) {
            push(world, WORLD_CROSS)->level = read_meter(world, world->lagged_cross);
        }
        push_lock(world);
    }
    if (world->steps >= world->next_angles) {
        world->next_angles += to_steps(world->scenario.sensors.period_s);
        push_angles(world);
    }
    if (world->steps >= world->next_fix) {
        world->next_fix += to_steps(world->scenario.receiver.period_s);
        push_fix(world);
    }
}

int world_next_event(struct world *world, double t, struct world_event *ret_event)
{
    while (world->pending_count == 0) {
        if ((double)(world->steps + 1) * step_s > t + 1e-9) {
            return 0;
        }
        world->steps++;
        bool moved = mount_step(&world->mount, step_s);
        if (blow(world) || moved) {
            look_anew(world);
        }
        receive(world, world_now(world));
        push_due(world);
    }
    *ret_event = world->pending[world->pending_first];
    world->pending_first = (world->pending_first + 1) % PENDING;
    world->pending_count--;
    return 1;
}

double world_next_t(const struct world *world)
{
    int64_t next = world->next_meter;

    if (world->pending_count > 0) {
        return world->pending[world->pending_first].t;
    }
    next = world->next_angles < next ? world->next_angles : next;
    next = world->next_fix < next ? world->next_fix : next;
    return (double)next * step_s;
}

double world_now(const struct world *world)
{
    return (double)world->steps * step_s;
}

/* --- making and unmaking -------------------------------------------------------------------- */

int world_create_of(const struct scenario *scenario, uint64_t seed, struct world **ret_world)
{
    struct world *world = calloc(1, sizeof *world);

    if (!world) {
        return -ENOMEM;
    }
    world->scenario = *scenario;
    sky_init(&world->sky, &world->scenario);
    for (int i = 0; i < STREAMS; i++) {
        random_seed(&world->random[i], seed, (uint64_t)i);
    }
    mount_init(&world->mount, &world->scenario);
    look_anew(world);
    world->hand_error = 0.1;
    world->lagged = NAN;
    world->locked_to = world->strongest_of = -1;
    world->next_meter = to_steps(world->scenario.meter.period_s);
    world->next_angles = to_steps(world->scenario.sensors.period_s);
    world->next_fix = to_steps(world->scenario.receiver.delay_s);
    *ret_world = world;
    return 0;
}

int world_create(const char *name, uint64_t seed, struct world **ret_world,
                 char why[SCENARIO_WHY_SIZE])
{
    char path[SCENARIO_PATH_SIZE];
    struct scenario scenario;
    int r = scenario_find(name, path);

    if (r < 0) {
        snprintf(why, SCENARIO_WHY_SIZE, _("%.120s: no scenario of this name or path"), name);
        return r;
    }
    r = scenario_read(path, &scenario, why);
    if (r < 0) {
        return r;
    }
    r = world_create_of(&scenario, seed, ret_world);
    if (r < 0) {
        snprintf(why, SCENARIO_WHY_SIZE, _("out of memory"));
    }
    return r;
}

void world_destroy(struct world *world)
{
    free(world);
}

const struct scenario *world_scenario(const struct world *world)
{
    return &world->scenario;
}
