#include "expect.h"

#include <errno.h>

#include "chance.h"
#include "peaking/least.h"

static struct least_row row(double a, double b, double c, double value)
{
    return (struct least_row){.column = {a, b, c}, .value = value, .trust = 1.0};
}

/*
 * Worked example: x = 1..5, y = 2.2 2.8 3.6 4.5 5.1. By hand: mean x 3, mean y 3.64, Sxx 10,
 * Sxy 7.5, so slope 0.75 and intercept 1.39.
 */
static void a_straight_line_comes_out_as_by_hand(void **state)
{
    static const double y[] = {2.2, 2.8, 3.6, 4.5, 5.1};
    struct least_row rows[5];
    struct least_problem problem = {.columns = 2, .noise = 100.0};
    struct least_fit fit;

    (void)state;
    for (int i = 0; i < 5; i++) {
        rows[i] = row(1.0, i + 1.0, 0.0, y[i]);
    }
    assert_int_equal(least_solve(rows, 5, &problem, &fit), 0);
    expect_near(fit.value[0], 1.39, 1e-9);
    expect_near(fit.value[1], 0.75, 1e-9);
    assert_int_equal(fit.rejected, 0);
    /* var(slope) = s^2 / Sxx, var(intercept) = s^2 (1/n + mean^2 / Sxx): any textbook */
    expect_near(fit.covariance[1][1], fit.spread * fit.spread / 10.0, 1e-9 * fit.spread);
    expect_near(fit.covariance[0][0], fit.spread * fit.spread * (0.2 + 0.9), 1e-7 * fit.spread);
}

static void wild_rows_do_not_move_the_line(void **state)
{
    struct chance chance = {9};
    struct least_row rows[60];
    struct least_problem problem = {.columns = 2, .noise = NAN};
    struct least_fit fit;

    (void)state;
    for (int i = 0; i < 60; i++) {
        rows[i] = row(1.0, 0.1 * i, 0.0, 5.0 - 0.2 * i + chance_normal(&chance, 0.1));
    }
    rows[7].value += 40.0;
    rows[33].value -= 9.0;
    rows[59].value += 200.0;
    assert_int_equal(least_solve(rows, 60, &problem, &fit), 0);
    expect_near(fit.value[0], 5.0, 0.08);
    expect_near(fit.value[1], -2.0, 0.03);
    assert_int_equal(fit.rejected, 3);
    expect_near(fit.spread, 0.1, 0.03);
}

/* Normal prior and one reading: the precision-weighted mean (any textbook on Bayes' rule). */
static void a_belief_and_a_reading_meet_by_their_precision(void **state)
{
    struct least_row rows[] = {row(1.0, 0.0, 0.0, 10.0)};
    struct least_problem problem = {.columns = 1,
                                    .noise = 1.0,
                                    .belief_count = 1,
                                    .beliefs = {{.column = 0, .value = 4.0, .sd = 2.0}}};
    struct least_fit fit;

    (void)state;
    assert_int_equal(least_solve(rows, 1, &problem, &fit), 0);
    /* the reading is 6 off by belief and noise: beyond 1.345 sd of either, so the weights fall;
     * near enough they do not */
    rows[0].value = 5.0;
    assert_int_equal(least_solve(rows, 1, &problem, &fit), 0);
    expect_near(fit.value[0], (5.0 * 4.0 + 4.0) / 5.0, 1e-3);
}

static void too_few_or_undetermined_rows_are_refused(void **state)
{
    struct least_row same[] = {row(1, 2, 0, 1), row(1, 2, 0, 2), row(1, 2, 0, 3)};
    struct least_row one[] = {row(1, 2, 0, 1)};
    struct least_problem problem = {.columns = 2, .noise = NAN};
    struct least_fit fit = {.spread = 77.0};

    (void)state;
    assert_int_equal(least_solve(same, 3, &problem, &fit), -EDOM);
    assert_int_equal(least_solve(one, 1, &problem, &fit), -ENODATA);
    assert_int_equal(least_solve(one, 0, &problem, &fit), -ENODATA);
    expect_near(fit.spread, 77.0, 0.0);
}

static void exact_rows_give_the_exact_answer_without_dividing_by_zero(void **state)
{
    struct least_row rows[12];
    struct least_problem problem = {.columns = 3, .noise = NAN};
    struct least_fit fit;

    (void)state;
    for (int i = 0; i < 12; i++) {
        double x = 0.1 * i;
        rows[i] = row(1.0, x, x * x, 1.0 + 2.0 * x - 3.0 * x * x);
    }
    assert_int_equal(least_solve(rows, 12, &problem, &fit), 0);
    expect_near(fit.value[0], 1.0, 1e-9);
    expect_near(fit.value[1], 2.0, 1e-9);
    expect_near(fit.value[2], -3.0, 1e-9);
    expect_near(fit.spread, 0.0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_straight_line_comes_out_as_by_hand),
        cmocka_unit_test(wild_rows_do_not_move_the_line),
        cmocka_unit_test(a_belief_and_a_reading_meet_by_their_precision),
        cmocka_unit_test(too_few_or_undetermined_rows_are_refused),
        cmocka_unit_test(exact_rows_give_the_exact_answer_without_dividing_by_zero),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
