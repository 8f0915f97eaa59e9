/* A session as sentences: each said once, when something has changed. */
#include "expect.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "sky/magnetic.h"
#include "view/tell.h"

struct stage {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct face_scene scene;
    struct tell tell;
    char said[4096]; /* sentences, a line each */
};

static void hear(void *to, const char *sentence)
{
    struct stage *stage = to;

    text_append(stage->said, sizeof stage->said, "%s\n", sentence);
}

static int set_up(void **ret_stage)
{
    struct stage *stage = calloc(1, sizeof *stage);

    job_init(&stage->job);
    magnetic_builtin(&stage->magnetic);
    state_init(&stage->state, &stage->job, &stage->magnetic);
    stage->scene = (struct face_scene){
        .state = &stage->state, .procedure = &stage->procedure, .title = "peak", .log_path = ""};
    tell_init(&stage->tell, hear, stage);
    *ret_stage = stage;
    return 0;
}

static int tear_down(void **stage)
{
    free(*stage);
    return 0;
}

/* What is said of a record. */
static const char *said_of(struct stage *stage, const struct record *record)
{
    stage->said[0] = '\0';
    state_apply(&stage->state, record);
    tell_record(&stage->tell, &stage->scene, record);
    return stage->said;
}

static struct record make_advice(double t, const char *say, double deg)
{
    struct record record = {.t = t, .kind = RECORD_ADVICE};

    record.advice.axis = AXIS_AZIMUTH;
    record.advice.move = ADVICE_RIGHT;
    record.advice.deg = deg;
    text_copy(record.advice.say, sizeof record.advice.say, say);
    return record;
}

static void advice_comes_with_its_grounds(void **state)
{
    struct record record = make_advice(1.0, "Right 0.46\u00b0.", 0.46);

    text_copy(record.advice.why, sizeof record.advice.why, "lobe fit");
    assert_string_equal(said_of(*state, &record), "Right 0.46\u00b0.\nWhy: lobe fit.\n");
    assert_string_equal(said_of(*state, &record), "");
    record.t = 4.0;
    text_copy(record.advice.say, sizeof record.advice.say, "Right 0.2\u00b0.");
    assert_string_equal(said_of(*state, &record), "Right 0.2\u00b0.\n");
}

static void a_count_down_is_not_chatter(void **state)
{
    struct record a = make_advice(1.0, "Right 2\u00b0.", 2.0);
    struct record b = make_advice(1.5, "Right 1.5\u00b0.", 1.5);
    struct record c = make_advice(2.0, "Right 1\u00b0.", 1.0);
    struct record later = {.t = 3.1, .kind = RECORD_UTC};
    struct record hold = make_advice(3.2, "Hold still.", NAN);

    hold.advice.move = ADVICE_HOLD;
    assert_string_equal(said_of(*state, &a), "Right 2\u00b0.\n");
    assert_string_equal(said_of(*state, &b), "");
    assert_string_equal(said_of(*state, &c), "");
    assert_string_equal(said_of(*state, &later), "Right 1\u00b0.\n");
    assert_string_equal(said_of(*state, &hold), "Hold still.\n");
}

static void steps_are_counted(void **state)
{
    struct record record = {
        .kind = RECORD_STEP,
        .step = {.event = STEP_ENTER, .name = "position", .number = 3, .count = 15}};

    assert_string_equal(said_of(*state, &record), "Step 3 of 15: position.\n");
    record.step.event = STEP_LEAVE;
    text_copy(record.step.result, sizeof record.step.result, "within 4 m");
    assert_string_equal(said_of(*state, &record), "End of position: within 4 m.\n");
    record.step = (struct record_step){.event = STEP_DONE};
    assert_string_equal(said_of(*state, &record), "");
}

static struct record make_source(enum record_source_status status, unsigned bad, const char *why)
{
    struct record record = {.kind = RECORD_SOURCE};

    text_copy(record.source.name, sizeof record.source.name, "finder");
    record.source.status = status;
    record.source.bad = bad;
    text_copy(record.source.why, sizeof record.source.why, why);
    return record;
}

static void who_practises_hears_that_no_hands_are_needed(void **state)
{
    struct record push = make_advice(1.0, "Push the right edge.", NAN);
    struct record pull = make_advice(4.0, "Pull the right edge.", NAN);
    struct stage *stage = *state;

    push.advice.move = ADVICE_PUSH;
    pull.advice.move = ADVICE_PULL;
    assert_string_equal(said_of(stage, &push), "Push the right edge.\n");
    stage->scene.mount_is_simulated = true;
    assert_string_equal(said_of(stage, &pull),
                        "Pull the right edge.\nThe simulation pushes and pulls by itself.\n");
    push.t = 7.0;
    assert_string_equal(said_of(stage, &push), "Push the right edge.\n");
}

