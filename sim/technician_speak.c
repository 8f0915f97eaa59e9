#include "sim/technician_inside.h"

#include <math.h>
#include <string.h>

const double technician_finest_turn = 1.0 / 16.0;

const struct scenario_axis *technician_built(const struct world *world, enum world_axis axis)
{
    return &world_scenario(world)->mount.axes[axis];
}

struct record technician_say_step(double t, enum record_step_event event)
{
    struct record record = {.t = t, .kind = RECORD_STEP};

    record.step.event = event;
    return record;
}

/* A question is about what the receiver shows, and is answered by looking at it. Where the target's
 * carrier has no name, a lamp that is lit tells nothing. */
static enum record_step_event look_at_receiver(const struct world *world)
{
    const struct scenario *scenario = world_scenario(world);
    const char *wanted = scenario->satellites[scenario->target].id;
    const struct scenario_satellite *locked = world_locked(world);

    if (!locked) {
        return STEP_BACK;
    }
    if (wanted[0] == '\0' && locked->id[0] == '\0') {
        return STEP_SKIP;
    }
    return strcmp(locked->id, wanted) == 0 ? STEP_DONE : STEP_BACK;
}

/* "Say back to ...", in a language that the program speaks. */
static bool asks_back(const char *say)
{
    return strstr(say, "ay back") || strstr(say, "ag back");
}

bool technician_answer(struct technician *technician, const struct world *world, struct record *ret)
{
    const char *say = technician->advice.say;
    bool leaves = strstr(say, "quit");
    enum record_step_event event = strchr(say, '?')           ? look_at_receiver(world)
                                   : strstr(say, "repeat")    ? STEP_REPEAT
                                   : leaves || asks_back(say) ? STEP_BACK
                                                              : STEP_DONE;

    technician->gave_up = leaves && event == STEP_BACK;
    *ret = technician_say_step(world_now(world), event);
    return !technician->gave_up;
}

static struct record say_move(const struct technician *technician, const struct world *world)
{
    double turn_deg = technician_built(world, technician->axis)->turn_deg;
    struct record record = {.t = world_now(world), .kind = RECORD_MOVE};

    record.move.axis = (enum axis)technician->axis;
    record.move.deg = NAN;
    record.move.turns =
        technician_finest_turn * round(technician->meant_deg / turn_deg / technician_finest_turn);
    return record;
}

static double read_scale(struct technician *technician, const struct world *world)
{
    const struct technician_habit *habit = technician_habit(technician->model);
    double step = technician_built(world, technician->axis)->graduation_deg * habit->reading;
    double read = step * round(world_scale_deg(world, technician->axis) / step);

    if (random_uniform(&technician->random) < habit->slip / 3.0) {
        read += step; /* misread */
    }
    return read;
}

static struct record say_scale(const struct technician *technician, double t, double read)
{
    struct record record = {.t = t, .kind = RECORD_ANGLES};

    for (int i = 0; i < AXIS_COUNT; i++) {
        record.angles.deg[i] = NAN;
    }
    record.angles.deg[technician->axis] = read;
    record.angles.scale = true;
    strcpy(record.angles.from, "scale");
    return record;
}

struct record technician_tell(struct technician *technician, const struct world *world)
{
    const struct scenario_axis *axis = technician_built(world, technician->axis);
    bool shows = fabs(technician->meant_deg) >= axis->graduation_deg || technician->setting;
    /* nobody counts the turns of a long way where there is a scale to look at */
    bool reads = technician->reads || fabs(technician->meant_deg) >= 3.0 * axis->graduation_deg;
    double now = world_now(world);
    struct record record;

    if (technician->answers) {
        record = technician_say_step(now, STEP_DONE);
    } else if (axis->read == READ_SCALE && reads && (shows || !technician->counts)) {
        double *last = &technician->last_read_deg[technician->axis];
        double read = read_scale(technician, world);
        record = read == *last && !technician->counts ? technician_say_step(now, STEP_DONE)
                                                      : say_scale(technician, now, read);
        *last = read;
    } else {
        record = say_move(technician, world);
    }
    technician->meant_deg = 0.0;
    technician->answers = false;
    technician->setting = false;
    return record;
}
