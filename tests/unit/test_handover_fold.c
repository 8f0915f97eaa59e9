/* A record filled from a session's lines: what was measured, and above all what was not. */
#include "expect.h"

#include "handover_stage.h"

/* --- nothing -----------------------------------------------------------------------------------
 */

static void nothing_measured_looks_measured(void **unused)
{
    const struct handover *h = record_of(0);

    (void)unused;
    assert_false(h->finished);
    assert_int_equal(h->site.origin, HANDOVER_UNKNOWN);
    assert_int_equal(h->isolation.origin, HANDOVER_UNKNOWN);
    assert_int_equal(h->link.origin, HANDOVER_UNKNOWN);
    assert_int_equal(h->speed.origin, HANDOVER_UNKNOWN);
    assert_false(h->level.known || h->level.measured || h->identity.sure || h->score.known);
    assert_true(isnan(h->level.final) && isnan(h->level.best) && isnan(h->level.below_best));
    assert_true(isnan(h->bias_deg) && isnan(h->begun_utc_s) && isnan(h->isolation.db));
    for (int i = 0; i < AXIS_COUNT; i++) {
        assert_true(isnan(h->axes[i].computed_deg) && isnan(h->axes[i].found_deg));
        assert_int_equal(h->axes[i].found_by, HANDOVER_UNKNOWN);
        assert_false(h->axes[i].lobe.known);
    }
    assert_int_equal(handover_judge_count(h, HANDOVER_MET), 0);
    expect_near(h->level.expected, 13.0, 0.0);
}

/* --- the steps ---------------------------------------------------------------------------------
 */

static void a_step_ends_as_it_was_ended(void **unused)
{
    static const struct {
        enum record_step_event said;
        enum handover_ending want;
    } rows[] = {
        {STEP_DONE, HANDOVER_CONFIRMED},
        {STEP_SKIP, HANDOVER_SKIPPED},
        {STEP_REPEAT, HANDOVER_OPEN},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct handover *h;
        tear_down(unused);
        set_up(unused);
        live.t = 2.5;
        say(rows[i].said);
        h = record_of(live.count);
        assert_int_equal(h->steps[0].ending, rows[i].want);
        assert_int_equal(h->steps[0].visits, rows[i].said == STEP_REPEAT ? 2 : 1);
        expect_near(h->steps[0].ended_t, rows[i].said == STEP_REPEAT ? (double)NAN : 2.5, 0.0);
        assert_int_equal(h->steps[3].ending, HANDOVER_NEVER);
    }
}

static void going_back_opens_what_came_after(void **unused)
{
    const struct handover *h;

    (void)unused;
    say(STEP_DONE);
    hear_fix(2200.0, 3);
    say(STEP_BACK); /* from measure to position, where nothing is left to do */
    say(STEP_DONE); /* and to measure again */
    h = record_of(live.count);
    assert_int_equal(h->steps[1].ending, HANDOVER_DONE);
    assert_int_equal(h->steps[1].visits, 2);
    assert_int_equal(h->steps[2].ending, HANDOVER_OPEN);
    assert_int_equal(h->steps[2].visits, 2);
}

static void what_came_before_the_clock_is_dated_by_it(void **unused)
{
    const struct handover *h;

    (void)unused;
    live.t = 10.0;
    say(STEP_DONE);
    live.t = 12.0;
    hear((struct record){.kind = RECORD_UTC, .utc = {1000000012.0}});
    hear_note("loose nut");
    h = record_of(live.count);
    expect_near(h->begun_utc_s, 1e9, 0.0);
    expect_near(h->steps[0].ended_utc_s, 1e9 + 10.0, 0.0);
    expect_near(h->notes[0].utc_s, 1e9 + 12.0, 0.0);
}

/* --- position and angles -----------------------------------------------------------------------
 */

static void a_position_says_who_fixed_it(void **unused)
{
    (void)unused;
    say(STEP_DONE);
    hear_fix(NAN, 1);
    assert_int_equal(record_of(live.count)->site.origin, HANDOVER_UNKNOWN);
    hear_fix(NAN, 2);
    assert_int_equal(record_of(live.count)->site.origin, HANDOVER_MEASURED);
    assert_true(isnan(handover.site.height_m)); /* 0 was taken, but not measured */
    hear_fix(2200.0, 3);
    expect_near(record_of(live.count)->site.height_m, 2200.0, 0.0);
    assert_int_equal(handover.site.fixes, 2);
    assert_int_equal(handover.site.fix.satellites, 9);
}

