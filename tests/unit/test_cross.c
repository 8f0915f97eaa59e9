#include "expect.h"

#include <errno.h>

#include "chance.h"
#include "peaking/cross.h"

/*
 * A panel of 0.6 x 0.35 m at 12 GHz turned 44 degrees: 2.11 x 3.62 degrees (50.76 wavelength /
 * side, row rect-hpbw of rf-relations.csv). Its figures were derived without this code: cuts
 * of 2.56 and 2.60 degrees; an error e in elevation pulls the azimuth peak by 0.48 e.
 */
static struct beam panel(void)
{
    return beam_make(beam_width_deg(0.6, 12.0, 50.7579), beam_width_deg(0.35, 12.0, 50.7579), 44.0);
}

static struct cross_prior prior_of(double noise)
{
    return (struct cross_prior){
        .beam = panel(), .beam_known = true, .noise = noise, .saturation = NAN};
}

static double level_at(double x, double y, double centre_x, double centre_y)
{
    struct beam beam = panel();

    return 14.0 - beam_loss_db(&beam, x - centre_x, y - centre_y);
}

/* A cut along each axis through a start, `n` readings each over half a width to both sides. */
static size_t cuts(struct cross_reading *readings, size_t n, double x, double y, double centre_x,
                   double centre_y)
{
    for (size_t i = 0; i < 2 * n; i++) {
        double off = 2.58 * ((double)(i % n) / (double)(n - 1) - 0.5);
        double at_x = i < n ? x + off : x, at_y = i < n ? y : y + off;
        readings[i] = (struct cross_reading){at_x, at_y, level_at(at_x, at_y, centre_x, centre_y)};
    }
    return 2 * n;
}

static void the_panel_is_the_one_of_the_figures(void **state)
{
    struct beam beam = panel();

    (void)state;
    expect_near(beam_azimuth_width_deg(&beam, 0.0), 2.56, 0.01);
    expect_near(beam_elevation_width_deg(&beam), 2.60, 0.01);
    /* where the azimuth cut at elevation error e has its top: -Qxy / Qxx e */
    expect_near(-beam.xy / beam.xx, 0.48, 0.01);
}

static void exact_readings_give_the_exact_centre_of_a_tilted_beam(void **state)
{
    struct cross_reading readings[40];
    struct cross_prior prior = prior_of(NAN);
    struct cross_fit fit;

    (void)state;
    for (size_t n = 3; n <= 20; n += 17) {
        size_t count = cuts(readings, n, 0.2, 40.3, -0.5, 40.9);
        assert_int_equal(cross_fit(readings, count, &prior, &fit), 0);
        expect_near(fit.x_deg, -0.5, 1e-5);
        expect_near(fit.y_deg, 40.9, 1e-5);
        expect_near(fit.peak, 14.0, 1e-5);
        assert_true(fit.bracketed && fit.scale_free);
    }
}

/* One after the other: what an axis at a time leaves, for comparison, and what the cross leaves. */
static void one_cross_replaces_rounds_of_azimuth_and_elevation(void **state)
{
    struct chance chance = {3};
    struct beam beam = panel();
    double sum = 0.0, expected = 0.0, worst = 0.0;
    const int trials = 1000;

    (void)state;
    for (int trial = 0; trial < trials; trial++) {
        struct cross_reading readings[32];
        struct cross_prior prior = prior_of(0.3);
        struct cross_fit fit;
        double x = chance_even(&chance, -1.3, 1.3), y = chance_even(&chance, -1.3, 1.3), loss;
        size_t n = cuts(readings, 16, x, y, 0.0, 0.0);
        for (size_t i = 0; i < n; i++) {
            readings[i].level += chance_normal(&chance, 0.3);
        }
        if (cross_fit(readings, n, &prior, &fit) < 0) {
            fail_msg("no fit in trial %d", trial);
        }
        loss = beam_loss_db(&beam, fit.x_deg, fit.y_deg);
        sum += loss / trials;
        expected += fit.expected_loss_db / trials;
        worst = fmax(worst, loss);
    }
    /* simulated without this code: 0.18 dB is left on average after azimuth and elevation once,
     * 0.012 after twice. The bound of theory with Q exact and all readings used is 0.003 here. */
    assert_true(sum < 0.02);
    assert_true(worst < 0.6);
    expect_near(expected / sum, 1.0, 0.7);
}

static void a_floor_under_the_lobe_only_changes_the_scale(void **state)
{
    struct cross_reading readings[40];
    struct cross_prior prior = prior_of(0.1);
    struct cross_fit fit;
    size_t n = cuts(readings, 20, 0.4, 0.3, 0.0, 0.0);

    (void)state;
    for (size_t i = 0; i < n; i++) {
        readings[i].level = 10.0 * log10(pow(10.0, (readings[i].level - 14.0) / 10.0) * 9.0 + 1.0);
    }
    assert_int_equal(cross_fit(readings, n, &prior, &fit), 0);
    expect_near(fit.x_deg, 0.0, 0.05);
    expect_near(fit.y_deg, 0.0, 0.05);
    expect_near(fit.beam.xx / prior.beam.xx, 0.87, 0.08);
    expect_near(fit.beam.xy / fit.beam.xx, prior.beam.xy / prior.beam.xx, 1e-9);
}

