/* The operator's own way through a procedure: skip, repeat, back, in every kind of step. */
#include "given.h"

#include <stdio.h>
#include <string.h>

#include "job/procedure_file.h"
#include "tell_coach.h"

static struct job job;
static struct state state;
static struct procedure procedure;
static struct coach coach;

static char left_with[RECORD_TEXT_SIZE]; /* the result of the step that ended last */

static void note(const struct record *made)
{
    if (made->kind == RECORD_STEP && made->step.event == STEP_LEAVE) {
        strcpy(left_with, made->step.result);
    }
}

static void hear(struct record record)
{
    state.t += 0.2;
    record.t = state.t;
    tell_coach(&coach, &state, &record, note);
}

static void show(double azimuth)
{
    struct record angles = {.kind = RECORD_ANGLES}, level = {.kind = RECORD_LEVEL};

    angles.angles.deg[AXIS_AZIMUTH] = azimuth;
    angles.angles.deg[AXIS_ELEVATION] = 30.0;
    angles.angles.deg[AXIS_SKEW] = 0.0;
    hear(angles);
    level.level.value = 1.0;
    level.level.unit = LEVEL_DB;
    hear(level);
}

static void say(enum record_step_event event)
{
    struct record record = {.kind = RECORD_STEP, .step.event = event};

    hear(record);
}

static void begin(const char *name)
{
    job_init(&job);
    given_hut(&job);
    given_job(&job, "target", "id", "WREN");
    given_dish(&job);
    given_job(&job, "mount", "azimuth_from", "sensor");
    given_job(&job, "mount", "elevation_from", "sensor");
    given_job(&job, "mount", "skew_from", "sensor");
    given_job(&job, "meter finder", "unit", "dB");
    assert_int_equal(procedure_builtin(name, &procedure), 0);
    begin_coach(&coach, &state, &job, &procedure);
    show(140.0);
}

static const char *at(void)
{
    return procedure.steps[coach.at].name;
}

/* From step to step by skip alone: each kind can be repeated, and says again what it asks. */
static void each_step_can_be_repeated_and_skipped(void **unused)
{
    int steps = 1;

    (void)unused;
    begin("linear");
    while (!coach.finished) {
        size_t here = coach.at;
        double t = state.advice_t;
        show(140.0);
        say(STEP_REPEAT);
        assert_int_equal(coach.at, here);
        assert_true(state.advice_t > t);
        assert_true(state.advice.say[0] != '\0');
        assert_string_equal(state.advice.step, at());
        say(STEP_SKIP);
        assert_true(coach.finished || coach.at > here);
        steps += !coach.finished;
    }
    /* all but those that nothing is to be done in: position, null skew, close */
    assert_int_equal(steps, (int)procedure.step_count - 3);
}

static void skip_to(const char *name)
{
    while (strcmp(at(), name) != 0) {
        say(STEP_SKIP);
    }
}

/* Going back leads through every step before, also those that would be done at once. */
static void each_step_can_be_gone_back_to(void **unused)
{
    (void)unused;
    begin("linear");
    skip_to("measure");
    while (coach.at > 0) {
        size_t here = coach.at;
        show(140.0);
        show(140.0);
        assert_int_equal(coach.at, here);
        say(STEP_BACK);
        assert_int_equal(coach.at, here - 1);
    }
    say(STEP_BACK);
    assert_int_equal(coach.at, 0);
    assert_string_equal(state.advice.step, "transmitter");
}

/* It says that nothing is left to do, and what the step has come to; done goes on. */
static void a_step_that_is_done_already_waits_for_a_word(void **unused)
{
    (void)unused;
    begin("linear");
    skip_to("identify again");
    say(STEP_BACK);
    assert_string_equal(at(), "null skew");
    assert_non_null(strstr(state.advice.say, "Nothing is left to do here."));
    assert_non_null(strstr(state.advice.why, "skew stays where it stands"));
    show(140.0);
    assert_string_equal(at(), "null skew");
    say(STEP_DONE);
    assert_string_equal(at(), "identify again");
    /* where something was to be done it goes on by itself again */
    say(STEP_BACK);
    say(STEP_BACK);
    say(STEP_BACK);
    say(STEP_BACK);
    say(STEP_BACK);
    say(STEP_BACK);
    assert_string_equal(at(), "set azimuth");
    assert_int_equal(state.advice.move, ADVICE_RIGHT);
    for (int i = 0; i < 30; i++) {
        show(163.3);
    }
    assert_string_equal(at(), "sweep azimuth");
}