static void a_position_of_the_job_stays_one(void **unused)
{
    (void)unused;
    set_job("site", "lat", "46.5");
    set_job("site", "lon", "10.0");
    say(STEP_DONE);
    hear_fix(2200.0, 3);
    assert_int_equal(record_of(live.count)->site.origin, HANDOVER_GIVEN);
    expect_near(handover.site.lat_deg, 46.5, 0.0);
    expect_near(handover.site.fix.lat_deg, 46.6, 0.0); /* the receiver's is told beside it */
}

static void an_angle_says_what_told_it(void **unused)
{
    (void)unused;
    set_job("mount", "azimuth_from", "scale");
    set_job("mount", "azimuth_scale_zero", "5");
    set_job("mount", "azimuth_turn", "2");
    hear_angle(AXIS_AZIMUTH, 168.0, true);
    hear_angle(AXIS_ELEVATION, 35.0, false);
    assert_int_equal(record_of(live.count)->axes[AXIS_AZIMUTH].found_by, HANDOVER_READ);
    expect_near(handover.axes[AXIS_AZIMUTH].found_deg, 163.0, 1e-9);
    expect_near(handover.axes[AXIS_AZIMUTH].found_scale_deg, 168.0, 1e-9);
    assert_int_equal(handover.axes[AXIS_ELEVATION].found_by, HANDOVER_MEASURED);
    assert_int_equal(handover.axes[AXIS_SKEW].found_by, HANDOVER_UNKNOWN);
    hear((struct record){.kind = RECORD_MOVE, .move = {AXIS_AZIMUTH, NAN, -0.25}});
    assert_int_equal(record_of(live.count)->axes[AXIS_AZIMUTH].found_by, HANDOVER_COUNTED);
    expect_near(handover.axes[AXIS_AZIMUTH].found_deg, 162.5, 1e-9);
}

/* --- the level ---------------------------------------------------------------------------------
 */

static void to_measure(void)
{
    say(STEP_DONE);
    hear_fix(2200.0, 3);
}

static void a_level_is_measured_by_the_step_that_does(void **unused)
{
    const struct handover *h;

    (void)unused;
    hear_level(12.0); /* a level, but of what? */
    assert_true(record_of(live.count)->level.known);
    assert_false(handover.level.measured);
    to_measure();
    hear_angle(AXIS_ELEVATION, 34.0, false);
    hear_angle(AXIS_ELEVATION, 36.0, false);
    measure();
    h = record_of(live.count);
    assert_true(h->finished && h->level.measured);
    /* the first ten, in five seconds: without the two lowest and the two highest the mean of six */
    assert_int_equal(h->level.final_readings, 10);
    expect_near(h->level.final, (10.2 + 10.3 + 10.4 + 10.5 + 10.6 + 10.8) / 6.0, 1e-9);
    expect_near(h->level.final_t, 5.0, 0.0);
    expect_near(h->level.below_expected, 13.0 - h->level.final, 1e-9);
    expect_near(h->axes[AXIS_ELEVATION].found_deg, 35.0, 1e-9); /* the mean meanwhile */
    expect_near(h->link.esn0_db, h->level.final, 0.0);
}

static void a_level_by_word_is_not_measured(void **unused)
{
    (void)unused;
    to_measure();
    hear_level(12.0);
    say(STEP_SKIP);
    assert_false(record_of(live.count)->level.measured);
    assert_true(isnan(handover.level.final));
    expect_near(handover.level.last, 12.0, 0.0);
    assert_int_equal(handover.steps[2].ending, HANDOVER_SKIPPED);
    assert_int_equal(handover.checks[2].verdict, HANDOVER_NOT_MEASURED);
    assert_int_equal(handover.link.origin, HANDOVER_UNKNOWN);
}

/* Bolts that are turned after the level was measured make it a level of before. */
static void a_level_of_before_is_not_the_final_one(void **unused)
{
    (void)unused;
    procedure_init(&live.procedure, "turned round");
    add_step("position", "fix", NULL, NULL);
    add_step("measure", "measure", "dwell", "5");
    add_step("tighten", "tighten", "limit", "0.2");
    add_step("close", "record", NULL, NULL);
    hear_fix(2200.0, 3);
    measure();
    assert_int_equal(live.state.step.number, 3);
    assert_false(record_of(live.count)->level.measured);
    assert_true(isnan(handover.level.final));
}

static void the_best_counts_from_the_search_on(void **unused)
{
    (void)unused;
    procedure_init(&live.procedure, "search");
    add_step("position", "fix", NULL, NULL);
    add_step("sweep", "sweep", "axis", "azimuth");
    add_step("measure", "measure", "dwell", "5");
    add_step("close", "record", NULL, NULL);
    set_job("mount", "azimuth_from", "sensor");
    for (int i = 0; i < 12; i++) {
        live.t += 0.5;
        hear_level(20.0 + 0.01 * (i % 2)); /* another satellite's */
    }
    hear_fix(2200.0, 3);
    assert_true(isnan(record_of(live.count)->level.best));
    say(STEP_SKIP);
    live.t += 5.0; /* after so long a break the filter begins anew */
    measure();
    assert_true(record_of(live.count)->level.best < 12.0);
    assert_true(live.state.level.best > 19.0); /* the coach's own is of the whole session */
}

