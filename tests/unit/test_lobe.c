#include "expect.h"

#include <errno.h>

#include "chance.h"
#include "peaking/lobe.h"

enum { MANY = 600 };

static const struct lobe_prior dish = {
    .width_deg = 1.46, .width_known = true, .noise = NAN, .is_db = true, .saturation = NAN};

/* The law of the reference table (mainlobe: -12 (x / width)^2), rows mainlobe-0.1 to mainlobe-1. */
static double lobe(double x, double centre, double width)
{
    double u = (x - centre) / width;

    return 12.0 - 12.0 * u * u;
}

static void fill(struct lobe_reading *readings, int n, double from, double to, double centre)
{
    for (int i = 0; i < n; i++) {
        double x = from + (to - from) * i / (n - 1);
        readings[i] = (struct lobe_reading){x, lobe(x, centre, dish.width_deg)};
    }
}

static void exact_readings_give_the_exact_top(void **state)
{
    static const struct {
        int n;
        double from, to;
        bool known;
    } rows[] = {{3, 142.0, 143.6, true},  {3, 142.0, 143.6, false},  {5, 142.0, 143.6, true},
                {30, 142.1, 143.3, true}, {30, 142.1, 143.3, false}, {400, 142.0, 143.8, true}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct lobe_reading readings[MANY];
        struct lobe_prior prior = dish;
        struct lobe_fit fit;
        prior.width_known = rows[i].known;
        fill(readings, rows[i].n, rows[i].from, rows[i].to, 142.7);
        assert_int_equal(lobe_fit(readings, (size_t)rows[i].n, &prior, &fit), 0);
        expect_near(fit.centre_deg, 142.7, 1e-6);
        expect_near(fit.peak, 12.0, 1e-6);
        expect_near(fit.width_deg, 1.46, 1e-5);
        expect_near(fit.width_seen_deg, 1.46, 1e-5);
        assert_int_equal(fit.used, rows[i].n);
        assert_int_equal(fit.rejected, 0);
        assert_true(fit.left_reached && fit.right_reached && fit.width_free);
    }
}

/* Three stations and a noise: with the width held the vertex has the error of the slope alone. */
static void three_stations_have_the_error_of_theory(void **state)
{
    struct lobe_reading readings[3];
    struct lobe_prior prior = dish;
    struct lobe_fit fit;

    (void)state;
    fill(readings, 3, 142.7 - 0.73, 142.7 + 0.73, 142.7);
    prior.noise = 0.1;
    prior.width_fixed = true;
    assert_int_equal(lobe_fit(readings, 3, &prior, &fit), 0);
    /* slope b over x = -1/2, 0, 1/2 widths: sd = noise / sqrt(1/2); vertex = b / 24; readings that
     * fit exactly take a seventh off the variance believed */
    expect_near(fit.centre_error_deg, 1.46 * 0.1 / sqrt(0.5) / 24.0 * sqrt(6.0 / 7.0), 1e-6);
    assert_false(fit.width_free);
}

static void order_does_not_matter_and_bad_readings_are_left_out(void **state)
{
    struct lobe_reading readings[24];
    struct lobe_fit fit;

    (void)state;
    fill(readings, 20, 142.0, 143.4, 142.7);
    for (int i = 0; i < 10; i++) {
        struct lobe_reading kept = readings[i];
        readings[i] = readings[(7 * i + 10) % 20];
        readings[(7 * i + 10) % 20] = kept;
    }
    readings[20] = (struct lobe_reading){142.5, NAN};
    readings[21] = (struct lobe_reading){NAN, 12.0};
    readings[22] = (struct lobe_reading){INFINITY, 12.0};
    readings[23] = (struct lobe_reading){142.6, INFINITY};
    assert_int_equal(lobe_fit(readings, 24, &dish, &fit), 0);
    expect_near(fit.centre_deg, 142.7, 1e-6);
    assert_int_equal(fit.used, 20);
}

