/*
 * What a practice session is worth, from records and stands that are written down here: which turns
 * are wrong follows from the definition in drill_score.h, what a fault costs from peakward(1).
 */
#include "given.h"

#include <string.h>

#include "command/drill_score.h"

static struct procedure procedure;
static struct drill_score score;
static struct drill_stand stand;
static double t;

static const double beam_deg[AXIS_COUNT] = {3.0, 2.0, 10.0};
static const double target_deg[AXIS_COUNT] = {160.0, 35.0, -10.0};

static int set_up(void **unused)
{
    static const struct drill_stand start = {{150.0, 35.0, -10.0}, {-10.0, 0.0, 0.0}};

    (void)unused;
    procedure_init(&procedure, "test");
    given_step(&procedure, "step heights", "do", "confirm");
    given_step(&procedure, "step heights", "text", "Ladder.");
    given_step(&procedure, "step lightning", "do", "confirm");
    given_step(&procedure, "step lightning", "text", "Storm.");
    given_step(&procedure, "step position", "do", "fix");
    given_step(&procedure, "step peak azimuth", "do", "peak");
    given_step(&procedure, "step peak azimuth", "axis", "azimuth");
    given_step(&procedure, "step tighten", "do", "tighten");
    given_step(&procedure, "step close", "do", "record");
    drill_score_init(&score, &procedure, beam_deg);
    stand = start;
    t = 0.0;
    return 0;
}

static void add(const struct record *record, bool shown)
{
    struct record with_time = *record;

    with_time.t = t;
    drill_score_add(&score, &with_time, shown, &stand);
}

static void advise(enum advice_move move, enum axis axis, bool shown)
{
    struct record record = {.kind = RECORD_ADVICE};

    record.advice.move = move;
    record.advice.axis = axis;
    add(&record, shown);
}

static void step(enum record_step_event event, int number)
{
    struct record record = {.kind = RECORD_STEP};

    record.step.event = event;
    record.step.number = number;
    add(&record, true);
}

/* A reading comes each half second while an axis goes on to an angle at 1 deg/s, and once more. */
static void go(enum axis axis, double to_deg)
{
    struct record reading = {.kind = RECORD_LEVEL};
    double left = to_deg - stand.deg[axis];

    while (left != 0.0) {
        double by = fmin(0.5, fmax(-0.5, left));
        t += 0.5;
        stand.deg[axis] = fabs(left) <= 0.5 ? to_deg : stand.deg[axis] + by;
        stand.off_deg[axis] = stand.deg[axis] - target_deg[axis];
        left = to_deg - stand.deg[axis];
        add(&reading, true);
    }
    t += 0.5;
    add(&reading, true);
}

static void confirm_all(void)
{
    step(STEP_ENTER, 1);
    step(STEP_DONE, 0);
    step(STEP_ENTER, 2);
    step(STEP_DONE, 0);
    step(STEP_ENTER, 4);
}

static void finish(void)
{
    advise(ADVICE_TIGHTEN, AXIS_NONE, true);
    step(STEP_DONE, 0);
    advise(ADVICE_DONE, AXIS_NONE, true);
}

static struct drill_ending good_ending(void)
{
    return (struct drill_ending){.target = "Ptarmigan 1",
                                 .nearest = "Ptarmigan 1",
                                 .on_target = true,
                                 .nearest_beams = 0.05,
                                 .target_beams = 0.05,
                                 .pointing_loss_db = 0.03,
                                 .skew_loss_db = 0.01,
                                 .allowed_s = 300.0};
}

/* --- turns ---------------------------------------------------------------------------------- */

static void turning_as_advised_is_never_wrong(void **unused)
{
    (void)unused;
    confirm_all();
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    go(AXIS_AZIMUTH, 165.0);
    advise(ADVICE_LEFT, AXIS_AZIMUTH, true);
    go(AXIS_AZIMUTH, 160.0);
    advise(ADVICE_UP, AXIS_ELEVATION, true);
    go(AXIS_ELEVATION, 39.0);
    assert_int_equal(score.wrong_turns, 0);
}

static void a_turn_against_shown_advice_is_wrong_once(void **unused)
{
    (void)unused;
    confirm_all();
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    go(AXIS_AZIMUTH, 145.0);
    assert_int_equal(score.wrong_turns, 1);
    expect_near(score.first_wrong_t, 0.5, 1e-9); /* half a degree: more than a tenth of three */
    go(AXIS_AZIMUTH, 160.0);
    assert_int_equal(score.wrong_turns, 1);
    go(AXIS_AZIMUTH, 159.0);
    assert_int_equal(score.wrong_turns, 2);
}

static void a_tenth_of_a_beamwidth_is_no_turn(void **unused)
{
    (void)unused;
    confirm_all();
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    go(AXIS_AZIMUTH, 149.75);
    assert_int_equal(score.wrong_turns, 0);
    go(AXIS_AZIMUTH, 149.6);
    assert_int_equal(score.wrong_turns, 1);
}