/* Nearer to the top under a hand: there it does not stay. */
static void a_push_makes_no_best(void **unused)
{
    int pulls = 0;

    (void)unused;
    procedure_init(&live.procedure, "bolts");
    add_step("position", "fix", NULL, NULL);
    add_step("tighten", "tighten", NULL, NULL);
    add_step("measure", "measure", "dwell", "5");
    set_job("mount", "azimuth_from", "nudges");
    set_job("antenna", "beam_width", "2.4");
    set_job("antenna", "beam_height", "2.4");
    hear_fix(2200.0, 3);
    for (int i = 0; i < 400 && live.state.step.number < 3; i++) {
        enum advice_move move = live.state.advice.move;
        pulls += move == ADVICE_PULL;
        live.t += 0.5;
        hear_level((move == ADVICE_PULL   ? 13.0
                    : move == ADVICE_PUSH ? 11.0
                                          : 12.0) +
                   0.05 * (i % 2));
        if (live.state.advice.until == UNTIL_ANSWER) {
            say(STEP_DONE);
        }
    }
    assert_true(pulls > 4);
    expect_near(record_of(live.count)->level.best, 12.0, 0.1);
}

/* --- lines cut off -----------------------------------------------------------------------------
 */

/* The line with which a step was left. */
static size_t line_that_leaves(int number)
{
    for (size_t i = 0; i < live.count; i++) {
        const struct record *line = &live.lines[i];
        if (line->kind == RECORD_STEP && line->step.event == STEP_LEAVE &&
            line->step.number == number) {
            return i;
        }
    }
    fail_msg("step %d was never left", number);
    return 0;
}

static void a_log_cut_anywhere_says_no_more_than_it_holds(void **unused)
{
    size_t measured, closed;

    (void)unused;
    to_measure();
    hear_note("wind");
    measure();
    measured = line_that_leaves(3);
    closed = line_that_leaves(4);
    for (size_t count = 0; count <= live.count; count++) {
        const struct handover *h = record_of(count);
        assert_int_equal(h->log.records, count);
        assert_int_equal(h->log.differs, 0);
        assert_int_equal(h->steps[2].ending == HANDOVER_DONE, count > measured);
        assert_int_equal(h->finished, count > closed);
        assert_int_equal(handover_judge_count(h, HANDOVER_MET) == 4, count > closed);
        expect_near(h->duration_s, count > 0 ? live.lines[count - 1].t : 0.0, 0.0);
    }
}

static void advice_that_would_be_another_is_counted(void **unused)
{
    size_t advice = 0;

    (void)unused;
    to_measure();
    measure();
    while (live.lines[advice].kind != RECORD_ADVICE) {
        advice++;
    }
    text_copy(live.lines[advice].advice.say, RECORD_TEXT_SIZE, "Jump.");
    assert_int_equal(record_of(live.count)->log.differs, 1);
    assert_true(handover.level.measured);
    memmove(&live.lines[advice], &live.lines[advice + 1],
            (live.count - advice - 1) * sizeof *live.lines);
    assert_int_equal(record_of(live.count - 1)->log.differs, 1); /* it is missing */
}

/* --- notes, faults, scores ---------------------------------------------------------------------
 */

static void keep_step(enum record_step_event event, int number)
{
    struct record record = {.t = live.t, .kind = RECORD_STEP, .step = {.event = event}};

    record.step.number = number;
    record.step.count = 4;
    text_copy(record.step.name, sizeof record.step.name, live.procedure.steps[number - 1].name);
    keep(&record);
}

/* A coach of another version was further on by then: what it measured is measured all the same. */
static void a_level_stays_measured_whatever_this_coach_would_have_done(void **unused)
{
    (void)unused;
    begin();
    keep_step(STEP_ENTER, 3);
    for (int i = 0; i < 10; i++) {
        struct record level = {.kind = RECORD_LEVEL, .level = {10.0, LEVEL_DB, "finder"}};
        live.t += 0.5;
        level.t = live.t;
        level.level.value += 0.1 * i;
        keep(&level);
    }
    keep_step(STEP_LEAVE, 3);
    assert_true(record_of(live.count)->log.differs > 0);
    assert_true(handover.level.measured);
    expect_near(handover.level.final, 10.45, 1e-9);
    assert_int_equal(handover.steps[0].ending, HANDOVER_NEVER);
    assert_int_equal(handover.checks[0].verdict, HANDOVER_NOT_MET); /* the caution */
}

