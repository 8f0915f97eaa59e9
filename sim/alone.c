#include "sim/alone.h"

#include <math.h>
#include <string.h>

/* Common practice, no source. Widths are the antenna's half-power width on the axis at hand. */
static const double sweep_widths_s = 0.4, peak_widths_s = 0.12, return_widths_s = 0.08;
static const double most_widths = 4.0; /* turned the one way in search of a top */
static const double line_widths = 0.7; /* from one sweep to the next */
static const double tolerance_deg[WORLD_AXES] = {1.0, 0.3, 1.0};
static const double rad = 0.017453292519943295769;
static const double rise_db = 3.0, fall_db = 0.5, digits_db = 0.15, lost_db = 0.3;
static const double settle_s = 0.8;
static const double read_scale_s = 0.6, bolt_s = 2.0, look_s = 2.0, lock_spare_s = 2.0;
static const double thinking_s[2] = {1.5, 1.5}; /* at least, and up to so much more */
static const double turn_time_s = 2.0, slowest_deg_s = 0.05, fastest_deg_s = 6.0;
enum { PEAK_ROUNDS = 2, SET_TRIES = 4, RETURNS = 4, LINES = 8 };

struct alone {
    struct world *world;
    const struct technician_habit *habit;
    const struct alone_sheet *sheet;
    struct sim_random random;
    double limit_s;
    double target_deg[WORLD_AXES]; /* of the sheet */
    double beam_deg[WORLD_AXES];
    double level, held; /* shown now; the highest since it was last reset */
    bool fresh;         /* shown since the last look */
    double sensor_deg[WORLD_AXES];
    double set_scale_deg; /* of the azimuth, where the sheet had it */
    double line_widths;   /* elevation off the one that was set */
};

static const struct scenario_axis *built(const struct alone *alone, enum world_axis axis)
{
    return &world_scenario(alone->world)->mount.axes[axis];
}

/* --- eyes ----------------------------------------------------------------------------------- */

static void see(struct alone *alone, const struct world_event *event)
{
    if (event->kind == WORLD_LEVEL) {
        alone->level = event->level;
        alone->held = fmax(alone->held, event->level);
        alone->fresh = true;
    } else if (event->kind == WORLD_ANGLES) {
        memcpy(alone->sensor_deg, event->deg, sizeof alone->sensor_deg);
    }
}

static void pass(struct alone *alone, double s)
{
    double until = world_now(alone->world) + s;
    struct world_event event;

    while (world_next_event(alone->world, until, &event)) {
        see(alone, &event);
    }
}

/* Until the meter shows its next reading. */
static void pass_reading(struct alone *alone)
{
    alone->fresh = false;
    while (!alone->fresh) {
        pass(alone, 0.02);
    }
}

static double mean_level(struct alone *alone, double s)
{
    double until = world_now(alone->world) + s, sum = 0.0;
    int n = 0;

    do {
        pass_reading(alone);
        sum += alone->level;
        n++;
    } while (world_now(alone->world) < until);
    return sum / n;
}

static bool is_late(const struct alone *alone)
{
    return world_now(alone->world) >= alone->limit_s;
}

/* So many dB on this meter, but never less than what its last digits jump by themselves. */
static double units(const struct alone *alone, double db, double noises)
{
    const struct scenario *scenario = world_scenario(alone->world);

    return fmax(db * scenario->meter.slope,
                fmax(scenario->meter.quantum, noises * scenario->meter.noise));
}

/* What tells the angle of an axis, turned into that of the sheet; with nothing built in a spirit
 * level or a hand compass is held to it, which the scenario keeps as a scale, too. */
static double read_deg(struct alone *alone, enum world_axis axis)
{
    const struct scenario_axis *axis_built = built(alone, axis);
    double step = axis_built->graduation_deg * alone->habit->reading;

    if (axis_built->read == READ_SENSOR) {
        double deg = alone->sensor_deg[axis];
        return axis == WORLD_AZIMUTH ? deg + world_scenario(alone->world)->site.declination_deg
                                     : deg;
    }
    pass(alone, read_scale_s);
    return (step * round(world_scale_deg(alone->world, axis) / step) -
            alone->sheet->scale_zero_deg[axis]) *
           axis_built->scale_sense;
}

/* --- hands ---------------------------------------------------------------------------------- */

static void react(struct alone *alone)
{
    pass(alone, alone->habit->reaction_s * (0.8 + 0.4 * random_uniform(&alone->random)));
}

/* What comes next? As long as a question takes the coached one. */
static void think(struct alone *alone)
{
    pass(alone, thinking_s[0] + thinking_s[1] * random_uniform(&alone->random));
}