static void wild_readings_are_rejected_and_counted(void **state)
{
    struct chance chance = {1};
    struct lobe_reading readings[30];
    struct lobe_fit fit;

    (void)state;
    fill(readings, 30, 142.1, 143.4, 142.7);
    for (int i = 0; i < 30; i++) {
        readings[i].level += chance_normal(&chance, 0.2);
    }
    readings[3].level += 8.0;
    readings[15].level -= 5.0;
    readings[28].level += 4.0;
    assert_int_equal(lobe_fit(readings, 30, &dish, &fit), 0);
    expect_near(fit.centre_deg, 142.7, 0.04);
    assert_int_equal(fit.rejected, 3);
    expect_near(fit.residual, 0.2, 0.07);
}

/* How sure: the centre lies within two standard errors in 95 % of the sweeps. */
static void the_error_stated_is_the_error_made(void **state)
{
    static const struct {
        int n;
        double reach, noise;
    } rows[] = {{5, 0.5, 0.1}, {9, 0.6, 0.3}, {30, 0.7, 0.3}, {200, 0.6, 0.5}};
    struct chance chance = {8};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double sum = 0.0;
        const int trials = 500;
        for (int trial = 0; trial < trials; trial++) {
            struct lobe_reading readings[MANY];
            struct lobe_prior prior = dish;
            struct lobe_fit fit;
            double centre = chance_even(&chance, -0.2, 0.2), off;
            prior.noise = rows[i].noise;
            fill(readings, rows[i].n, -rows[i].reach * 1.46, rows[i].reach * 1.46, centre);
            for (int k = 0; k < rows[i].n; k++) {
                readings[k].level += chance_normal(&chance, rows[i].noise);
            }
            assert_int_equal(lobe_fit(readings, (size_t)rows[i].n, &prior, &fit), 0);
            off = (fit.centre_deg - centre) / fit.centre_error_deg;
            sum += off * off;
        }
        expect_near(sqrt(sum / trials), 1.0, 0.2);
    }
}

/* Total power over a floor 8 dB below the peak: the lobe is wider than the antenna's. */
static void a_floor_widens_the_lobe_but_does_not_shift_the_centre(void **state)
{
    struct lobe_reading readings[40];
    struct lobe_fit fit;

    (void)state;
    for (int i = 0; i < 40; i++) {
        double x = -1.1 + 0.05 * i, power = pow(10.0, lobe(x, 0.3, 1.46) / 10.0 - 1.2);
        readings[i] = (struct lobe_reading){x, 10.0 * log10(5.31 * power + 1.0)};
    }
    assert_int_equal(lobe_fit(readings, 40, &dish, &fit), 0);
    expect_near(fit.centre_deg, 0.3, 0.02 * 1.46);
    expect_near(fit.peak, 8.0, 0.15);
    assert_true(fit.width_deg > 1.55 && fit.width_deg < 1.85);
}

static void curvature_is_held_at_its_bound_when_the_readings_ask_for_more(void **state)
{
    struct lobe_reading readings[30];
    struct lobe_fit fit;

    (void)state;
    for (int i = 0; i < 30; i++) {
        double x = -0.7 + 0.05 * i;
        readings[i] = (struct lobe_reading){x, lobe(x, 0.1, 2.2)};
    }
    assert_int_equal(lobe_fit(readings, 30, &dish, &fit), 0);
    assert_false(fit.width_free);
    expect_near(fit.width_deg, 1.46 / sqrt(0.6), 1e-9);
    expect_near(fit.width_seen_deg, 2.2, 0.02);
    expect_near(fit.centre_deg, 0.1, 0.05);
}

