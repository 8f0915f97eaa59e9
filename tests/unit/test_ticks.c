/* Round numbers on axes. */
#include "expect.h"

#include "base/ticks.h"

static void steps_are_one_two_or_five(void **unused)
{
    static const struct {
        double span;
        int most;
        double want;
    } rows[] = {
        {10.0, 10, 1.0}, {10.0, 5, 2.0},  {10.0, 4, 5.0},  {10.0, 1, 10.0},      {0.3, 3, 0.1},
        {0.3, 2, 0.2},   {60.0, 6, 10.0}, {60.0, 5, 20.0}, {99.0, 1, 100.0},     {2.0, 5, 0.5},
        {0.0, 5, 1.0},   {NAN, 5, 1.0},   {5.0, 0, 1.0},   {12345.0, 3, 5000.0},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(ticks_round_step(rows[i].span, rows[i].most), rows[i].want,
                    1e-9 * rows[i].want);
    }
}

static void edges_are_round_and_stand_still(void **unused)
{
    static const struct {
        double low, high, least;
        int ticks;
        double want_low, want_high, want_step;
    } rows[] = {
        {0.9, 12.7, 2.0, 5, 0.0, 15.0, 5.0},
        {1.1, 12.4, 2.0, 5, 0.0, 15.0, 5.0}, /* moved a little: the same */
        {11.9, 12.1, 2.0, 4, 11.0, 13.0, 0.5},
        {-61.4, -55.0, 2.0, 4, -62.0, -54.0, 2.0},
        {5.0, 5.0, 2.0, 4, 4.0, 6.0, 0.5},
        {INFINITY, -INFINITY, 2.0, 4, -1.0, 1.0, 0.5}, /* nothing yet */
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double low, high, step;
        ticks_round_edges(rows[i].low, rows[i].high, rows[i].least, rows[i].ticks, &low, &high,
                          &step);
        expect_near(low, rows[i].want_low, 1e-9);
        expect_near(high, rows[i].want_high, 1e-9);
        expect_near(step, rows[i].want_step, 1e-9);
    }
}

static void decimals_are_as_many_as_a_step_needs(void **unused)
{
    (void)unused;
    assert_int_equal(ticks_decimals(5.0), 0);
    assert_int_equal(ticks_decimals(1.0), 0);
    assert_int_equal(ticks_decimals(0.5), 1);
    assert_int_equal(ticks_decimals(0.1), 1);
    assert_int_equal(ticks_decimals(0.02), 2);
    assert_int_equal(ticks_decimals(1e-9), 6);
}

static void there_are_never_more_ticks_than_rows(void **unused)
{
    (void)unused;
    for (int most = 2; most < 12; most++) {
        for (double span = 0.3; span < 300.0; span *= 1.13) {
            for (double low = -20.0; low < 20.0; low += 0.7) {
                double left, right, step;
                ticks_round_edges(low, low + span, 0.1, most, &left, &right, &step);
                assert_true(left <= low + 1e-6 && right >= low + span - 1e-6);
                assert_in_range(lround((right - left) / step), 1, most);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_are_one_two_or_five),
        cmocka_unit_test(edges_are_round_and_stand_still),
        cmocka_unit_test(decimals_are_as_many_as_a_step_needs),
        cmocka_unit_test(there_are_never_more_ticks_than_rows),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
