/* The physical model: what its meter and its receiver make of what they are given. */
#include "expect.h"

#include <string.h>

#include "make_world.h"

static void a_meter_lags_by_its_time(void **state)
{
    struct world *world = make_world(
        QUIET_SITE "[meter]\nnoise = 0\nlag = 2\nquantum = 0\nreads = power\nperiod = 0.5\n", 1);
    struct world_truth truth = world_truth(world);
    double before = next_level(world), full = db(1.0 + pow(10.0, 1.3)), t;

    (void)state;
    /* the jump takes one step of 20 ms; after one lag 1 - 1/e of it is shown */
    for (int i = 0; i < WORLD_AXES; i++) {
        world_turn(world, (enum world_axis)i, truth.target_deg[i] - truth.pointing_deg[i], 1e6);
    }
    t = world_now(world);
    run_to(world, t + 1.9);
    expect_near(next_level(world), full + (before - full) * exp(-1.0), 0.1);
    run_to(world, t + 30.0);
    expect_near(next_level(world), full, 1e-4);
    world_destroy(world);
}

static void a_meter_quantises_saturates_and_has_noise(void **state)
{
    struct world *coarse =
        make_world(QUIET_SITE "[meter]\nnoise = 0.3\nlag = 0\nquantum = 0.5\nreads = power\n", 3);
    struct world *short_scale =
        make_world(QUIET_SITE "[meter]\nnoise = 0\nlag = 0\nreads = power\nmaximum = 10\n", 3);
    struct world *noisy =
        make_world(QUIET_SITE "[meter]\nnoise = 0.3\nlag = 0\nquantum = 0\nreads = power\n", 3);
    struct world_truth truth = world_truth(coarse);
    double sum = 0.0, square = 0.0;
    int n = 2000;

    (void)state;
    point(short_scale, truth.target_deg[0], truth.target_deg[1], truth.target_deg[2]);
    for (int i = 0; i < 20; i++) {
        double level = next_level(coarse);
        expect_near(level * 2.0, round(level * 2.0), 1e-9);
        expect_near(next_level(short_scale), 10.0, 0.0);
    }
    for (int i = 0; i < n; i++) {
        double level = next_level(noisy) - truth.level_db;
        sum += level;
        square += level * level;
    }
    expect_near(sum / n, 0.0, 4.0 * 0.3 / sqrt(n));
    expect_near(sqrt(square / n), 0.3, 4.0 * 0.3 / sqrt(2.0 * n));
    world_destroy(coarse);
    world_destroy(short_scale);
    world_destroy(noisy);
}

static void a_meter_in_percent_is_bent_but_monotone(void **state)
{
    struct world *world = make_world(
        QUIET_SITE "[meter]\nunit = percent\nnoise = 0\nlag = 0\nquantum = 0\nreads = power\n"
                   "slope = 8\nbend = 12\n",
        1);
    struct world_truth truth = world_truth(world);
    double full = db(1.0 + pow(10.0, 1.3));

    (void)state;
    point(world, truth.target_deg[0], truth.target_deg[1], truth.target_deg[2]);
    expect_near(next_level(world), 8.0 * 12.0 * (1.0 - exp(-full / 12.0)), 1e-6);
    world_destroy(world);
}

static void a_neighbour_disturbs_by_what_falls_into_the_channel(void **state)
{
    static const struct {
        const char *overlap;
        double level;
    } rows[] = {
        /* both in the middle of the beam, 13 and 10 dB over the noise: 10^1.3 / (1 + share 10) */
        {"0", 13.0},
        {"0.5", 13.0 - 7.7815},
        {"1", 13.0 - 10.4139},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1024];
        snprintf(text, sizeof text,
                 QUIET "reads = carrier\nfloor = -40\n[satellite Finch]\nlon = 22.4\nlevel = 10\n"
                       "polarisation = both\noverlap = %s\n",
                 rows[i].overlap);
        struct world *world = make_world(text, 1);
        struct world_truth truth = world_truth(world);
        point(world, truth.target_deg[WORLD_AZIMUTH], truth.target_deg[WORLD_ELEVATION],
              truth.target_deg[WORLD_SKEW]);
        expect_near(world_truth(world).level_db, rows[i].level, 2e-3);
        expect_near(world_level_beside_db(world, 0.0, 0.0), rows[i].level, 2e-3);
        /* half a width off all is 3 dB less: what disturbs, too */
        assert_true(world_level_beside_db(world, 0.5, 0.0) < rows[i].level - 0.2);
        world_destroy(world);
    }
}

static void a_lock_comes_late_and_names_the_carrier(void **state)
{
    struct world *world =
        make_world(QUIET_SITE QUIET_METER "lock_threshold = 5\nlock_delay = 2\n", 1);
    struct world_truth truth = world_truth(world);
    struct world_event event;
    double on_t = 0.0;

    (void)state;
    for (int i = 0; i < WORLD_AXES; i++) {
        world_turn(world, (enum world_axis)i, truth.target_deg[i] - truth.pointing_deg[i], 1e6);
    }
    while (world_next_event(world, 10.0, &event)) {
        if (event.kind == WORLD_LOCK) {
            assert_true(event.lock.locked);
            assert_string_equal(event.lock.id, "WREN");
            on_t = event.t;
        }
    }
    expect_near(on_t, 2.25, 0.3);
    assert_ptr_equal(world_locked(world), &world_scenario(world)->satellites[0]);
    world_turn(world, WORLD_AZIMUTH, 10.0, 1e6);
    while (world_next_event(world, 11.0, &event)) {
        assert_false(event.kind == WORLD_LOCK && event.lock.locked);
    }
    assert_null(world_locked(world));
    world_destroy(world);
}

static void slow_fading_has_its_size_and_rain_its_hour(void **state)
{
    struct world *fading =
        make_world(QUIET_SITE QUIET_METER "[weather]\nfade = 0.4\nfade_time = 2\n", 5);
    struct world *rainy = make_world(
        QUIET_SITE QUIET_METER "[weather]\nrain = 6\nrain_start = 10\nrain_length = 20\n", 5);
    struct world_truth truth = world_truth(fading);
    double full = db(1.0 + pow(10.0, 1.3)), square = 0.0;
    int n = 4000;

    (void)state;
    point(fading, truth.target_deg[0], truth.target_deg[1], truth.target_deg[2]);
    for (int i = 0; i < n; i++) {
        double level = next_level(fading) - full;
        square += level * level;
    }
    /* readings 0.5 s apart are kin for 2 s: 500 independent ones; over noise 13 dB is 0.95 as deep
     */
    expect_near(sqrt(square / n), 0.4 * 0.95, 4.0 * 0.4 / sqrt(2.0 * n / 8.0));
    point(rainy, truth.target_deg[0], truth.target_deg[1], truth.target_deg[2]);
    expect_near(next_level(rainy), full, 1e-6);
    run_to(rainy, 19.6);
    expect_near(next_level(rainy), db(1.0 + pow(10.0, 0.7)), 0.01);
    run_to(rainy, 31.0);
    expect_near(next_level(rainy), full, 1e-6);
    world_destroy(fading);
    world_destroy(rainy);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_meter_lags_by_its_time),
        cmocka_unit_test(a_meter_quantises_saturates_and_has_noise),
        cmocka_unit_test(a_meter_in_percent_is_bent_but_monotone),
        cmocka_unit_test(a_neighbour_disturbs_by_what_falls_into_the_channel),
        cmocka_unit_test(a_lock_comes_late_and_names_the_carrier),
        cmocka_unit_test(slow_fading_has_its_size_and_rain_its_hour),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