static void an_unknown_beam_comes_out_of_six_places_in_general_position(void **state)
{
    static const double places[][2] = {{0, 0}, {1, 0}, {-1, 0.1}, {0, 1}, {0.1, -1}, {0.8, 0.9}};
    struct cross_reading readings[6];
    struct cross_prior prior = prior_of(NAN);
    struct beam beam = panel();
    struct cross_fit fit;

    (void)state;
    prior.beam = beam_make(2.5, 2.5, 0.0);
    prior.beam_known = false;
    for (size_t i = 0; i < 6; i++) {
        readings[i] = (struct cross_reading){places[i][0], places[i][1],
                                             level_at(places[i][0], places[i][1], 0.2, -0.1)};
    }
    assert_int_equal(cross_fit(readings, 6, &prior, &fit), 0);
    expect_near(fit.x_deg, 0.2, 1e-6);
    expect_near(fit.y_deg, -0.1, 1e-6);
    expect_near(fit.beam.xx, beam.xx, 1e-6);
    expect_near(fit.beam.yy, beam.yy, 1e-6);
    expect_near(fit.beam.xy, beam.xy, 1e-6);
    assert_int_equal(cross_fit(readings, 5, &prior, &fit), -ENODATA);
}

static void two_cuts_through_one_point_can_not_tell_the_coupling(void **state)
{
    struct cross_reading readings[40];
    struct cross_prior prior = prior_of(NAN);
    struct cross_fit fit;
    size_t n = cuts(readings, 20, 0.2, 0.1, 0.0, 0.0);

    (void)state;
    prior.beam_known = false;
    assert_int_equal(cross_fit(readings, n, &prior, &fit), -EDOM);
}

static void wild_clipped_and_missing_readings_do_no_harm(void **state)
{
    struct chance chance = {6};
    struct cross_reading readings[44];
    struct cross_prior prior = prior_of(NAN);
    struct cross_fit fit;
    size_t n = cuts(readings, 20, 0.3, -0.2, 0.0, 0.0);

    (void)state;
    for (size_t i = 0; i < n; i++) {
        readings[i].level += chance_normal(&chance, 0.1);
    }
    readings[4].level += 9.0;
    readings[30].level -= 6.0;
    readings[n++] = (struct cross_reading){0.0, 0.0, NAN};
    readings[n++] = (struct cross_reading){NAN, 0.0, 14.0};
    readings[n++] = (struct cross_reading){1.2, 0.9, 30.0};
    prior.saturation = 25.0;
    assert_int_equal(cross_fit(readings, n, &prior, &fit), 0);
    expect_near(fit.x_deg, 0.0, 0.1);
    expect_near(fit.y_deg, 0.0, 0.1);
    assert_true(fit.used >= 38);
    assert_int_equal(fit.rejected, 2);
}

static void degenerate_readings_are_refused(void **state)
{
    struct cross_reading line[12], flat[12], slope[12];
    struct cross_prior prior = prior_of(NAN);
    struct cross_fit fit = {.used = 77};

    (void)state;
    for (int i = 0; i < 12; i++) {
        double x = 0.2 * (i % 4) - 0.3, y = 0.3 * (i / 4) - 0.3;
        line[i] = (struct cross_reading){0.1 * i, 0.0, level_at(0.1 * i, 0.0, 0.5, 0.0)};
        flat[i] = (struct cross_reading){2.0 * x, 2.0 * y, 7.0};
        slope[i] = (struct cross_reading){x, y, 7.0 + 40.0 * x};
    }
    assert_int_equal(cross_fit(NULL, 0, &prior, &fit), -ENODATA);
    assert_int_equal(cross_fit(line, 12, &prior, &fit), -EDOM);
    assert_int_equal(cross_fit(flat, 12, &prior, &fit), -EDOM);
    assert_int_equal(cross_fit(slope, 12, &prior, &fit), -EDOM);
    assert_int_equal(fit.used, 77);
}

static void a_centre_outside_the_readings_is_not_bracketed(void **state)
{
    struct cross_reading readings[40];
    struct cross_prior prior = prior_of(0.05);
    struct cross_fit fit;
    size_t n = cuts(readings, 20, 1.6, 0.0, 0.0, 0.0);

    (void)state;
    assert_int_equal(cross_fit(readings, n, &prior, &fit), 0);
    assert_false(fit.bracketed);
    expect_near(fit.x_deg, 0.0, 0.05);
}

static void cross_elevation_shrinks_with_the_cosine_and_runs_through_north(void **state)
{
    (void)state;
    expect_near(cross_elevation_deg(1.0, 359.0, 60.0), 1.0, 1e-9);
    expect_near(cross_elevation_deg(359.0, 1.0, 60.0), -1.0, 1e-9);
    expect_near(cross_azimuth_deg(-1.0, 1.0, 60.0), 359.0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_panel_is_the_one_of_the_figures),
        cmocka_unit_test(exact_readings_give_the_exact_centre_of_a_tilted_beam),
        cmocka_unit_test(one_cross_replaces_rounds_of_azimuth_and_elevation),
        cmocka_unit_test(a_floor_under_the_lobe_only_changes_the_scale),
        cmocka_unit_test(an_unknown_beam_comes_out_of_six_places_in_general_position),
        cmocka_unit_test(two_cuts_through_one_point_can_not_tell_the_coupling),
        cmocka_unit_test(wild_clipped_and_missing_readings_do_no_harm),
        cmocka_unit_test(degenerate_readings_are_refused),
        cmocka_unit_test(a_centre_outside_the_readings_is_not_bracketed),
        cmocka_unit_test(cross_elevation_shrinks_with_the_cosine_and_runs_through_north),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
