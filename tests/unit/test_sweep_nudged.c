/* A search by someone who turns a little, says so, and turns on: no sensor tells the angle. */
#include "given.h"

#include <math.h>
#include <string.h>

#include "chance.h"
#include "tell_coach.h"

static const double tick_s = 0.25, top_db = 12.0, locks_db = 6.0, width_deg = 2.4;
static const double nudge_deg = 0.1, nudge_s = 1.0;

static struct job job;
static struct state state;
static struct procedure procedure;
static struct coach coach;
static struct chance chance;
static double at_deg, top_deg; /* of the antenna, and where the carrier is, from where it began */
static bool found;

static void note(const struct record *made)
{
    found |= made->kind == RECORD_STEP && made->step.event == STEP_LEAVE && made->step.number == 1;
}

static void hear(struct record record)
{
    tell_coach(&coach, &state, &record, note);
}

static void begin(double top)
{
    job_init(&job);
    given_hut(&job);
    given_dish(&job);
    given_job(&job, "target", "id", "WREN");
    given_job(&job, "mount", "azimuth_from", "nudges");
    given_job(&job, "mount", "elevation_from", "nudges");
    given_job(&job, "mount", "azimuth_turn", "1.6");
    given_job(&job, "meter finder", "unit", "dB");
    given_job(&job, "meter finder", "lag", "0.3");
    procedure_init(&procedure, "test");
    given_step(&procedure, "step sweep", "do", "sweep");
    given_step(&procedure, "step sweep", "axis", "azimuth");
    given_step(&procedure, "step sweep", "span", "12");
    given_step(&procedure, "step close", "do", "record");
    at_deg = 0.0;
    top_deg = top;
    found = false;
    begin_coach(&coach, &state, &job, &procedure);
}

static void listen(void)
{
    struct record level = {.t = state.t + tick_s, .kind = RECORD_LEVEL};
    double off = (at_deg - top_deg) / width_deg;

    level.level.value = fmax(0.0, top_db - 12.0 * off * off) + chance_normal(&chance, 0.2);
    level.level.unit = LEVEL_DB;
    strcpy(level.level.meter, "finder");
    hear(level);
    if (state.lock.locked != (level.level.value > locks_db)) {
        struct record lock = {.t = state.t, .kind = RECORD_LOCK};
        lock.lock.locked = level.level.value > locks_db;
        strcpy(lock.lock.id, lock.lock.locked ? "WREN" : "");
        hear(lock);
    }
}

static void nudge(double deg)
{
    struct record move = {.t = state.t, .kind = RECORD_MOVE};

    at_deg += deg;
    move.move.axis = AXIS_AZIMUTH;
    move.move.deg = deg;
    move.move.turns = NAN;
    hear(move);
}

/* Does as it is told, a nudge a second, for some time. */
static void search(double seconds)
{
    for (double end = state.t + seconds; state.t < end && !found;) {
        const struct advice *advice = &coach.advice;
        bool turns = advice->move == ADVICE_RIGHT || advice->move == ADVICE_LEFT;

        if (turns && advice->axis == AXIS_AZIMUTH) {
            double deg = isfinite(advice->deg) ? fmin(nudge_deg, advice->deg) : nudge_deg;
            nudge(advice->move == ADVICE_RIGHT ? deg : -deg);
        }
        for (double t = 0.0; t < nudge_s; t += tick_s) {
            listen();
        }
    }
}

static void a_carrier_that_is_nudged_over_is_found(void **unused)
{
    static const double tops[] = {4.0, -3.0, 7.5};

    (void)unused;
    for (size_t i = 0; i < sizeof tops / sizeof *tops; i++) {
        begin(tops[i]);
        chance.state = 3 + i;
        search(900.0);
        assert_true(found);
        expect_near(at_deg, tops[i], 0.5 * width_deg);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_carrier_that_is_nudged_over_is_found),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