static void turn_by(struct alone *alone, enum world_axis axis, double deg)
{
    double rate = fabs(deg) / turn_time_s * alone->habit->haste;

    react(alone);
    world_turn(alone->world, axis, deg, fmin(fmax(rate, slowest_deg_s), fastest_deg_s));
    while (world_is_turning(alone->world, axis)) {
        pass(alone, 0.1);
    }
    world_halt(alone->world, axis);
}

static void start_turning(struct alone *alone, enum world_axis axis, int way, double rate)
{
    double hand = alone->habit->haste * (0.85 + 0.3 * random_uniform(&alone->random));

    world_turn(alone->world, axis, way * 360.0, fmax(rate * hand, slowest_deg_s));
}

/* Let go, and wait until the meter stands still. */
static void stop_turning(struct alone *alone, enum world_axis axis)
{
    double still = units(alone, digits_db, 3.0), before;

    react(alone);
    world_halt(alone->world, axis);
    do {
        before = alone->level;
        pass(alone, settle_s);
        pass_reading(alone);
    } while (fabs(alone->level - before) > still);
}

/* To the sheet's angle, as near as the kit shows. */
static void set(struct alone *alone, enum world_axis axis)
{
    double near = built(alone, axis)->read == READ_SENSOR
                      ? tolerance_deg[axis]
                      : fmax(tolerance_deg[axis], built(alone, axis)->graduation_deg);

    if (isnan(alone->target_deg[axis])) {
        return;
    }
    think(alone);
    for (int i = 0; i < SET_TRIES; i++) {
        double left = alone->target_deg[axis] - read_deg(alone, axis);
        left = axis == WORLD_SKEW ? globe_wrap_axial_deg(left) : globe_wrap_deg(left);
        if (i > 0 && fabs(left) <= near) {
            return;
        }
        turn_by(alone, axis, left);
        pass(alone, 1.0);
    }
}

/* --- one axis to its highest reading -------------------------------------------------------- */

/* Turn until the level has gone over a top and fallen, or only falls, or shows `enough`. True: it
 * shows enough. */
static bool turn_past(struct alone *alone, enum world_axis axis, int way, double rate,
                      double enough)
{
    double fall = units(alone, fall_db, 3.0), first = alone->level;
    double lowest = first, highest = -INFINITY; /* since it has begun to rise */
    double stop_t = world_now(alone->world) + most_widths * alone->beam_deg[axis] / rate;
    bool reached = false, over = false;

    start_turning(alone, axis, way, rate);
    while (!reached && !over && world_now(alone->world) < stop_t) {
        pass_reading(alone);
        reached = alone->level >= enough;
        lowest = fmin(lowest, alone->level);
        if (isfinite(highest) || alone->level >= lowest + fall) {
            highest = fmax(highest, alone->level);
        }
        over = alone->level <= highest - fall || alone->level <= first - 2.0 * fall;
    }
    stop_turning(alone, axis);
    return reached;
}

/* Back until the meter shows the highest again; it may be met on neither pass, for the highest was
 * luck: then a little less will do. */
static void return_to_held(struct alone *alone, enum world_axis axis, int way)
{
    double rate = return_widths_s * alone->beam_deg[axis], digits = units(alone, digits_db, 0.0);
    double held = alone->held;

    for (int i = 0; i < RETURNS && !is_late(alone); i++) {
        if (turn_past(alone, axis, way, rate, held - digits)) {
            break;
        }
        digits += units(alone, digits_db, 0.0);
        way = -way;
    }
    alone->held = held;
}

static void peak(struct alone *alone, enum world_axis axis)
{
    double rate = peak_widths_s * alone->beam_deg[axis];

    think(alone);
    alone->held = alone->level;
    turn_past(alone, axis, 1, rate, INFINITY);
    turn_past(alone, axis, -1, rate, INFINITY);
    return_to_held(alone, axis, 1);
}

/* --- the search ----------------------------------------------------------------------------- */

/* Is what the receiver shows the target, as far as anyone can see? */
static bool looks_right(struct alone *alone)
{
    const struct scenario *scenario = world_scenario(alone->world);
    const char *wanted = scenario->satellites[scenario->target].id;
    const struct scenario_satellite *locked;

    if (scenario->meter.has_lock) {
        pass(alone, scenario->meter.lock_delay_s + lock_spare_s);
        locked = world_locked(alone->world);
        return locked && (wanted[0] == '\0' || strcmp(locked->id, wanted) == 0);
    }
    return true;
}

/* How far the azimuth has been turned from where it was set: seen well enough on anything. */
static double turned_deg(const struct alone *alone)
{
    return (world_scale_deg(alone->world, WORLD_AZIMUTH) - alone->set_scale_deg) *
           built(alone, WORLD_AZIMUTH)->scale_sense;
}

