/* A hand that goes the wrong way, too far, or turns another bolt is told so. */
#include "expect.h"

#include <string.h>

#include "chance.h"
#include "coach/travel.h"

static struct job job;
static struct state state;
static struct travel travel;
static struct chance chance;

static void set(const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    if (job_set(&job, "mount", key, value, why) < 0) {
        fail_msg("%s", why);
    }
}

static void begin(const char *azimuth_from)
{
    static struct magnetic_model magnetic;

    job_init(&job);
    set("azimuth_from", azimuth_from);
    set("azimuth_turn", "1.5");
    set("azimuth_sensor_error", "0.05");
    set("elevation_from", "nudges");
    set("elevation_turn", "1.2");
    magnetic_builtin(&magnetic);
    state_init(&state, &job, &magnetic);
    chance.state = 3;
}

static void hear(struct record record)
{
    record.t = state.t;
    state_apply(&state, &record);
    travel_update(&travel, &state, &record);
}

static struct record moved(enum axis axis, double deg)
{
    struct record record = {.kind = RECORD_MOVE};

    record.move.axis = axis;
    record.move.deg = deg;
    record.move.turns = NAN;
    return record;
}

/* The sensor's azimuth goes there, as a hand turns it, and stands there for a while. */
static void turn_to(double from, double to)
{
    for (int i = 0; i < 40; i++) {
        struct record record = {.kind = RECORD_ANGLES};
        double share = fmin(i / 20.0, 1.0);
        state.t += 0.1;
        record.angles.deg[AXIS_AZIMUTH] = from + (to - from) * share + chance_normal(&chance, 0.05);
        record.angles.deg[AXIS_ELEVATION] = record.angles.deg[AXIS_SKEW] = NAN;
        hear(record);
    }
}

/* Where turns are counted, an angle that is typed in between is no turn. */
static void a_reading_moves_no_axis_that_is_counted(void **unused)
{
    struct record read = {.kind = RECORD_ANGLES};

    (void)unused;
    begin("nudges");
    hear(moved(AXIS_ELEVATION, 3.0));
    read.angles.deg[AXIS_ELEVATION] = 35.0;
    read.angles.deg[AXIS_AZIMUTH] = read.angles.deg[AXIS_SKEW] = NAN;
    hear(read);
    expect_near(travel_position(&state, AXIS_ELEVATION), 3.0, 1e-12);
    hear(moved(AXIS_ELEVATION, -0.5));
    expect_near(travel_position(&state, AXIS_ELEVATION), 2.5, 1e-12);
    expect_near(state_stands_deg(&state, AXIS_ELEVATION), 34.5, 1e-12);
}

static const char *says(void)
{
    static struct advice advice;

    advice = (struct advice){.deg = NAN};
    travel_advise(&travel, &state, "%s.", &advice);
    return advice.say;
}

/* It stands at the very place already. */
static void nobody_is_told_to_turn_by_nothing(void **unused)
{
    (void)unused;
    begin("sensor");
    turn_to(100.0, 100.0);
    travel_start(&travel, &state, AXIS_AZIMUTH, travel_position(&state, AXIS_AZIMUTH) + 0.004, 0.0);
    assert_string_equal(says(), "Hold it there.");
    travel_start(&travel, &state, AXIS_AZIMUTH, travel_position(&state, AXIS_AZIMUTH) + 0.5, 0.0);
    assert_string_equal(says(), "Right 0.50°, three eighths of a turn.");
}

