/* The physical model: its mount, its meter and what really is. */
#include "expect.h"

#include <string.h>

#include "make_world.h"

/* --- what is lost --------------------------------------------------------------------------- */

static void the_loss_is_that_of_the_pattern_and_of_the_cosine(void **state)
{
    static const struct {
        double cross_elevation, elevation, skew, pointing_loss, skew_loss;
    } rows[] = {
        {0, 0, 0, 0, 0},
        {1, 0, 0, 3.0103, 0}, /* half a width off, B = 2 */
        {0, -1, 0, 3.0103, 0},
        {0, 0, 8.7, 0, 0.1}, /* co-polar: 0.1 dB at 8.7 deg, 0.3 at 15, 1 at 27 (-20 log cos) */
        {0, 0, 15, 0, 0.30},
        {0, 0, -27, 0, 1.00},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct world *world = make_world(QUIET, 1);
        struct world_truth truth = world_truth(world);
        double c = cos(truth.target_deg[WORLD_ELEVATION] / 57.29577951);
        point(world, truth.target_deg[WORLD_AZIMUTH] + rows[i].cross_elevation / c,
              truth.target_deg[WORLD_ELEVATION] + rows[i].elevation,
              truth.target_deg[WORLD_SKEW] + rows[i].skew);
        truth = world_truth(world);
        expect_near(truth.error_deg[WORLD_ELEVATION], rows[i].elevation, 1e-9);
        expect_near(truth.error_deg[WORLD_SKEW], rows[i].skew, 1e-9);
        expect_near(truth.pointing_loss_db, rows[i].pointing_loss, 0.003);
        /* the antenna's own leak fills in a little; off to the side the horizon is turned, too */
        expect_near(truth.skew_loss_db, rows[i].skew_loss, 0.01);
        world_destroy(world);
    }
}

static void the_meter_reads_power_over_noise(void **state)
{
    struct world *world = make_world(QUIET, 1);
    struct world_truth truth = world_truth(world);

    (void)state;
    /* far off: noise alone, 0 dB, with a little spilling over */
    expect_near(next_level(world), 0.0, 0.1);
    point(world, truth.target_deg[WORLD_AZIMUTH], truth.target_deg[WORLD_ELEVATION],
          truth.target_deg[WORLD_SKEW]);
    expect_near(next_level(world), db(1.0 + pow(10.0, 1.3)), 1e-6);
    world_destroy(world);
}

static void isolation_is_that_of_the_turned_polarisation(void **state)
{
    /* -20 log10 tan delta (Maral and Bousquet): 35.16 dB at 1 deg, 29.14 at 2, 21.16 at 5; the
     * antenna's own 80 dB does not count */
    static const struct {
        double skew, isolation;
    } rows[] = {{1, 35.1616}, {2, 29.1383}, {-5, 21.1610}};
    struct world *world =
        make_world(QUIET_SITE "cross_polar = 80\ncross_polar_edge = 80\n" QUIET_METER, 1);
    struct world_truth truth = world_truth(world);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        point(world, truth.target_deg[WORLD_AZIMUTH], truth.target_deg[WORLD_ELEVATION],
              truth.target_deg[WORLD_SKEW] + rows[i].skew);
        expect_near(world_truth(world).isolation_db, rows[i].isolation, 0.01);
    }
    world_destroy(world);
}

/* --- the mount ------------------------------------------------------------------------------ */

static void backlash_eats_a_reversal(void **state)
{
    struct world *world =
        make_world(QUIET "[mount azimuth]\nstart = 100\nbacklash = 0.4\nread = sensor\n", 1);

    (void)state;
    world_turn(world, WORLD_AZIMUTH, 1.0, 10.0);
    run_to(world, 1.0);
    expect_near(world_truth(world).pointing_deg[WORLD_AZIMUTH], 100.8, 1e-9);
    world_turn(world, WORLD_AZIMUTH, -0.4, 10.0); /* only takes up the play */
    run_to(world, 2.0);
    expect_near(world_truth(world).pointing_deg[WORLD_AZIMUTH], 100.8, 1e-9);
    world_turn(world, WORLD_AZIMUTH, -1.0, 10.0);
    run_to(world, 3.0);
    expect_near(world_truth(world).pointing_deg[WORLD_AZIMUTH], 99.8, 1e-9);
    world_turn(world, WORLD_AZIMUTH, 0.5, 10.0); /* back: 0.4 of it is lost */
    run_to(world, 4.0);
    expect_near(world_truth(world).pointing_deg[WORLD_AZIMUTH], 99.9, 1e-9);
    world_destroy(world);
}