/* Who knows a slow meter gives it time: half a width for each reading and its lag. */
static double sweep_rate(const struct alone *alone)
{
    const struct scenario *scenario = world_scenario(alone->world);
    double widths = 0.5 / (scenario->meter.period_s + scenario->meter.lag_s);

    return fmin(sweep_widths_s, widths) * alone->beam_deg[WORLD_AZIMUTH];
}

/* Sweep to the end of the window; true: something is found and looks right. */
static bool sweep(struct alone *alone, int way)
{
    double rate = sweep_rate(alone);
    double rise = units(alone, rise_db, 4.0), fall = units(alone, 1.0, 3.0);
    double lowest = INFINITY, highest = -INFINITY; /* since it has risen well over the lowest */

    start_turning(alone, WORLD_AZIMUTH, way, rate);
    while (way * turned_deg(alone) < alone->sheet->span_deg && !is_late(alone)) {
        pass_reading(alone);
        lowest = fmin(lowest, alone->level);
        if (alone->level >= lowest + rise) {
            highest = fmax(highest, alone->level);
        }
        if (alone->level < highest - fall) {
            stop_turning(alone, WORLD_AZIMUTH);
            alone->held = highest;
            return_to_held(alone, WORLD_AZIMUTH, -way);
            if (looks_right(alone)) {
                return true;
            }
            lowest = alone->level;
            highest = -INFINITY;
            start_turning(alone, WORLD_AZIMUTH, way, rate);
        }
    }
    stop_turning(alone, WORLD_AZIMUTH);
    return false;
}

static bool search(struct alone *alone)
{
    int way = 1;

    think(alone);
    alone->set_scale_deg = world_scale_deg(alone->world, WORLD_AZIMUTH);
    if (sweep(alone, way)) {
        return true;
    }
    for (int line = 0; line < LINES && !is_late(alone); line++) {
        double off = line_widths * ((line + 1) / 2) * (line % 2 ? 1.0 : -1.0);
        if (line > 0) {
            turn_by(alone, WORLD_ELEVATION,
                    (off - alone->line_widths) * alone->beam_deg[WORLD_ELEVATION]);
            alone->line_widths = off;
        }
        way = -way;
        if (sweep(alone, way)) {
            return true;
        }
    }
    return false;
}

/* --- all of it ------------------------------------------------------------------------------ */

static void tighten(struct alone *alone)
{
    think(alone);
    double before = mean_level(alone, look_s);

    for (int i = 0; i < WORLD_AXES; i++) {
        pass(alone, bolt_s);
        world_tighten(alone->world, (enum world_axis)i);
        if (mean_level(alone, look_s) < before - units(alone, lost_db, 1.0) && i != WORLD_SKEW) {
            peak(alone, (enum world_axis)i);
            pass(alone, bolt_s);
            world_tighten(alone->world, (enum world_axis)i);
        }
    }
}

static void prepare(struct alone *alone, uint64_t seed)
{
    const struct scenario *scenario = world_scenario(alone->world);
    struct aperture aperture = scenario_aperture(scenario);
    struct world_truth truth = world_truth(alone->world);
    double height = aperture.panel ? aperture.height_deg : aperture.width_deg;
    double width = fmin(aperture.width_deg, height);
    double elevation = truth.target_deg[WORLD_ELEVATION] * rad;

    memcpy(alone->target_deg, truth.target_deg, sizeof alone->target_deg);
    alone->beam_deg[WORLD_AZIMUTH] = width / fmax(0.2, cos(elevation));
    alone->beam_deg[WORLD_ELEVATION] = width;
    alone->beam_deg[WORLD_SKEW] = 20.0;
    random_seed(&alone->random, seed, 1001);
    pass(alone, fmax(scenario->sensors.period_s, scenario->meter.period_s) + 0.1);
}

void alone_install(struct world *world, enum technician_model model, uint64_t seed,
                   const struct alone_sheet *sheet, double limit_s, struct alone_result *ret)
{
    struct alone alone = {.world = world,
                          .habit = technician_habit(model),
                          .sheet = sheet,
                          .limit_s = limit_s,
                          .held = -INFINITY};

    world_set_hand_error(world, alone.habit->hand_error);
    prepare(&alone, seed);
    set(&alone, WORLD_ELEVATION);
    set(&alone, WORLD_SKEW);
    set(&alone, WORLD_AZIMUTH);
    ret->finished = search(&alone);
    for (int i = 0; ret->finished && i < PEAK_ROUNDS; i++) {
        peak(&alone, WORLD_AZIMUTH);
        peak(&alone, WORLD_ELEVATION);
    }
    if (ret->finished) {
        tighten(&alone);
    }
    ret->took_s = world_now(world);
}
