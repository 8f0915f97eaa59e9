#include "sim/technician_inside.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static_assert((int)WORLD_AZIMUTH == (int)AXIS_AZIMUTH && (int)WORLD_SKEW == (int)AXIS_SKEW &&
                  (int)WORLD_AXES == (int)AXIS_COUNT,
              "the world counts its axes as the program does");

/* How people are; common practice, no source. */
static const struct technician_habit habits[TECHNICIAN_MODELS] = {
    [TECHNICIAN_CAREFUL] = {"careful", 0.10, 0.5, 1.0, 0.00, 0.00, 0.00, 0.5},
    [TECHNICIAN_HASTY] = {"hasty", 0.15, 0.3, 2.0, 0.02, 0.00, 0.00, 1.0},
    [TECHNICIAN_CLUMSY] = {"clumsy", 0.20, 0.7, 1.2, 0.15, 0.03, 0.01, 1.0},
    [TECHNICIAN_DEAF] = {"deaf", 0.20, 0.7, 1.5, 0.00, 0.00, 0.00, 1.0},
};

static const double look_s = 0.1;      /* between two glances at a turning hand */
static const double turn_time_s = 2.0; /* a turn is made in about this time, near or far */
static const double slowest_deg_s = 0.05, fastest_deg_s = 6.0;
static const double watch_s = 1.2; /* the advice still says so: turn again */
static const double speak_s = 0.8;
static const double patience_s = 6.0; /* told, and nothing new heard: do it again */
static const double bolt_s = 2.0;
/* Between two lines, told closely: near enough, in graduations; how well it is seen, in what the
 * habit reads off. */
static const double close_share = 0.15, eye_share = 0.1;
static const double harder = 2.0;               /* than firmly, when told so */
static const double thinking_s[2] = {1.5, 1.5}; /* at least, and up to so much more */

const struct technician_habit *technician_habit(enum technician_model model)
{
    return &habits[model];
}

const char *technician_model_name(enum technician_model model)
{
    return habits[model].name;
}

bool technician_parse_model(const char *name, enum technician_model *ret_model)
{
    for (int i = 0; i < TECHNICIAN_MODELS; i++) {
        if (strcmp(habits[i].name, name) == 0) {
            *ret_model = (enum technician_model)i;
            return true;
        }
    }
    return false;
}

void technician_init(struct technician *technician, struct world *world,
                     enum technician_model model, uint64_t seed)
{
    *technician =
        (struct technician){.model = model, .next_t = INFINITY, .news_t = INFINITY, .set_to = NAN};
    technician->advice.move = ADVICE_WAIT;
    technician->advice.axis = AXIS_NONE;
    for (int i = 0; i < WORLD_AXES; i++) {
        technician->last_read_deg[i] = NAN;
    }
    random_seed(&technician->random, seed, 1000);
    world_set_hand_error(world, habits[model].hand_error);
}

static bool is_turn(const struct advice *advice)
{
    return advice->move <= ADVICE_ANTICLOCKWISE && advice->axis != AXIS_NONE;
}

/* "Set the elevation to 11.8 on the scale" */
static bool is_setting(const struct advice *advice)
{
    return advice->move == ADVICE_CONFIRM && advice->axis != AXIS_NONE;
}

static int way_of(enum advice_move move)
{
    return move == ADVICE_RIGHT || move == ADVICE_UP || move == ADVICE_CLOCKWISE ? 1 : -1;
}

void technician_hear(struct technician *technician, double t, const struct advice *advice)
{
    const struct advice *last = &technician->advice;
    bool other = advice->axis != last->axis || advice->move != last->move ||
                 advice->until != last->until || strcmp(advice->step, last->step) != 0;
    double reaction =
        habits[technician->model].reaction_s * (0.8 + 0.4 * random_uniform(&technician->random));

    technician->advice = *advice;
    if (other) {
        technician->adjust = false; /* the number is of another turn now */
        technician->news = true;
        technician->news_t = t + reaction;
    } else if ((is_turn(advice) || is_setting(advice)) && !technician->news) {
        technician->adjust = is_turn(advice);
        if (technician->doing == TECHNICIAN_IDLE) {
            technician->next_t = t + reaction;
        }
    }
}

double technician_next_t(const struct technician *technician)
{
    double next = technician->next_t;

    return technician->news ? fmin(next, technician->news_t) : next;
}

/* --- turning -------------------------------------------------------------------------------- */

static double rate_for(struct technician *technician, double deg)
{
    double haste = habits[technician->model].haste;
    double rate = fabs(deg) / turn_time_s * haste;
    double advised = technician->advice.rate;

    if (isfinite(advised) && advised > 0.0) {
        return advised * (0.85 + 0.3 * random_uniform(&technician->random)) * haste;
    }
    return fmin(fmax(rate, slowest_deg_s), fastest_deg_s);
}