static void a_hand_turns_at_its_rate_and_stops_when_told(void **state)
{
    struct world *world = make_world(QUIET "[mount azimuth]\nstart = 100\n", 1);

    (void)state;
    world_turn(world, WORLD_AZIMUTH, 10.0, 0.5);
    run_to(world, 4.0);
    assert_true(world_is_turning(world, WORLD_AZIMUTH));
    expect_near(world_truth(world).pointing_deg[WORLD_AZIMUTH], 102.0, 1e-9);
    expect_near(world_halt(world, WORLD_AZIMUTH), 2.0, 1e-9);
    run_to(world, 5.0);
    expect_near(world_truth(world).pointing_deg[WORLD_AZIMUTH], 102.0, 1e-9);
    world_destroy(world);
}

static void a_hand_is_wrong_by_its_share(void **state)
{
    double sum = 0.0, square = 0.0;
    int n = 400;

    (void)state;
    for (int i = 0; i < n; i++) {
        struct world *world = make_world(QUIET "[mount azimuth]\nstart = 100\n", (uint64_t)i);
        world_set_hand_error(world, 0.1);
        world_turn(world, WORLD_AZIMUTH, 1.0, 10.0);
        run_to(world, 1.0);
        double moved = world_truth(world).pointing_deg[WORLD_AZIMUTH] - 100.0;
        expect_near(world_halt(world, WORLD_AZIMUTH), 1.0, 1e-9);
        sum += moved;
        square += (moved - 1.0) * (moved - 1.0);
        world_destroy(world);
    }
    /* four standard errors; cutting a normal at two of its deviations leaves 0.96 of it */
    expect_near(sum / n, 1.0, 4.0 * 0.1 / sqrt(n));
    expect_near(sqrt(square / n), 0.096, 4.0 * 0.1 / sqrt(2.0 * n));
}

static void a_leaning_mast_moves_where_it_points(void **state)
{
    struct world *world =
        make_world(QUIET "[mount]\nlean = 2\nlean_toward = 90\n"
                         "[mount azimuth]\nstart = 90\n[mount elevation]\nstart = 30\n",
                   1);
    struct world_truth truth = world_truth(world);

    (void)state;
    /* looking the way it leans, the beam drops by the lean */
    expect_near(truth.pointing_deg[WORLD_ELEVATION], 28.0, 1e-9);
    expect_near(truth.pointing_deg[WORLD_AZIMUTH], 90.0, 1e-9);
    /* a quarter of a turn on, it rolls instead, and the beam goes the way it leans */
    point(world, 180.0, 28.0, 0.0);
    truth = world_truth(world);
    assert_true(truth.pointing_deg[WORLD_AZIMUTH] < 180.0);
    assert_true(fabs(truth.pointing_deg[WORLD_SKEW]) > 1.0);
    world_destroy(world);
}

static void fastening_gives_way_and_scales_show_the_mount(void **state)
{
    struct world *world =
        make_world(QUIET "[mount elevation]\nstart = 30\ntighten = -0.2\nscale_zero = -22\n"
                         "[mount skew]\nstart = 10\nscale_zero = 90\nscale_sense = -1\n",
                   1);

    (void)state;
    expect_near(world_scale_deg(world, WORLD_ELEVATION), 8.0, 1e-9);
    expect_near(world_scale_deg(world, WORLD_SKEW), 80.0, 1e-9);
    world_tighten(world, WORLD_ELEVATION);
    run_to(world, 0.5);
    assert_true(world_truth(world).pointing_deg[WORLD_ELEVATION] > 29.8 + 0.02);
    run_to(world, 20.0);
    expect_near(world_truth(world).pointing_deg[WORLD_ELEVATION], 29.8, 1e-6);
    expect_near(world_scale_deg(world, WORLD_ELEVATION), 7.8, 1e-6);
    world_destroy(world);
}

static void an_eased_bolt_springs_back_and_gives_again(void **state)
{
    struct world *world = make_world(QUIET "[mount elevation]\nstart = 30\ntighten = -0.2\n", 1);
    double again;

    (void)state;
    world_set_hand_error(world, 0.0);
    for (int i = 0; i < WORLD_AXES; i++) {
        world_tighten(world, (enum world_axis)i);
    }
    run_to(world, 20.0);
    world_turn(world, WORLD_ELEVATION, 0.5, 1.0);
    run_to(world, 40.0);
    expect_near(world_truth(world).pointing_deg[WORLD_ELEVATION], 30.5, 1e-6);
    world_tighten(world, WORLD_ELEVATION);
    world_tighten(world, WORLD_ELEVATION); /* it is fast already */
    run_to(world, 60.0);
    again = 30.5 - world_truth(world).pointing_deg[WORLD_ELEVATION];
    assert_true(again > 0.1 && again < 0.3 && fabs(again - 0.2) > 1e-6);
    world_destroy(world);
}

static void a_ridge_takes_a_low_satellite(void **state)
{
    struct world *world =
        make_world(QUIET "[blocked ridge]\nfrom = 150\nto = 170\nbelow = 40\nloss = 25\n", 1);
    struct world_truth truth = world_truth(world);

    (void)state;
    point(world, truth.target_deg[0], truth.target_deg[1], truth.target_deg[2]);
    expect_near(next_level(world), db(1.0 + pow(10.0, -1.2)), 1e-6);
    world_destroy(world);
}