static void a_source_is_heard_of_when_it_changes(void **state)
{
    static const struct {
        enum record_source_status status;
        unsigned bad;
        const char *why, *want;
    } rows[] = {
        {SOURCE_UP, 0, "", "Source finder is up.\n"},
        {SOURCE_UP, 0, "", ""},
        {SOURCE_BAD, 1, "no number", "Source finder: 1 line refused so far: no number.\n"},
        {SOURCE_BAD, 1, "no number", ""},
        {SOURCE_BAD, 2, "no number", "Source finder: 2 lines refused so far: no number.\n"},
        {SOURCE_BAD, 3, "no number", ""},
        {SOURCE_BAD, 400, "no number", "Source finder: 400 lines refused so far: no number.\n"},
        {SOURCE_DOWN, 400, "unplugged", "Source finder is down: unplugged.\n"},
        {SOURCE_UP, 400, "", "Source finder is up.\n"},
        {SOURCE_SILENT, 400, "nothing for 5 s", "Source finder is silent: nothing for 5 s.\n"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct record record = make_source(rows[i].status, rows[i].bad, rows[i].why);
        assert_string_equal(said_of(*state, &record), rows[i].want);
    }
}

static void lock_is_heard_of_when_it_changes(void **state)
{
    struct record record = {.kind = RECORD_LOCK};

    assert_string_equal(said_of(*state, &record), "");
    record.lock.locked = true;
    assert_string_equal(said_of(*state, &record), "Locked.\n");
    assert_string_equal(said_of(*state, &record), "");
    text_copy(record.lock.id, sizeof record.lock.id, "PTARMIGAN");
    assert_string_equal(said_of(*state, &record), "Locked on PTARMIGAN.\n");
    record.lock = (struct record_lock){.locked = false};
    assert_string_equal(said_of(*state, &record), "Lock lost.\n");
}

static void the_best_level_is_told_in_steps(void **state)
{
    struct stage *stage = *state;
    struct record record = {.kind = RECORD_LEVEL};

    for (int i = 0; i < 10; i++) {
        record.t = 0.1 * i;
        record.level.value = 8.0;
        said_of(stage, &record);
    }
    stage->state.level.best = 8.0;
    record.t = 10.0;
    assert_string_equal(said_of(stage, &record), "");
    stage->state.level.best = 8.4;
    record.t = 10.1;
    assert_string_equal(said_of(stage, &record), "");
    stage->state.level.best = 9.0;
    record.t = 10.2;
    assert_string_equal(said_of(stage, &record), "Best so far 9.0 dB (filtered).\n");
    stage->state.level.best = 10.0;
    record.t = 10.3;
    assert_string_equal(said_of(stage, &record), "");
    record.t = 13.0;
    assert_string_equal(said_of(stage, &record), "Best so far 10.0 dB (filtered).\n");
}

static void what_the_operator_said_is_said_back(void **state)
{
    struct stage *stage = *state;
    struct record move = {.kind = RECORD_MOVE,
                          .move = {.axis = AXIS_AZIMUTH, .deg = NAN, .turns = -1.25}};
    struct record angle = {.kind = RECORD_ANGLES,
                           .angles = {.deg = {NAN, 13.2, NAN}, .scale = true, .from = "scale"}};
    struct record note = {.kind = RECORD_NOTE, .note.text = "nut was loose"};
    struct record mark = {.kind = RECORD_MARK};

    assert_string_equal(said_of(stage, &move), "Moved left 1 1/4 turns.\n");
    move.move = (struct record_move){.axis = AXIS_ELEVATION, .deg = 0.2, .turns = NAN};
    assert_string_equal(said_of(stage, &move), "Moved up 0.20\u00b0.\n");
    assert_string_equal(said_of(stage, &angle), "Read elevation 13.20\u00b0 on the scale.\n");
    stage->job.mount.axes[AXIS_ELEVATION].scale_zero_deg = -22.0;
    assert_string_equal(said_of(stage, &angle),
                        "Read elevation 13.20\u00b0 on the scale, true 35.20\u00b0.\n");
    assert_string_equal(said_of(stage, &note), "Note: nut was loose.\n");
    assert_string_equal(said_of(stage, &mark), "Mark.\n");
}

static void the_position_gives_the_target(void **state)
{
    struct stage *stage = *state;
    struct record fix = {.kind = RECORD_FIX,
                         .fix = {.lat_deg = 46.6,
                                 .lon_deg = 10.1,
                                 .height_m = 2200.0,
                                 .error_m = 3.2,
                                 .mode = 3,
                                 .satellites = 9}};
    const char *said;

    stage->job.target.given = true;
    text_copy(stage->job.target.satellite.name, JOB_NAME_SIZE, "Ptarmigan 1");
    stage->job.target.satellite.lon_deg = 10.1; /* due south */
    stage->job.target.polarisation = POLARISATION_V;
    /* a spherical earth due south: atan((cos 46.6 - 6378 / 42164) / sin 46.6) = 36.4 */
    said = said_of(stage, &fix);
    assert_non_null(strstr(said, "Position found: 46.60000, 10.10000, within 4 m.\n"));
    assert_non_null(strstr(said, "Ptarmigan 1: azimuth 180.00\u00b0, elevation 36.4"));
    assert_string_equal(said_of(stage, &fix), "");
    fix.fix.mode = 1;
    assert_string_equal(said_of(stage, &fix), "The position is lost.\n");
}

static void the_log_is_named_first(void **state)
{
    struct stage *stage = *state;
    struct record mark = {.kind = RECORD_MARK};

    stage->scene.log_path = "hut.log";
    assert_string_equal(said_of(stage, &mark), "Recording to hut.log.\nMark.\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(advice_comes_with_its_grounds, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_count_down_is_not_chatter, set_up, tear_down),
        cmocka_unit_test_setup_teardown(steps_are_counted, set_up, tear_down),
        cmocka_unit_test_setup_teardown(who_practises_hears_that_no_hands_are_needed, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(a_source_is_heard_of_when_it_changes, set_up, tear_down),
        cmocka_unit_test_setup_teardown(lock_is_heard_of_when_it_changes, set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_best_level_is_told_in_steps, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_the_operator_said_is_said_back, set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_position_gives_the_target, set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_log_is_named_first, set_up, tear_down),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