static void the_other_bolt_is_wrong(void **unused)
{
    (void)unused;
    confirm_all();
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    go(AXIS_ELEVATION, 35.4);
    assert_int_equal(score.wrong_turns, 0); /* a fifth of two degrees */
    go(AXIS_ELEVATION, 35.8);
    assert_int_equal(score.wrong_turns, 1);
}

static void what_was_under_way_when_the_advice_came_is_not_wrong(void **unused)
{
    (void)unused;
    confirm_all();
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    for (int i = 0; i < 4; i++) {
        struct record reading = {.kind = RECORD_LEVEL};
        t += 0.5;
        stand.deg[AXIS_AZIMUTH] += 0.5;
        add(&reading, true);
    }
    advise(ADVICE_LEFT, AXIS_AZIMUTH, true);
    go(AXIS_AZIMUTH, 153.5);
    assert_int_equal(score.wrong_turns, 0);
    go(AXIS_AZIMUTH, 155.0);
    assert_int_equal(score.wrong_turns, 1); /* it had come to rest before */
}

/* Where turns are counted the coach says the next one as soon as it hears of the last. */
static void a_turn_that_was_only_said_is_not_held_against_the_next_advice(void **unused)
{
    struct record said = {.kind = RECORD_MOVE, .move.axis = AXIS_AZIMUTH};
    struct record reading = {.kind = RECORD_LEVEL};

    (void)unused;
    confirm_all();
    advise(ADVICE_LEFT, AXIS_AZIMUTH, true);
    t = 10.0;
    add(&said, true);
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    t += 0.2;
    add(&reading, true); /* the play is taken up */
    go(AXIS_AZIMUTH, 148.5);
    assert_int_equal(score.wrong_turns, 0);
    t += 2.0;
    add(&reading, true);
    go(AXIS_AZIMUTH, 147.5); /* this one is */
    assert_int_equal(score.wrong_turns, 1);
}

static void with_nothing_shown_only_turning_away_is_wrong(void **unused)
{
    (void)unused;
    confirm_all();
    advise(ADVICE_LEFT, AXIS_AZIMUTH, false);
    go(AXIS_AZIMUTH, 164.0); /* toward it and past it, whatever the coach thinks */
    go(AXIS_AZIMUTH, 157.5);
    assert_int_equal(score.wrong_turns, 0);
    go(AXIS_AZIMUTH, 160.5);
    go(AXIS_AZIMUTH, 166.0); /* one turn over the top: a sweep */
    assert_int_equal(score.wrong_turns, 0);
    advise(ADVICE_CONFIRM, AXIS_NONE, true);
    go(AXIS_AZIMUTH, 170.0);
    assert_int_equal(score.wrong_turns, 1);
}

static void following_advice_that_was_not_shown_is_not_wrong(void **unused)
{
    (void)unused;
    confirm_all();
    advise(ADVICE_LEFT, AXIS_AZIMUTH, false);
    go(AXIS_AZIMUTH, 140.0);
    assert_int_equal(score.wrong_turns, 0);
}

static void asking_makes_the_advice_count(void **unused)
{
    struct record asked = {.kind = RECORD_MARK};

    (void)unused;
    confirm_all();
    advise(ADVICE_LEFT, AXIS_AZIMUTH, false);
    strcpy(asked.mark.text, drill_asked_mark);
    add(&asked, true);
    drill_score_reveal(&score);
    go(AXIS_AZIMUTH, 152.0);
    assert_int_equal(score.asked, 1);
    assert_int_equal(score.wrong_turns, 1);
}

static void azimuth_is_followed_over_north(void **unused)
{
    (void)unused;
    stand.deg[AXIS_AZIMUTH] = 359.0;
    stand.off_deg[AXIS_AZIMUTH] = -1.0;
    confirm_all();
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    t += 0.5;
    stand.deg[AXIS_AZIMUTH] = 1.0;
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    assert_int_equal(score.wrong_turns, 0);
}

/* --- what it comes to ----------------------------------------------------------------------- */

static void nothing_to_complain_about_is_a_hundred(void **unused)
{
    struct drill_ending ending = good_ending();
    struct drill_result result;

    (void)unused;
    confirm_all();
    advise(ADVICE_RIGHT, AXIS_AZIMUTH, true);
    go(AXIS_AZIMUTH, 160.0);
    finish();
    result = drill_score_end(&score, &ending);
    assert_true(result.finished && result.on_target && result.fastened);
    assert_int_equal(result.cautions_skipped, 0);
    expect_near(result.loss_db, 0.04, 1e-9);
    assert_int_equal(result.points, 100);
}

static void each_fault_costs_what_the_manual_says(void **unused)
{
    static const struct {
        double loss_db, t_s;
        int wrong_turns, points;
    } rows[] = {
        {0.10, 300.0, 0, 100}, {0.30, 300.0, 0, 90},  {2.00, 300.0, 0, 60},
        {0.10, 450.0, 0, 95},  {0.10, 3000.0, 0, 80}, {0.10, 300.0, 2, 92},
        {0.10, 300.0, 40, 80}, {0.30, 450.0, 1, 81},  {9.00, 3000.0, 9, 20},
    };

    (void)unused;
    confirm_all();
    finish();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct drill_ending ending = good_ending();
        ending.pointing_loss_db = rows[i].loss_db;
        ending.skew_loss_db = 0.0;
        score.t = rows[i].t_s;
        score.wrong_turns = rows[i].wrong_turns;
        assert_int_equal(drill_score_end(&score, &ending).points, rows[i].points);
    }
}

