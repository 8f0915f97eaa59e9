#include "expect.h"

#include "chance.h"
#include "peaking/robust.h"

static void median_is_the_middle_or_the_mean_of_the_middle_two(void **state)
{
    static const struct {
        size_t n;
        double values[7];
        double median;
    } rows[] = {
        {1, {4}, 4},
        {2, {4, 1}, 2.5},
        {3, {9, 1, 2}, 2},
        {4, {4, 3, 2, 1}, 2.5},
        {5, {1, 1, 1, 1, 8}, 1},
        {6, {5, 5, 5, 1, 9, 7}, 5},
        {7, {7, 6, 5, 4, 3, 2, 1}, 4},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double values[7];
        for (size_t k = 0; k < 7; k++) {
            values[k] = rows[i].values[k];
        }
        expect_near(robust_median(values, rows[i].n), rows[i].median, 0.0);
    }
    expect_near(robust_median(NULL, 0), NAN, 0.0);
}

/* Against a count of smaller and greater ones, for every length and many orders. */
static void median_divides_any_values_in_halves(void **state)
{
    struct chance chance = {3};

    (void)state;
    for (int trial = 0; trial < 2000; trial++) {
        double values[33], median;
        size_t n = 1 + (size_t)(trial % 33), below = 0, above = 0;
        for (size_t i = 0; i < n; i++) {
            values[i] = floor(chance_even(&chance, 0.0, 12.0));
        }
        median = robust_median(values, n);
        for (size_t i = 0; i < n; i++) {
            below += values[i] < median;
            above += values[i] > median;
        }
        assert_true(below <= n / 2 && above <= n / 2);
    }
}

/* 1.4826 = 1 / quantile(0.75) of the normal distribution, tables. */
static void spread_is_the_sd_of_normal_values_even_with_wild_ones(void **state)
{
    struct chance chance = {4};
    double values[4001];

    (void)state;
    for (size_t i = 0; i < 4001; i++) {
        values[i] = chance_normal(&chance, 0.3);
    }
    expect_near(robust_spread(values, 4001), 0.3, 0.02);
    for (size_t i = 0; i < 200; i++) {
        values[i * 20] = 50.0;
    }
    expect_near(robust_spread(values, 4001), 0.3, 0.04);
}

static void middle_is_the_second_of_three_in_any_order(void **state)
{
    (void)state;
    expect_near(robust_middle(1, 2, 3), 2, 0);
    expect_near(robust_middle(3, 1, 2), 2, 0);
    expect_near(robust_middle(2, 3, 1), 2, 0);
    expect_near(robust_middle(2, 2, 1), 2, 0);
}

static void a_wild_reading_pulls_no_harder_than_one_at_1_345_sd(void **state)
{
    (void)state;
    expect_near(robust_weight(0.0, 1.0), 1.0, 0.0);
    expect_near(robust_weight(-1.3, 1.0), 1.0, 0.0);
    expect_near(10.0 * robust_weight(10.0, 1.0), 1.345, 1e-12);
    expect_near(-900.0 * robust_weight(-900.0, 2.0), -2.69, 1e-12);
    expect_near(robust_last_weight(0.0, 1.0), 1.0, 0.0);
    expect_near(robust_last_weight(3.0, 1.0), 0.5625, 1e-12);
    expect_near(robust_last_weight(6.5, 1.0), 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(median_is_the_middle_or_the_mean_of_the_middle_two),
        cmocka_unit_test(median_divides_any_values_in_halves),
        cmocka_unit_test(spread_is_the_sd_of_normal_values_even_with_wild_ones),
        cmocka_unit_test(middle_is_the_second_of_three_in_any_order),
        cmocka_unit_test(a_wild_reading_pulls_no_harder_than_one_at_1_345_sd),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
