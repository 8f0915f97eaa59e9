#include "expect.h"

#include "peaking/search_plan.h"

static struct search_job round_dish(void)
{
    return (struct search_job){
        .beam = beam_make(1.0, 1.0, 0.0),
        .elevation_deg = 0.0,
        .compass_deg = 10.0,
        .elevation_sd_deg = 0.8,
        .neighbour_deg = 3.0,
        .fall_db = 6.0,
        .period_s = 0.5,
        .lag_s = 0.8,
        .fastest_deg_s = 100.0,
    };
}

/* Derived without this code: D = 6 dB: step 1.0 width; D = 3: 0.7; the chord equals the step. */
static void step_and_speed_follow_from_the_beam_and_the_meter(void **state)
{
    static const struct {
        double fall_db, lock_s, step, rate;
    } rows[] = {
        {6.0, 0.0, 1.0, 0.48},
        {6.0, 3.0, 1.0, 0.29},
        {3.0, 0.0, 0.7, 0.34},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct search_job job = round_dish();
        struct search_plan plan;
        job.fall_db = rows[i].fall_db;
        job.lock_s = rows[i].lock_s;
        plan = search_plan_make(&job);
        expect_near(plan.step_deg, rows[i].step, 0.01);
        expect_near(plan.chord_deg, plan.step_deg, 1e-9);
        expect_near(plan.rate_deg_s, rows[i].rate, 0.005);
        expect_near(plan.span_deg, 16.0, 1e-9);
    }
}

/* 0.8 degrees of elevation error and lines 0.95 apart: 2.0 lines on average, 4 in 95 %. */
static void lines_go_outward_from_the_likeliest_elevation(void **state)
{
    static const double steps[] = {0, 1, -1, 2, -2, 3, -3};
    struct search_job job = round_dish();
    struct search_plan plan;
    double mean = 0.0;

    (void)state;
    job.beam = beam_make(0.95, 0.95, 0.0);
    plan = search_plan_make(&job);
    expect_near(plan.step_deg, 0.95, 1e-9);
    for (int i = 0; i < plan.lines; i++) {
        expect_near(plan.offset_deg[i], steps[i] * 0.95, 1e-9);
        mean += (plan.covered[i] - (i > 0 ? plan.covered[i - 1] : 0.0)) * (i + 1);
    }
    expect_near(mean, 2.0, 0.1);
    assert_true(plan.covered[2] < 0.95 && plan.covered[3] > 0.95);
    assert_true(plan.covered[plan.lines - 1] >= 0.98);
    /* within one sd of 0.475 / 0.8: tables of the normal distribution, 2 (Phi(0.594) - 0.5) */
    expect_near(plan.covered[0], 0.447, 0.001);
    assert_true(plan.expected_s < 0.5 * plan.longest_s);
    expect_near(plan.longest_s, plan.lines * plan.line_s, 1e-9);
}

static void azimuth_is_wider_up_high(void **state)
{
    struct search_job job = round_dish();
    struct search_plan low = search_plan_make(&job), high;

    (void)state;
    job.elevation_deg = 60.0;
    high = search_plan_make(&job);
    expect_near(high.chord_deg, 2.0 * low.chord_deg, 1e-9);
    expect_near(high.rate_deg_s, 2.0 * low.rate_deg_s, 1e-9);
    expect_near(high.step_deg, low.step_deg, 1e-9);
}

/* Walk along lines of a tilted panel: nowhere between two lines does the level fall further. */
static void no_place_between_the_lines_of_a_turned_panel_is_out_of_reach(void **state)
{
    struct search_job job = round_dish();
    struct search_plan plan;

    (void)state;
    for (double turn = 0.0; turn < 180.0; turn += 15.0) {
        double least_chord = INFINITY;
        job.beam = beam_make(2.1, 3.6, turn);
        plan = search_plan_make(&job);
        for (double y = -0.5 * plan.step_deg; y <= 0.5001 * plan.step_deg; y += 0.02) {
            double chord = 0.0;
            for (double x = -6.0; x < 6.0; x += 0.01) {
                chord += beam_loss_db(&job.beam, x, y) <= 6.0 ? 0.01 : 0.0;
            }
            least_chord = fmin(least_chord, chord);
        }
        expect_near(least_chord, plan.chord_deg, 0.06);
    }
}

static void a_hand_is_not_asked_for_more_than_it_can(void **state)
{
    struct search_job job = round_dish();

    (void)state;
    job.beam = beam_make(20.0, 20.0, 0.0);
    job.fastest_deg_s = NAN;
    expect_near(search_plan_make(&job).rate_deg_s, 3.0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(step_and_speed_follow_from_the_beam_and_the_meter),
        cmocka_unit_test(lines_go_outward_from_the_likeliest_elevation),
        cmocka_unit_test(azimuth_is_wider_up_high),
        cmocka_unit_test(no_place_between_the_lines_of_a_turned_panel_is_out_of_reach),
        cmocka_unit_test(a_hand_is_not_asked_for_more_than_it_can),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
