/*
 * sim.c - a simulated mount in-process: the same model that peakward-sim puts at the other end of
 * the cable.
 *
 *   sim:SCENARIO[?hand=careful|hasty|clumsy|deaf][&seed=N]
 *
 * Without a hand the operator's own words turn the mount, and its scales are read out where the
 * scenario has scales; with one a simulated technician obeys the coach. When the coach is done, or
 * the technician gives up, a note says how the mount really stands.
 */
#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "source/sim.h"

/* TRANSLATORS: kept in the log, and found again by what stands before its first figure */
static const char truth[] =
    N_("simulated mount: true pointing loss %.2f dB, skew error %.1f\u00b0, "
       "%.2f\u00b0 off the satellite, after %.0f s");
static const double scale_read_s = 0.6; /* the mount has come to rest */

struct sim {
    struct world *world; /* owned */
    bool has_hand;
    struct technician hand;
    char name[RECORD_NAME_SIZE];
    char meter[RECORD_NAME_SIZE];
    enum level_unit unit;
    double last_t;
    double again_t; /* of the turn that is gone through again */
    bool said_up;
    bool told_truth, truth_due;
    enum advice_move advised;
    double scale_t[AXIS_COUNT]; /* when to read out a scale; INFINITY = not */
};

/* --- opening -------------------------------------------------------------------------------- */

struct sim_address {
    char scenario[SCENARIO_PATH_SIZE];
    bool has_hand;
    enum technician_model hand;
    uint64_t seed;
};

static int parse_option(struct sim_address *ret, const char *option, char why[RECORD_TEXT_SIZE])
{
    double seed;

    if (strncmp(option, "hand=", 5) == 0) {
        ret->has_hand = true;
        if (technician_parse_model(option + 5, &ret->hand)) {
            return 0;
        }
        snprintf(why, RECORD_TEXT_SIZE, _("hand=%.40s: not one of careful, hasty, clumsy, deaf"),
                 option + 5);
        return -EINVAL;
    }
    if (strncmp(option, "seed=", 5) == 0 && text_parse_double(option + 5, &seed) == 0 &&
        seed >= 0.0 && seed <= 1e9 && seed == floor(seed)) {
        ret->seed = (uint64_t)seed;
        return 0;
    }
    snprintf(why, RECORD_TEXT_SIZE, _("%.40s: after ? comes hand=MODEL or seed=NUMBER"), option);
    return -EINVAL;
}

static int parse_address(const char *address, struct sim_address *ret, char why[RECORD_TEXT_SIZE])
{
    char options[JOB_TEXT_SIZE], *save = NULL;
    const char *mark = strchr(address, '?');
    size_t n = mark ? (size_t)(mark - address) : strlen(address);
    int r = 0;

    *ret = (struct sim_address){.seed = 1};
    if (n == 0 || n >= sizeof ret->scenario) {
        snprintf(why, RECORD_TEXT_SIZE, _("after sim: comes a scenario, as in sim:hut"));
        return -EINVAL;
    }
    memcpy(ret->scenario, address, n);
    text_copy(options, sizeof options, mark ? mark + 1 : "");
    for (char *option = strtok_r(options, "&", &save); option && r == 0;
         option = strtok_r(NULL, "&", &save)) {
        r = parse_option(ret, option, why);
    }
    return r;
}

static void sim_close(void *self)
{
    struct sim *sim = self;

    if (sim) {
        world_destroy(sim->world);
        free(sim);
    }
}

static void settle_names(struct sim *sim, const struct source_setup *setup)
{
    const struct scenario *scenario = world_scenario(sim->world);

    text_copy(sim->name, sizeof sim->name, setup->name ? setup->name : "sim");
    text_copy(sim->meter, sizeof sim->meter,
              setup->meter ? setup->meter->name : scenario->meter.name);
    if (!level_unit_parse(scenario->meter.unit, &sim->unit)) {
        sim->unit = LEVEL_RAW;
    }
}

int sim_attach(struct world *world, const struct source_setup *setup,
               const enum technician_model *hand, uint64_t seed, void **ret_self)
{
    struct sim *sim = calloc(1, sizeof *sim);

    if (!sim) {
        return -ENOMEM;
    }
    sim->world = world;
    settle_names(sim, setup);
    sim->has_hand = hand != NULL;
    if (hand) {
        technician_init(&sim->hand, sim->world, *hand, seed);
    }
    for (int i = 0; i < AXIS_COUNT; i++) {
        bool scale = world_scenario(sim->world)->mount.axes[i].read == READ_SCALE;
        sim->scale_t[i] = scale && !hand ? scale_read_s : INFINITY;
    }
    *ret_self = sim;
    return 0;
}

const struct world *sim_world(const void *self)
{
    return ((const struct sim *)self)->world;
}

