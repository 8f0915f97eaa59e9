#include "expect.h"

#include "chance.h"
#include "peaking/change.h"

static struct change_plan plan_of(double noise, double fall)
{
    return (struct change_plan){
        .noise = noise, .fall = fall, .period_s = 0.5, .false_alarm_every_s = 600.0};
}

/*
 * Thresholds found by simulation without this code, to a quarter of the noise (rows with more than
 * two readings of delay; one reading alone must not ring it here).
 */
static void thresholds_are_those_of_an_independent_simulation(void **state)
{
    static const struct {
        double noise, fall, threshold;
    } rows[] = {{0.3, 0.3, 1.65}, {0.3, 0.5, 1.05}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct change_plan plan = plan_of(rows[i].noise, rows[i].fall);
        struct change change;
        change_plan_watch(&change, &plan);
        expect_near(change.threshold, rows[i].threshold, 0.3 * rows[i].noise);
    }
}

/* Ten minutes of readings about a reference that is itself only a mean of 20: one alarm. */
static void false_alarms_are_as_rare_as_asked_for(void **state)
{
    static const struct {
        double noise, fall;
    } rows[] = {{0.3, 0.3}, {0.3, 0.5}, {0.5, 0.5}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct chance chance = {21 + i};
        struct change_plan plan = plan_of(rows[i].noise, rows[i].fall);
        int alarms = 0;
        const int runs = 400;
        plan.reference_error = plan.noise / sqrt(20.0);
        for (int run = 0; run < runs; run++) {
            struct change change;
            plan.reference = 10.0 + chance_normal(&chance, plan.reference_error);
            change_plan_watch(&change, &plan);
            for (int k = 0; k < 1200; k++) {
                if (change_push(&change, 10.0 + chance_normal(&chance, plan.noise))) {
                    alarms++;
                    change.sum = 0.0;
                }
            }
        }
        expect_near((double)alarms / runs, 1.0, 0.25);
    }
}

/* Delays in readings, mean and 90 %, by simulation without this code: 11 (19), 5 (8), 11 (18). */
static void a_fall_is_noticed_as_soon_as_theory_says(void **state)
{
    static const struct {
        double noise, fall, mean, most;
    } rows[] = {{0.1, 0.3, 2, 3}, {0.3, 0.3, 11, 19}, {0.3, 0.5, 5, 8}, {0.5, 0.5, 11, 18}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct chance chance = {31 + i};
        struct change_plan plan = plan_of(rows[i].noise, rows[i].fall);
        double sum = 0.0;
        int late = 0;
        const int runs = 2000;
        for (int run = 0; run < runs; run++) {
            struct change change;
            int readings = 1;
            change_plan_watch(&change, &plan);
            while (!change_push(&change, -plan.fall + chance_normal(&chance, plan.noise))) {
                readings++;
            }
            sum += readings;
            late += readings > rows[i].most + 1.0;
        }
        expect_near(sum / runs, rows[i].mean, 1.5);
        assert_true(late < 0.12 * runs);
        expect_near(change_delay(&plan, plan.fall), sum / runs, 1.3);
    }
}

/* A reference from 20 readings, a false alarm in ten minutes. */
static void watch(struct change *change, double fall)
{
    struct change_plan plan = {.reference = 12.0,
                               .reference_error = 0.2 / sqrt(20.0),
                               .noise = 0.2,
                               .fall = fall,
                               .period_s = 0.5,
                               .false_alarm_every_s = 600.0};

    change_plan_watch(change, &plan);
}

static void one_wild_reading_is_no_fall(void **state)
{
    struct change change;

    (void)state;
    watch(&change, 0.5);
    assert_false(change_push(&change, -40.0));
    assert_false(change_push(&change, NAN));
    assert_false(change_push(&change, 12.0));
    for (int k = 0; k < 20; k++) {
        assert_false(change_push(&change, 12.0));
    }
    expect_near(change_fall(&change), 0.0, 0.0);
}

static void a_fall_its_size_and_its_end_are_told(void **state)
{
    struct change change;

    (void)state;
    watch(&change, 0.4);
    for (int k = 0; k < 5; k++) {
        change_push(&change, 12.0);
    }
    for (int k = 0; k < 40; k++) {
        change_push(&change, 11.2);
    }
    assert_true(change_push(&change, 11.2));
    expect_near(change_fall(&change), 0.8, 1e-9);
    assert_false(change_rising(&change));
    int left = 0;
    while (change_push(&change, 12.0)) {
        left++;
    }
    assert_true(left < 10);
}

static void a_rise_says_that_it_was_not_the_peak(void **state)
{
    struct change change;

    (void)state;
    watch(&change, 0.4);
    for (int k = 0; k < 12; k++) {
        assert_false(change_push(&change, 12.6));
    }
    assert_true(change_rising(&change));
}

/* Fading that holds for several readings: without the raised threshold some ten alarms come. */
static void readings_that_go_together_raise_the_threshold(void **state)
{
    struct chance chance = {41};
    struct change_plan plan = plan_of(0.3, 0.5);
    struct change change;
    double value = 0.0;
    int alarms = 0;

    (void)state;
    plan.correlation = 0.5;
    change_plan_watch(&change, &plan);
    for (int k = 0; k < 1200 * 200; k++) {
        value = 0.5 * value + chance_normal(&chance, 0.3 * sqrt(0.75));
        if (change_push(&change, value)) {
            alarms++;
            change.sum = 0.0;
        }
    }
    assert_true(alarms / 200.0 < 1.3);
    assert_true(alarms / 200.0 > 0.01);
}

static void no_delay_is_promised_for_what_is_too_small(void **state)
{
    struct change_plan plan = plan_of(0.3, 0.5);

    (void)state;
    assert_true(isinf(change_delay(&plan, 0.25)));
    assert_true(isinf(change_delay(&plan, 0.0)));
}

static void the_reference_bears_wild_readings_and_knows_its_error(void **state)
{
    struct chance chance = {51};
    double squares = 0.0, errors = 0.0, noise = 0.0;
    const int runs = 1000;

    (void)state;
    for (int run = 0; run < runs; run++) {
        struct change_reference reference;
        double level;
        change_reference_init(&reference);
        expect_near(change_reference_level(&reference), NAN, 0.0);
        for (int k = 1; k <= 24; k++) {
            double value = k == 5 ? 99.0 : k == 6 ? NAN : 12.0 + chance_normal(&chance, 0.3);
            assert_int_equal(change_reference_push(&reference, value), k >= 21);
        }
        level = change_reference_level(&reference);
        squares += (level - 12.0) * (level - 12.0) / runs;
        errors += change_reference_error(&reference) / runs;
        noise += change_reference_noise(&reference) / runs;
    }
    expect_near(errors, sqrt(squares), 0.15 * sqrt(squares));
    expect_near(noise, 0.3, 0.04);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thresholds_are_those_of_an_independent_simulation),
        cmocka_unit_test(false_alarms_are_as_rare_as_asked_for),
        cmocka_unit_test(a_fall_is_noticed_as_soon_as_theory_says),
        cmocka_unit_test(one_wild_reading_is_no_fall),
        cmocka_unit_test(a_fall_its_size_and_its_end_are_told),
        cmocka_unit_test(a_rise_says_that_it_was_not_the_peak),
        cmocka_unit_test(readings_that_go_together_raise_the_threshold),
        cmocka_unit_test(no_delay_is_promised_for_what_is_too_small),
        cmocka_unit_test(the_reference_bears_wild_readings_and_knows_its_error),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
