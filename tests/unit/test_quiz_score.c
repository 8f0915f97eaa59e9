/* Answers to "which way, and how far?" against advice: the bounds are those of quiz_score.h. */
#include "expect.h"

#include <string.h>

#include "command/quiz_score.h"

static struct advice advise(enum axis axis, enum advice_move move, double deg)
{
    return (struct advice){.axis = axis, .move = move, .deg = deg, .turns = NAN, .rate = NAN};
}

static void each_answer_is_judged_by_the_first_thing_wrong_with_it(void **unused)
{
    static const struct {
        enum advice_move move;
        enum axis axis;
        double deg;
        struct quiz_answer answer;
        enum quiz_miss want;
    } rows[] = {
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_AZIMUTH, -1, 2.0}, QUIZ_RIGHT},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_AZIMUTH, -1, 2.59}, QUIZ_RIGHT},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_AZIMUTH, -1, 2.61}, QUIZ_TOO_FAR},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_AZIMUTH, -1, 1.41}, QUIZ_RIGHT},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_AZIMUTH, -1, 1.39}, QUIZ_TOO_SHORT},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_AZIMUTH, 1, 2.0}, QUIZ_WRONG_WAY},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_ELEVATION, -1, 2.0}, QUIZ_WRONG_AXIS},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_AZIMUTH, -1, NAN}, QUIZ_NO_DISTANCE},
        {ADVICE_LEFT, AXIS_AZIMUTH, 2.0, {AXIS_NONE, 0, NAN}, QUIZ_NO_ANSWER},
        {ADVICE_UP, AXIS_ELEVATION, 0.1, {AXIS_ELEVATION, 1, 0.19}, QUIZ_RIGHT},
        {ADVICE_UP, AXIS_ELEVATION, 0.1, {AXIS_ELEVATION, 1, 0.21}, QUIZ_TOO_FAR},
        {ADVICE_UP, AXIS_ELEVATION, NAN, {AXIS_ELEVATION, 1, NAN}, QUIZ_RIGHT},
        {ADVICE_UP, AXIS_ELEVATION, NAN, {AXIS_ELEVATION, -1, 3.0}, QUIZ_WRONG_WAY},
        {ADVICE_ANTICLOCKWISE, AXIS_SKEW, 10.0, {AXIS_SKEW, -1, 9.0}, QUIZ_RIGHT},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct advice advice = advise(rows[i].axis, rows[i].move, rows[i].deg);
        if (quiz_judge(&advice, &rows[i].answer) != rows[i].want) {
            fail_msg("row %zu: %s", i, quiz_miss_text(quiz_judge(&advice, &rows[i].answer)));
        }
    }
}

static void only_turns_are_asked_for(void **unused)
{
    struct advice turn = advise(AXIS_SKEW, ADVICE_CLOCKWISE, 3.0);
    struct advice hold = advise(AXIS_AZIMUTH, ADVICE_HOLD, NAN);
    struct advice set = advise(AXIS_AZIMUTH, ADVICE_CONFIRM, NAN);

    (void)unused;
    assert_true(quiz_can_ask(&turn));
    assert_false(quiz_can_ask(&hold));
    assert_false(quiz_can_ask(&set));
}

static void axis_way_and_distance_are_a_point_each(void **unused)
{
    struct advice far = advise(AXIS_AZIMUTH, ADVICE_LEFT, 2.0);
    struct advice open = advise(AXIS_AZIMUTH, ADVICE_LEFT, NAN);
    struct quiz_tally tally = {.asked = 0};
    char sentence[RECORD_TEXT_SIZE];

    (void)unused;
    quiz_tell(&tally, sentence);
    assert_string_equal(sentence, "Nothing was asked.");
    assert_true(isnan(quiz_points(&tally)));
    quiz_count(&tally, &far, QUIZ_RIGHT);
    quiz_count(&tally, &far, QUIZ_TOO_FAR);
    quiz_count(&tally, &far, QUIZ_WRONG_WAY);
    quiz_count(&tally, &far, QUIZ_WRONG_AXIS);
    quiz_count(&tally, &open, QUIZ_RIGHT);
    assert_int_equal(tally.got, 3 + 2 + 1 + 0 + 2);
    assert_int_equal(tally.of, 4 * 3 + 2);
    expect_near(quiz_points(&tally), 100.0 * 8 / 14, 1e-9);
    quiz_tell(&tally, sentence);
    assert_string_equal(sentence, "Score: 57 of 100: 2 of 5 answers right. Missed: the wrong axis "
                                  "(1), the wrong way (1), too far (1).");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_answer_is_judged_by_the_first_thing_wrong_with_it),
        cmocka_unit_test(only_turns_are_asked_for),
        cmocka_unit_test(axis_way_and_distance_are_a_point_each),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