static void a_compass_is_magnetic_and_biased_and_a_level_is_off(void **state)
{
    struct world *world = make_world(
        QUIET_SITE "[site]\ndeclination = 4\n" QUIET_METER "[sensors]\ncompass_bias = 6\n"
                   "[mount azimuth]\nstart = 1\nread = sensor\n"
                   "[mount elevation]\nstart = 30\nread = sensor\nsensor_offset = 0.2\n"
                   "[mount skew]\nread = nothing\n",
        1);
    struct world_event event;

    (void)state;
    while (world_next_event(world, 1.0, &event)) {
        if (event.kind == WORLD_ANGLES) {
            expect_near(event.deg[WORLD_AZIMUTH], 1.0 + 6.0 - 4.0, 1e-9);
            expect_near(event.deg[WORLD_ELEVATION], 30.2, 1e-9);
            assert_true(isnan(event.deg[WORLD_SKEW]));
        }
    }
    world_destroy(world);
}

/* --- the seed ------------------------------------------------------------------------------- */

static double fingerprint(uint64_t seed, int steps_a_second)
{
    struct world *world = make_world(
        QUIET_SITE "[mount azimuth]\nread = sensor\nsensor_noise = 0.1\n[weather]\nfade = 0.3\n",
        seed);
    struct world_event event;
    double sum = 0.0;

    for (int i = 1; i <= 60 * steps_a_second; i++) {
        double t = (double)i / steps_a_second;
        while (world_next_event(world, t, &event)) {
            sum = sum * 1.0001 + (event.kind == WORLD_LEVEL    ? event.level
                                  : event.kind == WORLD_ANGLES ? event.deg[0]
                                  : event.kind == WORLD_FIX    ? event.fix.lat_deg
                                                               : 0.0);
        }
        if (i == 30 * steps_a_second) {
            world_turn(world, WORLD_AZIMUTH, 20.0, 2.0);
        }
    }
    world_destroy(world);
    return sum;
}

static void one_seed_one_world_however_often_it_is_asked(void **state)
{
    (void)state;
    expect_near(fingerprint(7, 2), fingerprint(7, 2), 0.0);
    expect_near(fingerprint(7, 10), fingerprint(7, 2), 0.0);
    assert_true(fingerprint(7, 2) != fingerprint(8, 2));
}

static void events_come_when_they_were_announced(void **state)
{
    struct world *world = make_world(QUIET "[mount azimuth]\nread = sensor\n", 1);
    struct world_event event;

    (void)state;
    for (int i = 0; i < 200; i++) {
        double t = world_next_t(world);
        if (t > world_now(world)) {
            assert_int_equal(world_next_event(world, t - 0.01, &event), 0);
        }
        assert_int_equal(world_next_event(world, t, &event), 1);
        expect_near(event.t, t, 1e-9);
    }
    world_destroy(world);
}

static void the_way_off_a_satellite_is_in_the_antennas_own_widths(void **state)
{
    struct world *world = make_world(QUIET, 1);
    struct world_truth truth = world_truth(world);
    double azimuth = truth.target_deg[WORLD_AZIMUTH];
    double elevation = truth.target_deg[WORLD_ELEVATION], beams[2];

    (void)state;
    /* a width of 2 degrees, the satellite a degree above; turned by a quarter it is to the left */
    point(world, azimuth, elevation - 1.0, 0.0);
    world_off_beams(world, 0, beams);
    expect_near(beams[0], 0.0, 1e-3);
    expect_near(beams[1], 0.5, 1e-3);
    point(world, azimuth, elevation - 1.0, 89.99);
    world_off_beams(world, 0, beams);
    expect_near(beams[0], -0.5, 1e-3);
    expect_near(beams[1], 0.0, 1e-3);
    world_destroy(world);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_loss_is_that_of_the_pattern_and_of_the_cosine),
        cmocka_unit_test(the_meter_reads_power_over_noise),
        cmocka_unit_test(isolation_is_that_of_the_turned_polarisation),
        cmocka_unit_test(backlash_eats_a_reversal),
        cmocka_unit_test(a_hand_turns_at_its_rate_and_stops_when_told),
        cmocka_unit_test(a_hand_is_wrong_by_its_share),
        cmocka_unit_test(a_leaning_mast_moves_where_it_points),
        cmocka_unit_test(fastening_gives_way_and_scales_show_the_mount),
        cmocka_unit_test(an_eased_bolt_springs_back_and_gives_again),
        cmocka_unit_test(a_ridge_takes_a_low_satellite),
        cmocka_unit_test(a_compass_is_magnetic_and_biased_and_a_level_is_off),
        cmocka_unit_test(one_seed_one_world_however_often_it_is_asked),
        cmocka_unit_test(events_come_when_they_were_announced),
        cmocka_unit_test(the_way_off_a_satellite_is_in_the_antennas_own_widths),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
