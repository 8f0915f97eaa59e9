#include "expect.h"

#include "chance.h"
#include "peaking/level_filter.h"

static void noise_comes_out_right_whatever_the_level_does(void **state)
{
    static const struct {
        const char *what;
        double slope, wild;
    } rows[] = {{"steady", 0.0, 0.0}, {"sweeping", 0.4, 0.0}, {"wild readings", 0.0, 6.0}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct chance chance = {11};
        double sum = 0.0;
        for (int trial = 0; trial < 400; trial++) {
            struct level_filter filter;
            level_filter_init(&filter, NAN, NAN, NAN);
            for (int k = 0; k < LEVEL_FILTER_WINDOW; k++) {
                double value = 10.0 + rows[i].slope * k + chance_normal(&chance, 0.3);
                level_filter_push(&filter, 0.5 * k, value + (k % 15 == 7 ? rows[i].wild : 0.0));
            }
            sum += level_filter_noise(&filter);
        }
        /* 2 wild ones in 32 touch 6 of 30 second differences */
        expect_near(sum / 400, 0.3, rows[i].wild > 0.0 ? 0.12 : 0.03);
    }
}

static void noise_is_not_known_too_early_nor_of_a_dead_meter(void **state)
{
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, NAN, NAN, NAN);
    for (int k = 0; k < 7; k++) {
        level_filter_push(&filter, k, k % 2);
        expect_near(level_filter_noise(&filter), NAN, 0.0);
    }
    level_filter_init(&filter, NAN, NAN, NAN);
    for (int k = 0; k < 40; k++) {
        level_filter_push(&filter, k, 7.0);
    }
    expect_near(level_filter_noise(&filter), NAN, 0.0);
    expect_near(filter.level, 7.0, 0.0);
    level_filter_init(&filter, 0.25, NAN, NAN);
    expect_near(level_filter_noise(&filter), 0.25, 0.0);
}

/* A uniform error of one step has sd step / sqrt 12. */
static void a_coarse_meter_is_as_noisy_as_its_steps(void **state)
{
    struct chance chance = {2};
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, NAN, NAN, NAN);
    for (int k = 0; k < 32; k++) {
        level_filter_push(&filter, 0.5 * k,
                          k == 20 ? 11.0 : round(10.0 + chance_normal(&chance, 0.05)));
    }
    expect_near(level_filter_step(&filter), 1.0, 0.0);
    expect_near(level_filter_noise(&filter), 1.0 / sqrt(12.0), 1e-12);
}

/* Measured once a second, sent four times. */
static void readings_sent_again_count_once(void **state)
{
    struct chance chance = {5};
    struct level_filter filter;
    double value = 0.0, sum = 0.0;
    int counted = 0;

    (void)state;
    level_filter_init(&filter, NAN, NAN, NAN);
    for (int k = 0; k < 800; k++) {
        if (k % 4 == 0) {
            value = 10.0 + chance_normal(&chance, 0.3);
        }
        level_filter_push(&filter, 0.25 * k, value);
        if (k >= 40) {
            expect_near(level_filter_period_s(&filter), 1.0, 1e-9);
            sum += level_filter_noise(&filter);
            counted++;
        }
    }
    expect_near(sum / counted, 0.3, 0.06);
}

static void period_is_the_usual_time_between_readings(void **state)
{
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, NAN, NAN, NAN);
    expect_near(level_filter_period_s(&filter), NAN, 0.0);
    for (int k = 0; k < 10; k++) {
        level_filter_push(&filter, 0.4 * k + (k > 5 ? 2.0 : 0.0), k);
    }
    expect_near(level_filter_period_s(&filter), 0.4, 1e-9);
}

static void level_follows_a_step_within_two_readings_and_forgets_wild_ones(void **state)
{
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, 0.2, NAN, NAN);
    for (int k = 0; k < 40; k++) {
        level_filter_push(&filter, 0.5 * k, 10.0);
    }
    expect_near(level_filter_push(&filter, 20.0, 16.0), 10.0,
                1e-9); /* wild, or the first of a step */
    level_filter_push(&filter, 20.5, 10.0);
    expect_near(filter.level, 10.0, 1e-9);
    for (int k = 0; k < 3; k++) {
        level_filter_push(&filter, 21.0 + 0.5 * k, 13.0);
    }
    expect_near(filter.level, 13.0, 1e-9);
}