static void a_question_that_was_gone_back_to_is_answered_once(void **unused)
{
    (void)unused;
    begin("linear");
    say(STEP_DONE);
    say(STEP_DONE);
    say(STEP_BACK);
    assert_int_equal(coach.at, 1);
    say(STEP_DONE);
    assert_int_equal(coach.at, 2);
}

/* It stands where it should: no hand is told to turn it by a hair before that is seen. */
static void an_angle_that_is_set_already_can_be_gone_back_to(void **unused)
{
    (void)unused;
    begin("linear");
    skip_to("sweep azimuth");
    for (int i = 0; i < 30; i++) {
        show(163.3);
    }
    say(STEP_BACK);
    for (int i = 0; i < 30; i++) {
        show(163.3);
        assert_string_equal(at(), "set azimuth");
    }
    assert_non_null(strstr(state.advice.say, "Nothing is left to do here."));
    assert_string_equal(state.advice.why, "azimuth set to 163.30°");
}

/* Where turns are counted nothing is seen of a set: it is the operator's word, or what was read. */
static void what_a_counted_axis_was_set_to_is_as_it_was_told(void **unused)
{
    struct record read = {.kind = RECORD_ANGLES};

    (void)unused;
    read.angles.deg[AXIS_ELEVATION] = 33.0;
    read.angles.deg[AXIS_AZIMUTH] = read.angles.deg[AXIS_SKEW] = NAN;
    begin("linear");
    given_job(&job, "mount", "elevation_from", "nudges");
    skip_to("set elevation");
    say(STEP_DONE);
    assert_non_null(strstr(left_with, "elevation set to 35.10° by the operator's word"));
    say(STEP_BACK);
    assert_string_equal(at(), "set elevation");
    hear(read);
    say(STEP_DONE);
    assert_string_equal(left_with, "elevation set to 33.00°");
}

/* The receiver named the target, but names nothing any more: now the operator's word counts. */
static void where_something_is_left_after_all_done_is_its_own_again(void **unused)
{
    struct record lock = {.kind = RECORD_LOCK,
                          .lock = {.locked = true, .id = "Wren"}}; /* the job has WREN */

    (void)unused;
    begin("linear");
    skip_to("identify again");
    for (int i = 0; i < 200 && strcmp(at(), "identify again") == 0; i++) {
        hear(lock);
        show(163.3);
    }
    say(STEP_BACK);
    for (int i = 0; i < 100; i++) {
        hear(lock);
        show(163.3);
    }
    assert_string_equal(at(), "identify again");
    assert_non_null(strstr(state.advice.say, "Nothing is left to do here."));
    lock.lock = (struct record_lock){.locked = false};
    hear(lock);
    for (int i = 0; i < 200 && !strstr(state.advice.say, "Is this"); i++) {
        show(163.3);
    }
    assert_non_null(strstr(state.advice.say, "Is this"));
    say(STEP_DONE);
    assert_string_not_equal(at(), "identify again");
}

/* While the receiver is looked at nothing was asked: then back is back. */
static void back_is_an_answer_only_to_a_question(void **unused)
{
    (void)unused;
    begin("linear");
    skip_to("identify again");
    assert_int_equal(state.advice.until, UNTIL_DWELL);
    say(STEP_BACK);
    assert_string_equal(at(), "null skew");
    say(STEP_DONE);
    for (int i = 0; i < 200 && state.advice.until != UNTIL_ANSWER; i++) {
        show(140.0);
    }
    assert_non_null(strstr(state.advice.say, "Is this"));
    say(STEP_BACK);
    assert_string_equal(at(), "sweep azimuth");
}