static void a_neighbour_in_the_same_sweep_is_not_taken_into_the_fit(void **state)
{
    struct lobe_reading readings[101];
    struct lobe_fit fit;

    (void)state;
    for (int i = 0; i < 101; i++) {
        double x = -2.0 + 0.06 * i;
        double target = pow(10.0, lobe(x, 0.0, 1.46) / 10.0);
        double other = pow(10.0, lobe(x, 2.9, 1.46) / 10.0 - 0.2);
        readings[i] = (struct lobe_reading){x, 10.0 * log10(target + other + 0.5)};
    }
    assert_int_equal(lobe_fit(readings, 101, &dish, &fit), 0);
    expect_near(fit.centre_deg, 0.0, 0.02 * 1.46);
    expect_near(fit.width_deg, 1.46, 0.1);
}

static void clipped_readings_are_left_out_whether_told_or_seen(void **state)
{
    for (int told = 0; told < 2; told++) {
        struct lobe_reading readings[41];
        struct lobe_prior prior = dish;
        struct lobe_fit fit;
        for (int i = 0; i < 41; i++) {
            double x = -0.8 + 0.045 * i;
            readings[i] = (struct lobe_reading){x, fmin(lobe(x, 0.1, 1.46), 10.0)};
        }
        prior.saturation = told ? 10.0 : NAN;
        assert_int_equal(lobe_fit(readings, 41, &prior, &fit), 0);
        expect_near(fit.centre_deg, 0.1, 1e-6);
        expect_near(fit.peak, 12.0, 1e-5);
        assert_int_equal(fit.clipped, 27);
    }
    (void)state;
}

static void a_coarse_meter_is_not_mistaken_for_a_clipped_one(void **state)
{
    struct chance chance = {12};
    double sum = 0.0;

    (void)state;
    for (int trial = 0; trial < 200; trial++) {
        struct lobe_reading readings[30];
        struct lobe_fit fit;
        double centre = chance_even(&chance, -0.3, 0.3);
        fill(readings, 30, -1.0, 1.0, centre);
        for (int i = 0; i < 30; i++) {
            readings[i].level = round(readings[i].level + chance_normal(&chance, 0.2));
        }
        assert_int_equal(lobe_fit(readings, 30, &dish, &fit), 0);
        assert_int_equal(fit.clipped, 0);
        sum += (fit.centre_deg - centre) * (fit.centre_deg - centre);
    }
    /* 1 dB steps: 0.005 to 0.009 width by simulation without this code; 0.012 allowed here */
    assert_true(sqrt(sum / 200) < 0.012 * 1.46);
}

static void without_a_top_it_says_so(void **state)
{
    static const struct {
        const char *what;
        double slope;
    } rows[] = {{"rising", 3.0}, {"falling", -3.0}, {"flat", 0.0}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        for (int db = 0; db < 2; db++) {
            struct lobe_reading readings[12];
            struct lobe_prior prior = dish;
            struct lobe_fit fit = {.peak = 77.0};
            prior.is_db = db;
            for (int k = 0; k < 12; k++) {
                readings[k] = (struct lobe_reading){0.1 * k, 5.0 + rows[i].slope * 0.1 * k};
            }
            assert_int_equal(lobe_fit(readings, 12, &prior, &fit), -EDOM);
            expect_near(fit.peak, 77.0, 0.0);
        }
    }
}

static void on_a_flank_the_top_is_extrapolated_and_marked_as_not_bracketed(void **state)
{
    struct chance chance = {13};
    struct lobe_reading readings[20];
    struct lobe_prior prior = dish;
    struct lobe_fit fit;

    (void)state;
    prior.noise = 0.1;
    fill(readings, 20, -1.0, -0.3, 0.0);
    for (int i = 0; i < 20; i++) {
        readings[i].level += chance_normal(&chance, 0.1);
    }
    assert_int_equal(lobe_fit(readings, 20, &prior, &fit), 0);
    assert_true(fit.left_reached);
    assert_false(fit.right_reached);
    expect_near(fit.centre_deg, 0.0, 0.25);
    assert_true(fit.centre_error_deg > 0.02);
}