/* As far as it was said: on a bolt whose turns are counted, in sixteenths. */
static double distance(const struct world *world, const struct advice *advice, enum world_axis axis)
{
    double turn_deg = technician_built(world, axis)->turn_deg;

    if (technician_built(world, axis)->read != READ_SENSOR && isfinite(advice->turns)) {
        return fmax(technician_finest_turn,
                    technician_finest_turn * floor(advice->turns / technician_finest_turn + 0.5)) *
               turn_deg;
    }
    return isfinite(advice->deg) ? advice->deg : 0.0;
}

static bool happens(struct technician *technician, double probability)
{
    return probability > 0.0 && random_uniform(&technician->random) < probability;
}

/* Degrees of the axis in mind against degrees of the one whose bolt is turned. */
static double bolts_apart(const struct technician *technician, const struct world *world)
{
    return technician_built(world, technician->bolt)->turn_deg /
           technician_built(world, technician->axis)->turn_deg;
}

static void turn(struct technician *technician, struct world *world, double deg)
{
    const struct technician_habit *habit = &habits[technician->model];
    double rate = rate_for(technician, deg), times = 1.0;

    if (random_uniform(&technician->random) < habit->slip) {
        deg *= -0.5;
    }
    if (happens(technician, habit->twice)) {
        times = 2.0;
    }
    technician->bolt = technician->axis;
    if (technician->axis != WORLD_SKEW && happens(technician, habit->astray)) {
        technician->bolt = technician->axis == WORLD_AZIMUTH ? WORLD_ELEVATION : WORLD_AZIMUTH;
    }
    world_turn_times(world, technician->bolt, deg * bolts_apart(technician, world), times, rate);
    technician->doing = TECHNICIAN_TURNING;
    technician->next_t = world_now(world) + look_s;
}

/* In a language that the program speaks. */
static bool names_scale(const char *why)
{
    return strstr(why, "scale") || strstr(why, "Skala");
}

static void begin_turn(struct technician *technician, struct world *world)
{
    const struct advice *advice = &technician->advice;

    technician->axis = (enum world_axis)advice->axis;
    technician->adjust = false;
    technician->setting = false;
    technician->set_to = NAN;
    technician->counts = isfinite(advice->turns);
    technician->reads = !technician->counts || names_scale(advice->why);
    technician->answers = advice->until == UNTIL_ANSWER;
    if (technician->model == TECHNICIAN_DEAF) {
        turn(technician, world, 3.0 * (random_uniform(&technician->random) - 0.5));
        return;
    }
    turn(technician, world, way_of(advice->move) * distance(world, advice, technician->axis));
}

/* What the scale still lacks of what it should show, in degrees of the axis, as it is seen. */
static double left_to_set(struct technician *technician, const struct world *world)
{
    const struct scenario_axis *axis = technician_built(world, technician->axis);
    double deg =
        (technician->set_to - world_scale_deg(world, technician->axis)) * axis->scale_sense;
    double read_deg = axis->graduation_deg * habits[technician->model].reading;

    if (technician->closely) {
        deg += eye_share * read_deg * random_normal(&technician->random);
    }
    return technician->axis == WORLD_ELEVATION ? deg : globe_wrap_deg(deg);
}

/* Where the first number of a sentence begins; NULL = it has none. */
static const char *first_number(const char *say)
{
    const char *digit = strpbrk(say, "0123456789");

    return digit && digit > say && digit[-1] == '-' ? digit - 1 : digit;
}

static double near_enough_deg(const struct technician *technician, const struct world *world)
{
    return (technician->closely ? close_share : 1.0) *
           technician_built(world, technician->axis)->graduation_deg;
}

/* "Set the elevation to 11.8 on the scale": as far as the scale says. */
static void begin_setting(struct technician *technician, struct world *world)
{
    const char *to = first_number(technician->advice.say);
    enum world_axis axis = (enum world_axis)technician->advice.axis;

    technician->axis = axis;
    technician->set_to = to ? strtod(to, NULL) : world_scale_deg(world, axis);
    technician->closely = technician->advice.until == UNTIL_ARRIVED;
    technician->answers = technician_built(world, axis)->read != READ_SCALE;
    technician->setting = !technician->answers;
    technician->counts = false;
    technician->reads = true;
    technician->meant_deg = 0.0;
    turn(technician, world, left_to_set(technician, world));
}

static void stop(struct technician *technician, struct world *world)
{
    double meant = world_halt(world, technician->bolt);

    technician->meant_deg += meant / bolts_apart(technician, world);
}

static bool must_tell(const struct technician *technician, const struct world *world)
{
    return technician_built(world, technician->axis)->read != READ_SENSOR &&
           (technician->meant_deg != 0.0 || technician->answers || technician->setting);
}

/* The hand has come to rest. */
static void rest(struct technician *technician, struct world *world)
{
    double now = world_now(world), left;

    stop(technician, world);
    left = isfinite(technician->set_to) ? left_to_set(technician, world) : 0.0;
    if (fabs(left) > near_enough_deg(technician, world)) {
        /* one look at the scale says that it is not there yet */
        turn(technician, world, left);
        return;
    }
    technician->set_to = NAN;
    if (must_tell(technician, world)) {
        technician->doing = TECHNICIAN_SPEAKING;
        technician->next_t = now + speak_s;
    } else if (technician->answers) {
        technician->doing = TECHNICIAN_THINKING;
        technician->next_t = now + speak_s;
    } else {
        technician->meant_deg = 0.0;
        technician->doing = TECHNICIAN_WATCHING;
        technician->next_t = now + watch_s;
    }
}