static void level_settles_to_the_noise_over_the_root_of_the_count(void **state)
{
    struct chance chance = {6};
    double sum = 0.0, squares = 0.0;
    const int trials = 2000;

    (void)state;
    for (int trial = 0; trial < trials; trial++) {
        struct level_filter filter;
        level_filter_init(&filter, 0.3, NAN, NAN);
        for (int k = 0; k < 32; k++) {
            level_filter_push(&filter, 0.5 * k, 10.0 + chance_normal(&chance, 0.3));
        }
        sum += filter.level - 10.0;
        squares += (filter.level - 10.0) * (filter.level - 10.0);
    }
    expect_near(sum / trials, 0.0, 0.01);
    /* 0.3 / sqrt 32 = 0.053; at times the intervals part early */
    assert_true(sqrt(squares / trials) < 0.075);
}

/*
 * Ten minutes at one place: a raw maximum ends 3 sd too high (the expected maximum of 1200 normal
 * values is 3.3 sd, tables of order statistics); the sure level stays within 0.5 sd.
 */
static void best_so_far_is_not_biased_like_a_raw_maximum(void **state)
{
    struct chance chance = {7};
    double raw = 0.0, sure = 0.0;
    const int trials = 60;

    (void)state;
    for (int trial = 0; trial < trials; trial++) {
        struct level_filter filter;
        double best = -INFINITY, highest = -INFINITY;
        level_filter_init(&filter, NAN, NAN, NAN);
        for (int k = 0; k < 1200; k++) {
            double value = 10.0 + chance_normal(&chance, 0.3);
            level_filter_push(&filter, 0.5 * k, value);
            highest = fmax(highest, value);
            /* the very first ones have nothing to be held against */
            best = k < 2 ? best : fmax(best, level_filter_sure(&filter));
        }
        raw += (highest - 10.0) / trials;
        sure += (best - 10.0) / trials;
    }
    assert_true(raw > 0.9);
    expect_near(sure, 0.0, 0.15);
}

static void ends_of_the_range_and_a_stuck_meter_are_told(void **state)
{
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, NAN, 0.0, 100.0);
    assert_false(level_filter_saturated(&filter));
    level_filter_push(&filter, 0.0, 99.0);
    assert_false(level_filter_saturated(&filter));
    level_filter_push(&filter, 0.5, 100.0);
    assert_true(level_filter_saturated(&filter));
    for (int k = 0; k < 5; k++) {
        level_filter_push(&filter, 1.0 + k, 55.5);
    }
    assert_false(level_filter_saturated(&filter));
    level_filter_push(&filter, 7.0, 55.5);
    assert_true(level_filter_saturated(&filter));
}

static void what_is_no_number_and_what_is_old_do_not_count(void **state)
{
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, 0.1, NAN, NAN);
    expect_near(level_filter_push(&filter, 0.0, NAN), NAN, 0.0);
    expect_near(level_filter_sure(&filter), NAN, 0.0);
    for (int k = 0; k < 5; k++) {
        level_filter_push(&filter, k, 10.0);
    }
    expect_near(level_filter_push(&filter, 6.0, INFINITY), 10.0, 1e-9);
    expect_near(level_filter_push(&filter, 60.0, 3.0), 3.0, 1e-9);
}

static void levels_typed_in_stand_for_themselves(void **state)
{
    static const double typed[] = {9.0, 10.5, 12.1, 11.4};
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, NAN, NAN, NAN);
    for (int k = 0; k < 4; k++) {
        expect_near(level_filter_push(&filter, 8.0 * k, typed[k]), typed[k], 0.0);
        expect_near(level_filter_sure(&filter), typed[k], 0.0);
    }
}

static void nothing_is_sure_of_a_stream_that_has_just_begun(void **state)
{
    struct level_filter filter;

    (void)state;
    level_filter_init(&filter, NAN, NAN, NAN);
    level_filter_push(&filter, 0.0, 10.0);
    level_filter_push(&filter, 0.5, 10.9);
    level_filter_push(&filter, 1.0, 10.4);
    expect_near(level_filter_sure(&filter), 10.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(noise_comes_out_right_whatever_the_level_does),
        cmocka_unit_test(noise_is_not_known_too_early_nor_of_a_dead_meter),
        cmocka_unit_test(a_coarse_meter_is_as_noisy_as_its_steps),
        cmocka_unit_test(readings_sent_again_count_once),
        cmocka_unit_test(period_is_the_usual_time_between_readings),
        cmocka_unit_test(level_follows_a_step_within_two_readings_and_forgets_wild_ones),
        cmocka_unit_test(level_settles_to_the_noise_over_the_root_of_the_count),
        cmocka_unit_test(best_so_far_is_not_biased_like_a_raw_maximum),
        cmocka_unit_test(ends_of_the_range_and_a_stuck_meter_are_told),
        cmocka_unit_test(what_is_no_number_and_what_is_old_do_not_count),
        cmocka_unit_test(levels_typed_in_stand_for_themselves),
        cmocka_unit_test(nothing_is_sure_of_a_stream_that_has_just_begun),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
