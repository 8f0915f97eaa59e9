/* A recorded session as a whole: places to go to, and the level over all of it. */
#include "expect.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "session/timeline.h"

static struct timeline timeline;
static struct state state; /* only its filtered level is looked at */

static int set_up(void **unused)
{
    (void)unused;
    timeline_init(&timeline);
    memset(&state, 0, sizeof state);
    return 0;
}

static void enter(double t, int number, const char *name)
{
    struct record step = {
        .t = t, .kind = RECORD_STEP, .step = {.event = STEP_ENTER, .number = number}};

    text_copy(step.step.name, sizeof step.step.name, name);
    timeline_add(&timeline, &state, &step);
}

static void advise(double t, enum advice_move move, double deg)
{
    timeline_add(&timeline, &state,
                 &(struct record){.t = t,
                                  .kind = RECORD_ADVICE,
                                  .advice = {.step = "peak", .move = move, .deg = deg}});
}

static void level(double t, double filtered)
{
    state.level.filter.level = filtered;
    timeline_add(&timeline, &state, &(struct record){.t = t, .kind = RECORD_LEVEL});
}

static double after(enum timeline_kind kind, double t)
{
    const struct timeline_place *place = timeline_after(&timeline, kind, t);

    return place ? place->t : NAN;
}

static double before(enum timeline_kind kind, double t)
{
    const struct timeline_place *place = timeline_before(&timeline, kind, t);

    return place ? place->t : NAN;
}

static double step(const char *name, double t)
{
    const struct timeline_place *place = timeline_step(&timeline, name, t);

    return place ? place->t : NAN;
}

static void neighbours_of_a_moment_are_strictly_beside_it(void **unused)
{
    (void)unused;
    enter(10.0, 1, "sweep azimuth");
    enter(20.0, 2, "identify");
    expect_near(after(TIMELINE_STEP, 0.0), 10.0, 0.0);
    expect_near(after(TIMELINE_STEP, 10.0), 20.0, 0.0);
    expect_near(after(TIMELINE_STEP, 20.0), NAN, 0.0);
    expect_near(before(TIMELINE_STEP, 20.0), 10.0, 0.0);
    expect_near(before(TIMELINE_STEP, 20.1), 20.0, 0.0);
    expect_near(before(TIMELINE_STEP, 10.0), NAN, 0.0);
    expect_near(after(TIMELINE_MARK, 0.0), NAN, 0.0);
}

static void a_step_is_found_by_its_number_its_name_or_a_beginning(void **unused)
{
    (void)unused;
    enter(10.0, 1, "sweep azimuth");
    enter(20.0, 2, "identify again");
    enter(30.0, 3, "identify");
    enter(40.0, 1, "sweep azimuth"); /* sent back */
    expect_near(step("3", 0.0), 30.0, 0.0);
    expect_near(step("1", 0.0), 10.0, 0.0);
    expect_near(step("1", 10.0), 40.0, 0.0);       /* the next of that name */
    expect_near(step("1", 50.0), 10.0, 0.0);       /* else the first */
    expect_near(step("identify", 0.0), 30.0, 0.0); /* a whole name before a beginning */
    expect_near(step("IDENTIFY a", 0.0), 20.0, 0.0);
    expect_near(step("sweep", 0.0), 10.0, 0.0);
    expect_near(step("tighten", 0.0), NAN, 0.0);
    expect_near(step("9", 0.0), NAN, 0.0);
}

static void a_distance_that_counts_down_is_no_new_advice(void **unused)
{
    (void)unused;
    advise(1.0, ADVICE_RIGHT, 2.0);
    advise(2.0, ADVICE_RIGHT, 1.0);
    advise(3.0, ADVICE_LEFT, 1.0);
    advise(4.0, ADVICE_HOLD, NAN);
    advise(5.0, ADVICE_HOLD, NAN);
    expect_near(after(TIMELINE_ADVICE, 0.0), 1.0, 0.0);
    expect_near(after(TIMELINE_ADVICE, 1.0), 3.0, 0.0);
    expect_near(after(TIMELINE_ADVICE, 3.0), 4.0, 0.0);
    expect_near(after(TIMELINE_ADVICE, 4.0), NAN, 0.0);
}

static void a_mark_that_comes_later_stands_in_its_place(void **unused)
{
    (void)unused;
    timeline_add(&timeline, &state,
                 &(struct record){.t = 10.0, .kind = RECORD_NOTE, .note.text = "first"});
    timeline_add(&timeline, &state,
                 &(struct record){.t = 30.0, .kind = RECORD_MARK, .mark.text = "third"});
    timeline_add_mark(&timeline, 20.0, "second");
    assert_int_equal(timeline.place_count, 3);
    assert_string_equal(timeline.places[0].text, "first");
    assert_string_equal(timeline.places[1].text, "second");
    assert_string_equal(timeline.places[2].text, "third");
    expect_near(timeline.end_t, 30.0, 0.0);
}

static void of_a_long_session_only_every_so_many_levels_are_kept(void **unused)
{
    enum { READINGS = 3 * TIMELINE_LEVELS };

    (void)unused;
    for (int i = 0; i < READINGS; i++) {
        level(0.1 * i, 0.001 * i);
    }
    assert_in_range(timeline.level_count, TIMELINE_LEVELS / 2, TIMELINE_LEVELS);
    expect_near(timeline.levels[0].t, 0.0, 0.0);
    for (size_t i = 1; i < timeline.level_count; i++) {
        expect_near(timeline.levels[i].t - timeline.levels[i - 1].t, 0.4, 1e-6);
        expect_near((double)timeline.levels[i].filtered, 0.01 * timeline.levels[i].t, 1e-4);
    }
    expect_near(timeline.levels[timeline.level_count - 1].t, 0.1 * READINGS, 0.5);
}

static void a_source_that_goes_down_leaves_a_gap(void **unused)
{
    (void)unused;
    level(1.0, 5.0);
    timeline_add(&timeline, &state,
                 &(struct record){.t = 2.0, .kind = RECORD_SOURCE, .source.status = SOURCE_DOWN});
    level(3.0, 5.0);
    assert_int_equal(timeline.level_count, 3);
    assert_true(isnan(timeline.levels[1].filtered));
}

static void too_many_places_are_left_out(void **unused)
{
    (void)unused;
    for (int i = 0; i < TIMELINE_PLACES + 10; i++) {
        timeline_add_mark(&timeline, i, "again");
    }
    assert_int_equal(timeline.place_count, TIMELINE_PLACES);
    expect_near(before(TIMELINE_MARK, 1e9), TIMELINE_PLACES - 1, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(neighbours_of_a_moment_are_strictly_beside_it, set_up),
        cmocka_unit_test_setup(a_step_is_found_by_its_number_its_name_or_a_beginning, set_up),
        cmocka_unit_test_setup(a_distance_that_counts_down_is_no_new_advice, set_up),
        cmocka_unit_test_setup(a_mark_that_comes_later_stands_in_its_place, set_up),
        cmocka_unit_test_setup(of_a_long_session_only_every_so_many_levels_are_kept, set_up),
        cmocka_unit_test_setup(a_source_that_goes_down_leaves_a_gap, set_up),
        cmocka_unit_test_setup(too_many_places_are_left_out, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