static void look_at_turning(struct technician *technician, struct world *world)
{
    const struct advice *advice = &technician->advice;
    bool by_sensor = technician_built(world, technician->axis)->read == READ_SENSOR;

    if (technician->adjust && by_sensor && isfinite(advice->deg) &&
        technician->model != TECHNICIAN_DEAF) {
        /* the screen counts down: go by what it says now */
        technician->adjust = false;
        stop(technician, world);
        technician->bolt = technician->axis; /* the wrong one would have left the number alone */
        world_turn(world, technician->axis, way_of(advice->move) * advice->deg,
                   rate_for(technician, advice->deg));
    }
    technician->next_t = world_now(world) + look_s;
    if (!world_is_turning(world, technician->bolt)) {
        rest(technician, world);
    }
}

/* --- what is due ---------------------------------------------------------------------------- */

/* In a language that the program speaks. */
static bool asks_harder(const char *say)
{
    return strstr(say, "twice as hard") || strstr(say, "doppelt so fest");
}

double technician_force(const struct advice *advice)
{
    double force = asks_harder(advice->say) ? harder : 1.0;

    return advice->move == ADVICE_PUSH ? -force : advice->move == ADVICE_PULL ? force : 0.0;
}

/* "Push its upper edge": as long as that is what is wanted. */
static void rock(struct technician *technician, struct world *world)
{
    bool slips = random_uniform(&technician->random) < habits[technician->model].slip;
    double force = technician_force(&technician->advice);

    technician->axis = (enum world_axis)technician->advice.axis;
    world_rock(world, technician->axis, slips ? -force : force);
}

static void take_up(struct technician *technician, struct world *world)
{
    const struct advice *advice = &technician->advice;
    double now = world_now(world);

    if (is_turn(advice)) {
        begin_turn(technician, world);
        return;
    }
    technician->doing = TECHNICIAN_IDLE;
    technician->next_t = INFINITY;
    if (advice_bends(advice->move)) {
        rock(technician, world);
    } else if (advice->move == ADVICE_TIGHTEN) {
        technician->doing = TECHNICIAN_TIGHTENING;
        technician->bolts = 0;
        technician->next_t = now + bolt_s;
    } else if (is_setting(advice)) {
        begin_setting(technician, world);
    } else if (advice->until == UNTIL_ANSWER) {
        technician->doing = TECHNICIAN_THINKING;
        technician->next_t =
            now + thinking_s[0] + thinking_s[1] * random_uniform(&technician->random);
    }
}

/* The advice has sunk in. What was turned under the last one is told first. */
static int react(struct technician *technician, struct world *world, struct record *ret_said)
{
    int said = 0;

    technician->news = false;
    if (technician->doing == TECHNICIAN_TURNING) {
        stop(technician, world);
    }
    for (int i = 0; i < WORLD_AXES; i++) {
        world_rock(world, (enum world_axis)i, 0);
    }
    technician->answers = false;
    technician->set_to = NAN;
    if (must_tell(technician, world)) {
        *ret_said = technician_tell(technician, world);
        said = 1;
    }
    technician->meant_deg = 0.0;
    take_up(technician, world);
    return said;
}

static int fasten(struct technician *technician, struct world *world, struct record *ret_said)
{
    if (technician->bolts < WORLD_AXES) {
        world_tighten(world, (enum world_axis)technician->bolts++);
        technician->next_t = world_now(world) + bolt_s;
        return 0;
    }
    technician->doing = TECHNICIAN_IDLE;
    technician->next_t = INFINITY;
    *ret_said = technician_say_step(world_now(world), STEP_DONE);
    return 1;
}

int technician_act(struct technician *technician, struct world *world, struct record *ret_said)
{
    if (technician->news && technician->news_t <= technician->next_t) {
        return react(technician, world, ret_said);
    }
    switch (technician->doing) {
    case TECHNICIAN_TURNING:
        look_at_turning(technician, world);
        return 0;
    case TECHNICIAN_WATCHING:
    case TECHNICIAN_IDLE:
        technician->next_t = INFINITY;
        if (is_turn(&technician->advice)) {
            begin_turn(technician, world);
        } else if (is_setting(&technician->advice)) {
            begin_setting(technician, world);
        }
        return 0;
    case TECHNICIAN_SPEAKING:
        technician->doing = TECHNICIAN_IDLE;
        technician->next_t = world_now(world) + patience_s;
        *ret_said = technician_tell(technician, world);
        return 1;
    case TECHNICIAN_THINKING:
        technician->doing = TECHNICIAN_IDLE;
        technician->next_t = INFINITY;
        return technician_answer(technician, world, ret_said);
    case TECHNICIAN_TIGHTENING:
        return fasten(technician, world, ret_said);
    }
    return 0;
}