static void only_the_newest_notes_and_faults_are_kept(void **unused)
{
    (void)unused;
    for (int i = 0; i < HANDOVER_NOTES + 5; i++) {
        char text[16];
        snprintf(text, sizeof text, "note %d", i);
        hear_note(text);
    }
    for (int i = 0; i < HANDOVER_FAULTS + 2; i++) {
        hear((struct record){
            .kind = RECORD_SOURCE,
            .source = {"finder", i % 2 ? SOURCE_UP : SOURCE_DOWN, (unsigned)i, "unplugged"}});
    }
    record_of(live.count);
    assert_int_equal(handover.note_count, HANDOVER_NOTES);
    assert_int_equal(handover.notes_lost, 5);
    assert_string_equal(handover.notes[0].text, "note 5");
    assert_int_equal(handover.fault_count, (HANDOVER_FAULTS + 2) / 2);
    assert_int_equal(handover.refused, HANDOVER_FAULTS + 1);
}

static void a_score_is_that_of_a_practice_or_a_quiz(void **unused)
{
    static const struct {
        const char *source, *notes[2];
        enum handover_kind kind;
        double points; /* NaN = none */
        int sentences;
    } rows[] = {
        {"keys", {"score: Score: 82 of 100.", "wind"}, HANDOVER_INSTALL, NAN, 0},
        {"sim:hut", {"score: On it.", "score: Score: 82 of 100."}, HANDOVER_PRACTICE, 82.0, 2},
        {"keys", {"quiz: peak: right", "quiz: Score: 7 of 100: 1"}, HANDOVER_QUIZ, 7.0, 2},
        {"keys", {"wind", "quiz: Score: 7 of 100"}, HANDOVER_INSTALL, NAN, 0},
        {"sim:hut", {"wind", "rain"}, HANDOVER_PRACTICE, NAN, 0},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        tear_down(unused);
        set_up(unused);
        set_job("source one", "address", rows[i].source);
        begin();
        for (int n = 0; n < 2; n++) {
            struct record note = {.kind = RECORD_NOTE};
            text_copy(note.note.text, sizeof note.note.text, rows[i].notes[n]);
            keep(&note);
        }
        record_of(live.count);
        assert_int_equal(handover.kind, rows[i].kind);
        assert_int_equal(handover.score.known, isfinite(rows[i].points));
        assert_int_equal(handover.score.count, rows[i].sentences);
        assert_int_equal(handover.note_count, 2 - rows[i].sentences);
        if (handover.score.known) {
            expect_near(handover.score.points, rows[i].points, 0.0);
        }
    }
}

static void what_is_told_of_elsewhere_is_kept_apart(void **unused)
{
    (void)unused;
    hear((struct record){.kind = RECORD_AUX, .aux = {"download", 42.5, "Mbit/s"}});
    hear((struct record){.kind = RECORD_AUX, .aux = {"isolation", 31.0, "dB"}});
    record_of(live.count);
    assert_int_equal(handover.speed.origin, HANDOVER_READ);
    expect_near(handover.speed.down_mbps, 42.5, 0.0);
    assert_true(isnan(handover.speed.up_mbps));
    assert_int_equal(handover.isolation.origin, HANDOVER_READ);
    expect_near(handover.isolation.db, 31.0, 0.0);
}

#define FOLD_TEST(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        FOLD_TEST(nothing_measured_looks_measured),
        FOLD_TEST(a_step_ends_as_it_was_ended),
        FOLD_TEST(going_back_opens_what_came_after),
        FOLD_TEST(what_came_before_the_clock_is_dated_by_it),
        FOLD_TEST(a_position_says_who_fixed_it),
        FOLD_TEST(a_position_of_the_job_stays_one),
        FOLD_TEST(an_angle_says_what_told_it),
        FOLD_TEST(a_level_is_measured_by_the_step_that_does),
        FOLD_TEST(a_level_by_word_is_not_measured),
        FOLD_TEST(a_level_of_before_is_not_the_final_one),
        FOLD_TEST(the_best_counts_from_the_search_on),
        FOLD_TEST(a_push_makes_no_best),
        FOLD_TEST(a_log_cut_anywhere_says_no_more_than_it_holds),
        FOLD_TEST(advice_that_would_be_another_is_counted),
        FOLD_TEST(a_level_stays_measured_whatever_this_coach_would_have_done),
        FOLD_TEST(only_the_newest_notes_and_faults_are_kept),
        FOLD_TEST(a_score_is_that_of_a_practice_or_a_quiz),
        FOLD_TEST(what_is_told_of_elsewhere_is_kept_apart),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