static int sim_open(const char *address, const struct source_setup *setup, void **ret_self,
                    char why[RECORD_TEXT_SIZE])
{
    struct sim_address parsed;
    struct world *world = NULL;
    int r = parse_address(address, &parsed, why);

    if (r < 0) {
        return r;
    }
    r = world_create(parsed.scenario, parsed.seed, &world, why);
    if (r < 0) {
        return r;
    }
    r = sim_attach(world, setup, parsed.has_hand ? &parsed.hand : NULL, parsed.seed, ret_self);
    if (r < 0) {
        world_destroy(world);
        snprintf(why, RECORD_TEXT_SIZE, _("no memory"));
    }
    return r;
}

/* --- what the world shows, as records ------------------------------------------------------- */

static void make_angles(const struct sim *sim, const double deg[AXIS_COUNT], struct record *ret)
{
    ret->kind = RECORD_ANGLES;
    memcpy(ret->angles.deg, deg, sizeof ret->angles.deg);
    text_copy(ret->angles.from, sizeof ret->angles.from, sim->name);
}

static void make_level(const struct sim *sim, double level, struct record *ret)
{
    ret->kind = RECORD_LEVEL;
    ret->level.value = level;
    ret->level.unit = sim->unit;
    text_copy(ret->level.meter, sizeof ret->level.meter, sim->meter);
}

static void make_fix(const struct sim *sim, const struct globe_site *fix, struct record *ret)
{
    ret->kind = RECORD_FIX;
    ret->fix.lat_deg = fix->lat_deg;
    ret->fix.lon_deg = fix->lon_deg;
    ret->fix.height_m = fix->height_m;
    ret->fix.error_m = 2.0 * world_scenario(sim->world)->receiver.noise_m;
    ret->fix.mode = 3;
    ret->fix.satellites = 9;
}

static void make_record(const struct sim *sim, const struct world_event *event, struct record *ret)
{
    *ret = (struct record){.t = event->t};
    switch (event->kind) {
    case WORLD_LEVEL:
        make_level(sim, event->level, ret);
        break;
    case WORLD_CROSS:
        ret->kind = RECORD_AUX;
        text_copy(ret->aux.name, sizeof ret->aux.name, "cross");
        ret->aux.value = event->level;
        text_copy(ret->aux.unit, sizeof ret->aux.unit, level_unit_name(sim->unit));
        break;
    case WORLD_LOCK:
        ret->kind = RECORD_LOCK;
        ret->lock.locked = event->lock.locked;
        text_copy(ret->lock.id, sizeof ret->lock.id, event->lock.id);
        break;
    case WORLD_ANGLES:
        make_angles(sim, event->deg, ret);
        ret->angles.magnetic = isfinite(event->deg[WORLD_AZIMUTH]);
        break;
    case WORLD_FIX:
        make_fix(sim, &event->fix, ret);
        break;
    case WORLD_UTC:
        ret->kind = RECORD_UTC;
        ret->utc.unix_s = event->utc_s;
        break;
    }
}

/* How well it really stands: only a simulation can say. */
static void make_truth(struct sim *sim, struct record *ret)
{
    struct world_truth stands = world_truth(sim->world);

    *ret = (struct record){.kind = RECORD_NOTE};
    snprintf(ret->note.text, sizeof ret->note.text, _(truth), stands.pointing_loss_db,
             fabs(stands.error_deg[WORLD_SKEW]), stands.off_axis_deg, world_now(sim->world));
}

/* The scale of an axis whose turn it is, once the mount stands still. True: one was read. */
static bool read_scale(struct sim *sim, double t, struct record *ret)
{
    for (int i = 0; i < AXIS_COUNT; i++) {
        double step = 0.5 * world_scenario(sim->world)->mount.axes[i].graduation_deg;
        double deg[AXIS_COUNT] = {NAN, NAN, NAN};
        if (sim->scale_t[i] > t) {
            continue;
        }
        if (world_is_turning(sim->world, (enum world_axis)i)) {
            sim->scale_t[i] = world_now(sim->world) + scale_read_s;
            continue;
        }
        sim->scale_t[i] = INFINITY;
        deg[i] = step * round(world_scale_deg(sim->world, (enum world_axis)i) / step);
        *ret = (struct record){.t = 0.0};
        make_angles(sim, deg, ret);
        ret->angles.scale = true;
        return true;
    }
    return false;
}

/* --- the driver ----------------------------------------------------------------------------- */

static int sim_fd(const void *self)
{
    (void)self;
    return -1;
}

/* When a hand or an eye is due, the world aside. */
static double person_t(const struct sim *sim)
{
    double t = sim->has_hand ? technician_next_t(&sim->hand) : INFINITY;

    for (int i = 0; i < AXIS_COUNT; i++) {
        t = fmin(t, sim->scale_t[i]);
    }
    return t;
}

static double sim_wake(const void *self)
{
    const struct sim *sim = self;

    if (!sim->said_up || sim->truth_due) {
        return sim->last_t;
    }
    return fmin(world_next_t(sim->world), person_t(sim));
}

static bool say_once(struct sim *sim, struct record *ret)
{
    if (!sim->said_up) {
        sim->said_up = true;
        *ret = (struct record){.kind = RECORD_SOURCE, .source.status = SOURCE_UP};
        text_copy(ret->source.name, sizeof ret->source.name, sim->name);
        return true;
    }
    if (sim->truth_due) {
        sim->truth_due = false;
        make_truth(sim, ret);
        return true;
    }
    return false;
}