static void too_little_is_no_data(void **state)
{
    struct lobe_reading same[] = {{1.0, 5.0}, {1.0, 5.1}, {1.0, 4.9}, {1.0, 5.0}};
    struct lobe_reading two[] = {{1.0, 5.0}, {1.5, 5.1}};
    struct lobe_reading nans[] = {{1.0, NAN}, {1.5, NAN}, {2.0, NAN}, {2.5, NAN}};
    struct lobe_fit fit = {.peak = 77.0};

    (void)state;
    assert_int_equal(lobe_fit(NULL, 0, &dish, &fit), -ENODATA);
    assert_int_equal(lobe_fit(two, 2, &dish, &fit), -ENODATA);
    assert_int_equal(lobe_fit(same, 4, &dish, &fit), -ENODATA);
    assert_int_equal(lobe_fit(nans, 4, &dish, &fit), -ENODATA);
    assert_int_equal(lobe_bracket(NULL, 0, &dish, &fit), -ENODATA);
    assert_int_equal(lobe_bracket(nans, 4, &dish, &fit), -ENODATA);
    expect_near(fit.peak, 77.0, 0.0);
}

static void more_readings_than_fit_in_are_the_newest(void **state)
{
    struct lobe_reading readings[MANY];
    struct lobe_fit fit;

    (void)state;
    fill(readings, MANY, -1.0, 1.0, 0.2);
    for (int i = 0; i < MANY - LOBE_READINGS; i++) {
        readings[i].level = 90.0;
    }
    assert_int_equal(lobe_fit(readings, MANY, &dish, &fit), 0);
    expect_near(fit.centre_deg, 0.2, 1e-6);
    assert_true(fit.used <= LOBE_READINGS);
}

/* --- equal levels ----------------------------------------------------------------------------- */

/* A meter in percent: monotone, but anything else than logarithmic. */
static double percent(double level)
{
    return 100.0 / (1.0 + exp(-(level - 9.0) / 1.5));
}

static void any_monotone_scale_gives_the_same_middle(void **state)
{
    static const struct {
        int n;
        double reach, tolerance;
    } rows[] = {{5, 0.5, 0.02}, {9, 0.6, 0.015}, {40, 0.7, 0.004}, {400, 0.9, 0.001}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        for (double centre = -0.25; centre < 0.26; centre += 0.05) {
            struct lobe_reading readings[MANY];
            struct lobe_prior prior = dish;
            struct lobe_fit fit;
            prior.is_db = false;
            fill(readings, rows[i].n, -rows[i].reach * 1.46, rows[i].reach * 1.46, centre);
            for (int k = 0; k < rows[i].n; k++) {
                readings[k].level = percent(readings[k].level);
            }
            assert_int_equal(lobe_fit(readings, (size_t)rows[i].n, &prior, &fit), 0);
            assert_true(fit.bracket);
            expect_near(fit.centre_deg, centre, rows[i].tolerance * 1.46);
        }
    }
}

static void of_a_flat_top_it_is_the_middle(void **state)
{
    for (double centre = -0.3; centre < 0.31; centre += 0.1) {
        struct lobe_reading readings[61];
        struct lobe_prior prior = dish;
        struct lobe_fit fit;
        prior.is_db = false;
        prior.saturation = 100.0;
        for (int i = 0; i < 61; i++) {
            double x = -1.5 + 0.05 * i;
            readings[i] =
                (struct lobe_reading){x, fmin(100.0, 1.4 * percent(lobe(x, centre, 1.46)))};
        }
        assert_int_equal(lobe_bracket(readings, 61, &prior, &fit), 0);
        expect_near(fit.centre_deg, centre, 0.01);
        expect_near(fit.peak, 100.0, 0.0);
    }
    (void)state;
}

static void only_clipped_readings_between_two_flanks_are_bracketed(void **state)
{
    struct lobe_reading readings[] = {
        {0.0, 3.0}, {0.5, 10.0}, {1.0, 10.0}, {1.5, 10.0}, {2.0, 3.0}};
    struct lobe_prior prior = dish;
    struct lobe_fit fit;

    (void)state;
    prior.saturation = 10.0;
    assert_int_equal(lobe_fit(readings, 5, &prior, &fit), 0);
    assert_true(fit.bracket);
    expect_near(fit.centre_deg, 1.0, 1e-9);
}