static void turns_that_are_told_are_judged(void **unused)
{
    static const struct {
        double deg;
        const char *says;
    } rows[] = {
        {-0.5, "That was the wrong way. Right 3.5°, two and three eighths turns."},
        {6.0, "That was too far. Left 3.0°, two turns."},
        {2.4, "Right 0.60°, three eighths of a turn."}, /* hands err by a fifth */
        {3.6, "Left 0.60°, three eighths of a turn."},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        begin("nudges");
        travel_start(&travel, &state, AXIS_AZIMUTH, 3.0, 0.1);
        hear(moved(AXIS_AZIMUTH, rows[i].deg));
        assert_string_equal(says(), rows[i].says);
    }
    /* made good: nothing is said of it any more */
    begin("nudges");
    travel_start(&travel, &state, AXIS_AZIMUTH, 3.0, 0.1);
    hear(moved(AXIS_AZIMUTH, -1.5));
    hear(moved(AXIS_AZIMUTH, 3.0));
    assert_string_equal(says(), "Right 1.5°, one turn.");
}

static void turns_that_a_sensor_shows_are_judged(void **unused)
{
    (void)unused;
    begin("sensor");
    turn_to(150.0, 150.0);
    travel_start(&travel, &state, AXIS_AZIMUTH, 154.0, 0.1);
    turn_to(150.0, 150.0);
    assert_int_equal(strncmp(says(), "Right ", 6), 0);
    turn_to(150.0, 148.0);
    assert_int_equal(strncmp(says(), "That was the wrong way. Right 6.0°", 34), 0);
    turn_to(148.0, 151.0);
    assert_int_equal(strncmp(says(), "Right 3.0°", 10), 0);
    turn_to(151.0, 157.0);
    assert_int_equal(strncmp(says(), "That was too far. Left 3.0°", 27), 0);
}

static void a_hand_too_fast_for_the_meter_is_slowed(void **unused)
{
    struct advice advice = {.deg = NAN, .move = ADVICE_RIGHT};

    (void)unused;
    begin("sensor");
    travel_start(&travel, &state, AXIS_AZIMUTH, 160.0, 0.1);
    turn_to(150.0, 153.0); /* in 2 s, and then at rest */
    assert_false(travel_say_slower(&travel, &state, 1.0, &advice));
    turn_to(153.0, 153.0);
    for (int i = 0; i < 15; i++) {
        struct record record = {.kind = RECORD_ANGLES};
        state.t += 0.1;
        record.angles.deg[AXIS_AZIMUTH] = 153.0 + 0.2 * i;
        record.angles.deg[AXIS_ELEVATION] = record.angles.deg[AXIS_SKEW] = NAN;
        hear(record);
    }
    assert_false(travel_say_slower(&travel, &state, 1.5, &advice));
    assert_true(travel_say_slower(&travel, &state, 1.0, &advice));
    assert_int_equal(strncmp(advice.say, "Right 4.2°, ", 13), 0);
    assert_non_null(strstr(advice.say, ", more slowly."));
    assert_string_equal(advice.why, "2.0° a second is too fast for this meter, 1.0° will do");
}

static void another_bolt_is_turned_back(void **unused)
{
    struct travel_other other;
    struct advice advice = {.deg = NAN};
    struct record record = moved(AXIS_ELEVATION, -0.6);

    (void)unused;
    begin("nudges");
    travel_other_start(&other, &state, AXIS_AZIMUTH);
    state_apply(&state, &record);
    assert_true(travel_other_update(&other, &state, &record));
    travel_other_advise(&other, &state, &advice);
    assert_string_equal(advice.say, "Up 0.60°, a half turn, back to where it was.");
    assert_non_null(strstr(advice.why, "that was the wrong bolt: the elevation has moved"));
    record = moved(AXIS_ELEVATION, 0.6);
    state_apply(&state, &record);
    assert_false(travel_other_update(&other, &state, &record));
    record = moved(AXIS_AZIMUTH, 0.6);
    state_apply(&state, &record);
    assert_false(travel_other_update(&other, &state, &record));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nobody_is_told_to_turn_by_nothing),
        cmocka_unit_test(a_reading_moves_no_axis_that_is_counted),
        cmocka_unit_test(turns_that_are_told_are_judged),
        cmocka_unit_test(turns_that_a_sensor_shows_are_judged),
        cmocka_unit_test(a_hand_too_fast_for_the_meter_is_slowed),
        cmocka_unit_test(another_bolt_is_turned_back),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