static bool next_record(struct sim *sim, double t, struct record *ret)
{
    for (;;) {
        struct world_event event;
        double person = person_t(sim);
        if (world_next_event(sim->world, fmin(t, person), &event)) {
            make_record(sim, &event, ret);
            return true;
        }
        if (person > t) {
            return false;
        }
        if (read_scale(sim, t, ret) || (sim->has_hand && technician_next_t(&sim->hand) <= t &&
                                        technician_act(&sim->hand, sim->world, ret))) {
            ret->t = world_now(sim->world);
            return true;
        }
    }
}

static void tell_truth_when_over(struct sim *sim)
{
    if (!sim->told_truth && (sim->advised == ADVICE_DONE || sim->hand.gave_up)) {
        sim->told_truth = true;
        sim->truth_due = true;
    }
}

static bool sim_gave_up(const void *self)
{
    const struct sim *sim = self;

    return sim->hand.gave_up && sim->told_truth && !sim->truth_due;
}

static int sim_read(void *self, double t, struct record *ret)
{
    struct sim *sim = self;

    tell_truth_when_over(sim);
    if (say_once(sim, ret)) {
        ret->t = t;
    } else if (!next_record(sim, t, ret)) {
        return 0;
    }
    ret->t = fmax(ret->t, sim->last_t);
    sim->last_t = ret->t;
    return 1;
}

static void sim_tell(void *self, double t, const struct record *said)
{
    struct sim *sim = self;

    sim->last_t = fmax(sim->last_t, t);
    if (said->kind == RECORD_MOVE) {
        enum world_axis axis = (enum world_axis)said->move.axis;
        const struct scenario_axis *built = &world_scenario(sim->world)->mount.axes[axis];
        double deg = isfinite(said->move.deg) ? said->move.deg : said->move.turns * built->turn_deg;
        world_push(sim->world, axis, deg);
        if (built->read == READ_SCALE && !sim->has_hand) {
            sim->scale_t[axis] = world_now(sim->world) + scale_read_s;
        }
    } else if (said->kind == RECORD_STEP && said->step.event == STEP_DONE &&
               sim->advised == ADVICE_TIGHTEN) {
        for (int i = 0; i < WORLD_AXES; i++) {
            world_tighten(sim->world, (enum world_axis)i);
        }
    }
}

static void sim_advise(void *self, double t, const struct advice *advice)
{
    struct sim *sim = self;

    sim->last_t = fmax(sim->last_t, t);
    sim->advised = advice->move;
    if (sim->has_hand) {
        technician_hear(&sim->hand, t, advice);
    } else {
        /* nobody at a keyboard can push an antenna that is not there */
        for (int i = 0; i < WORLD_AXES; i++) {
            world_rock(sim->world, (enum world_axis)i,
                       i == (int)advice->axis ? technician_force(advice) : 0.0);
        }
    }
    tell_truth_when_over(sim);
}

/*
 * The next thing that the mount or its technician had said. One that is to come a second later is
 * not it: then this is another simulation than the one that was logged, and keeps its own pace.
 */
static void say_again(struct sim *sim, double t)
{
    struct record said;

    while (sim_wake(sim) <= t + 1.0) {
        sim->again_t = sim_wake(sim);
        if (sim_read(sim, sim->again_t, &said) != 0) {
            return;
        }
    }
}

static bool tells_truth(const char *note)
{
    const char *said = _(truth);

    return strncmp(note, said, strcspn(said, "%")) == 0;
}

/* True when a record was read off this mount or said by its technician. */
static bool is_own(const struct sim *sim, const struct record *record)
{
    switch (record->kind) {
    case RECORD_SOURCE:
        return strcmp(record->source.name, sim->name) == 0;
    case RECORD_LEVEL:
        return strcmp(record->level.meter, sim->meter) == 0;
    case RECORD_ANGLES:
        return strcmp(record->angles.from, sim->name) == 0 || record->angles.scale;
    case RECORD_NOTE:
        return tells_truth(record->note.text);
    case RECORD_MOVE:
    case RECORD_STEP:
        return sim->has_hand;
    case RECORD_MARK:
        return false;
    default:
        return true;
    }
}

static void sim_again(void *self, const struct record *record)
{
    struct sim *sim = self;

    if (record->kind == RECORD_ADVICE) {
        sim_advise(sim, sim->again_t, &record->advice);
    } else if (record_is_made(record)) {
        return;
    } else if (is_own(sim, record)) {
        say_again(sim, record->t);
    } else {
        sim_tell(sim, record->t, record);
    }
}

const struct source_ops source_sim = {
    .scheme = "sim",
    .open = sim_open,
    .fd = sim_fd,
    .wake = sim_wake,
    .read = sim_read,
    .tell = sim_tell,
    .advise = sim_advise,
    .gave_up = sim_gave_up,
    .again = sim_again,
    .close = sim_close,
};