static void a_side_that_was_not_reached_is_no_bracket(void **state)
{
    struct lobe_reading readings[20];
    struct lobe_prior prior = dish;
    struct lobe_fit fit;

    (void)state;
    prior.noise = 0.3;
    fill(readings, 20, -1.0, 0.1, 0.0);
    assert_int_equal(lobe_bracket(readings, 20, &prior, &fit), -EDOM);
}

/* Carrier over noise and over a neighbour's carrier 1.2 widths to the right, 11 dB over the noise
 * at its own top: powers add. Its own top is found by going along, not from the fit. */
static double over_interference(double u)
{
    double wanted = pow(10.0, (13.0 - 12.0 * u * u) / 10.0);
    double other = pow(10.0, (11.0 - 12.0 * (u - 1.2) * (u - 1.2)) / 10.0);

    return 10.0 * log10(wanted / (1.0 + other));
}

static void a_steeper_flank_does_not_pull_the_top_aside(void **state)
{
    struct lobe_reading readings[61];
    struct lobe_prior even = dish, uneven = dish;
    struct lobe_fit plain, fit;
    double top = 0.0;

    (void)state;
    uneven.uneven = true;
    for (double u = -0.3; u < 0.3; u += 0.001) {
        top = over_interference(u) > over_interference(top) ? u : top;
    }
    for (int i = 0; i < 61; i++) {
        double u = 0.65 * (i - 30) / 30.0;
        readings[i] = (struct lobe_reading){142.7 + dish.width_deg * u, over_interference(u)};
    }
    assert_int_equal(lobe_fit(readings, 61, &even, &plain), 0);
    assert_int_equal(lobe_fit(readings, 61, &uneven, &fit), 0);
    assert_true(fabs(plain.centre_deg - 142.7 - top * dish.width_deg) > 0.02 * dish.width_deg);
    assert_true(fabs(fit.centre_deg - 142.7 - top * dish.width_deg) < 0.01 * dish.width_deg);
    /* an even lobe stays where it was */
    fill(readings, 61, 142.0, 143.4, 142.71);
    assert_int_equal(lobe_fit(readings, 61, &uneven, &fit), 0);
    expect_near(fit.centre_deg, 142.71, 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exact_readings_give_the_exact_top),
        cmocka_unit_test(three_stations_have_the_error_of_theory),
        cmocka_unit_test(order_does_not_matter_and_bad_readings_are_left_out),
        cmocka_unit_test(wild_readings_are_rejected_and_counted),
        cmocka_unit_test(the_error_stated_is_the_error_made),
        cmocka_unit_test(a_floor_widens_the_lobe_but_does_not_shift_the_centre),
        cmocka_unit_test(curvature_is_held_at_its_bound_when_the_readings_ask_for_more),
        cmocka_unit_test(a_neighbour_in_the_same_sweep_is_not_taken_into_the_fit),
        cmocka_unit_test(a_steeper_flank_does_not_pull_the_top_aside),
        cmocka_unit_test(clipped_readings_are_left_out_whether_told_or_seen),
        cmocka_unit_test(a_coarse_meter_is_not_mistaken_for_a_clipped_one),
        cmocka_unit_test(without_a_top_it_says_so),
        cmocka_unit_test(on_a_flank_the_top_is_extrapolated_and_marked_as_not_bracketed),
        cmocka_unit_test(too_little_is_no_data),
        cmocka_unit_test(more_readings_than_fit_in_are_the_newest),
        cmocka_unit_test(any_monotone_scale_gives_the_same_middle),
        cmocka_unit_test(of_a_flat_top_it_is_the_middle),
        cmocka_unit_test(only_clipped_readings_between_two_flanks_are_bracketed),
        cmocka_unit_test(a_side_that_was_not_reached_is_no_bracket),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