/* A compass that was 5 degrees off when the target was known is so the next time. */
static void once_the_target_is_known_its_azimuth_is_trusted(void **unused)
{
    (void)unused;
    begin("linear");
    skip_to("identify again");
    for (int i = 0; i < 200 && state.advice.until != UNTIL_ANSWER; i++) {
        show(168.3);
    }
    say(STEP_DONE);
    while (strcmp(at(), "set azimuth") != 0) {
        say(STEP_BACK);
    }
    for (int i = 0; i < 10; i++) {
        show(160.0);
    }
    assert_int_equal(state.advice.move, ADVICE_RIGHT);
    /* the target's azimuth from 46.6 N 10.1 E to 22.4 E is 163.28 */
    expect_near(state.advice.deg, 168.28 - 160.0, 0.05);
}

/* Enter after "see to it" is no word that a carrier was found, or that the axis is peaked. */
static void done_where_nothing_was_found_begins_anew(void **unused)
{
    (void)unused;
    begin("linear");
    skip_to("sweep azimuth");
    coach.sweep.phase = SWEEP_LOST;
    say(STEP_DONE);
    assert_string_equal(at(), "set elevation");

    begin("repeak");
    skip_to("peak azimuth");
    coach.peak.phase = PEAK_LOST;
    say(STEP_DONE);
    assert_string_equal(at(), "peak azimuth");
    assert_int_equal(coach.peak.phase, PEAK_RUNUP);
}

/* The receiver names another satellite, and nothing here searches: a word does not make it right.
 */
static void done_does_not_make_another_satellite_the_target(void **unused)
{
    struct record lock = {.kind = RECORD_LOCK, .lock = {.locked = true, .id = "FINCH"}};

    (void)unused;
    begin("repeak");
    given_job(&job, "neighbour Finch 2", "longitude", "20E");
    given_job(&job, "neighbour Finch 2", "id", "FINCH");
    skip_to("identify");
    hear(lock);
    for (int i = 0; i < 100; i++) {
        show(140.0);
    }
    assert_non_null(strstr(state.advice.say, "This is not where"));
    assert_string_equal(state.advice.why,
                        "not the target: the receiver names FINCH, that is Finch 2");
    say(STEP_DONE);
    assert_string_equal(at(), "identify");
    assert_false(coach.learned.sure);
    say(STEP_SKIP);
    assert_string_equal(at(), "tighten");
}

/* A wall of 50 degrees before a satellite that stands at 35. */
static void what_the_skyline_hides_is_said_before_it_is_looked_for(void **unused)
{
    (void)unused;
    begin("linear");
    given_job(&job, "skyline", "point", "150 50");
    given_job(&job, "skyline", "point", "180 50");
    skip_to("local rules");
    say(STEP_SKIP);
    assert_string_equal(at(), "set elevation");
    say(STEP_BACK);
    assert_non_null(
        strstr(state.advice.why, "by the job's skyline it is hidden there, up to 50.0°"));
    skip_to("sweep azimuth");
    coach.sweep.phase = SWEEP_LOST;
    show(140.0);
    assert_non_null(strstr(state.advice.why, "look at the path first"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_step_can_be_repeated_and_skipped),
        cmocka_unit_test(each_step_can_be_gone_back_to),
        cmocka_unit_test(what_a_counted_axis_was_set_to_is_as_it_was_told),
        cmocka_unit_test(a_step_that_is_done_already_waits_for_a_word),
        cmocka_unit_test(done_where_nothing_was_found_begins_anew),
        cmocka_unit_test(done_does_not_make_another_satellite_the_target),
        cmocka_unit_test(what_the_skyline_hides_is_said_before_it_is_looked_for),
        cmocka_unit_test(once_the_target_is_known_its_azimuth_is_trusted),
        cmocka_unit_test(a_question_that_was_gone_back_to_is_answered_once),
        cmocka_unit_test(an_angle_that_is_set_already_can_be_gone_back_to),
        cmocka_unit_test(where_something_is_left_after_all_done_is_its_own_again),
        cmocka_unit_test(back_is_an_answer_only_to_a_question),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