static void a_caution_not_answered_with_done_is_skipped(void **unused)
{
    struct drill_ending ending = good_ending();
    char sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE];

    (void)unused;
    step(STEP_ENTER, 1);
    step(STEP_DONE, 0);
    step(STEP_ENTER, 2);
    step(STEP_SKIP, 0);
    step(STEP_ENTER, 4);
    step(STEP_SKIP, 0); /* peaking: no caution */
    finish();
    assert_int_equal(drill_score_end(&score, &ending).cautions_skipped, 1);
    assert_int_equal(drill_score_end(&score, &ending).points, 85);
    drill_score_tell(&score, &ending, sentences);
    assert_non_null(strstr(sentences[4], "lightning"));
    assert_null(strstr(sentences[4], "heights"));
}

static void a_caution_gone_back_to_is_heard(void **unused)
{
    struct drill_ending ending = good_ending();

    (void)unused;
    step(STEP_ENTER, 1);
    step(STEP_SKIP, 0);
    step(STEP_ENTER, 2);
    step(STEP_BACK, 0);
    step(STEP_ENTER, 1);
    step(STEP_DONE, 0);
    step(STEP_ENTER, 2);
    step(STEP_DONE, 0);
    finish();
    assert_int_equal(drill_score_end(&score, &ending).cautions_skipped, 0);
}

static void the_wrong_satellite_is_worth_nothing(void **unused)
{
    struct drill_ending ending = good_ending();
    char sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE];

    (void)unused;
    confirm_all();
    finish();
    ending.on_target = false;
    ending.target_beams = 1.9;
    strcpy(ending.nearest, "Marmot 2");
    assert_int_equal(drill_score_end(&score, &ending).points, 0);
    assert_false(drill_score_end(&score, &ending).on_target);
    drill_score_tell(&score, &ending, sentences);
    assert_string_equal(sentences[0], "On the wrong satellite: Marmot 2 instead of Ptarmigan 1.");
}

static void a_side_lobe_is_not_the_target(void **unused)
{
    struct drill_ending ending = good_ending();
    char sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE];

    (void)unused;
    confirm_all();
    finish();
    ending.target_beams = ending.nearest_beams = 1.6;
    assert_int_equal(drill_score_end(&score, &ending).points, 0);
    drill_score_tell(&score, &ending, sentences);
    assert_non_null(strstr(sentences[0], "1.6 beamwidths beside it"));
}

static void what_was_left_undone_is_told(void **unused)
{
    struct drill_ending ending = good_ending();
    char sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE];
    json_t *object;
    size_t count;

    (void)unused;
    confirm_all();
    count = drill_score_tell(&score, &ending, sentences);
    assert_int_equal(count, DRILL_SENTENCES);
    assert_string_equal(sentences[count - 1], "Score: 0 of 100.");
    object = drill_score_json(&score, &ending);
    assert_true(json_is_false(json_object_get(object, "finished")));
    assert_true(json_is_false(json_object_get(object, "fastened")));
    assert_true(json_is_null(json_object_get(object, "first_wrong_turn_s")));
    json_decref(object);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(turning_as_advised_is_never_wrong, set_up),
        cmocka_unit_test_setup(a_turn_against_shown_advice_is_wrong_once, set_up),
        cmocka_unit_test_setup(a_tenth_of_a_beamwidth_is_no_turn, set_up),
        cmocka_unit_test_setup(the_other_bolt_is_wrong, set_up),
        cmocka_unit_test_setup(what_was_under_way_when_the_advice_came_is_not_wrong, set_up),
        cmocka_unit_test_setup(a_turn_that_was_only_said_is_not_held_against_the_next_advice,
                               set_up),
        cmocka_unit_test_setup(with_nothing_shown_only_turning_away_is_wrong, set_up),
        cmocka_unit_test_setup(following_advice_that_was_not_shown_is_not_wrong, set_up),
        cmocka_unit_test_setup(asking_makes_the_advice_count, set_up),
        cmocka_unit_test_setup(azimuth_is_followed_over_north, set_up),
        cmocka_unit_test_setup(nothing_to_complain_about_is_a_hundred, set_up),
        cmocka_unit_test_setup(each_fault_costs_what_the_manual_says, set_up),
        cmocka_unit_test_setup(a_caution_not_answered_with_done_is_skipped, set_up),
        cmocka_unit_test_setup(a_caution_gone_back_to_is_heard, set_up),
        cmocka_unit_test_setup(the_wrong_satellite_is_worth_nothing, set_up),
        cmocka_unit_test_setup(a_side_lobe_is_not_the_target, set_up),
        cmocka_unit_test_setup(what_was_left_undone_is_told, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
