#include "expect.h"

#include <errno.h>

#include "chance.h"
#include "peaking/two_way.h"

static const struct two_way_prior plain = {
    .lobe = {.width_deg = 1.5, .width_known = true, .noise = NAN, .is_db = true, .saturation = NAN},
    .on_structure = true,
    .lag_s = NAN,
    .fastest_deg_s = NAN,
};

/* A hand and a meter: the level goes through a first-order lag in steps far finer than a reading.
 */
struct stand {
    double x, bolt, level, t, next_t; /* x: where the antenna points */
    double lag_s, play, centre, noise;
    bool bolt_scale; /* what is read as the place */
    struct chance chance;
    struct two_way_reading readings[LOBE_READINGS];
    size_t n;
};

static double truth(const struct stand *stand)
{
    double u = (stand->x - stand->centre) / 1.5;

    return 12.0 - 12.0 * u * u;
}

static void start(struct stand *stand, double from)
{
    stand->bolt = from;
    stand->x = from - 0.5 * stand->play;
    stand->level = truth(stand);
    stand->chance.state = 5;
}

/* Turn the bolt to a place at a speed (deg/s), or stand for a while (speed 0, to = seconds). */
static void turn(struct stand *stand, double to, double speed)
{
    const double dt = 0.01;
    double left = speed > 0.0 ? fabs(to - stand->bolt) / speed : to;
    double way = speed > 0.0 ? (to > stand->bolt ? speed : -speed) : 0.0;

    for (; left > 0.0; left -= dt) {
        stand->bolt += way * dt;
        stand->x =
            fmin(fmax(stand->x, stand->bolt - 0.5 * stand->play), stand->bolt + 0.5 * stand->play);
        stand->level += (truth(stand) - stand->level) *
                        (stand->lag_s > 0.0 ? 1.0 - exp(-dt / stand->lag_s) : 1.0);
        stand->t += dt;
        if (stand->t >= stand->next_t && stand->n < LOBE_READINGS) {
            stand->next_t += 0.5;
            stand->readings[stand->n++] = (struct two_way_reading){
                .t = stand->t,
                .x_deg = stand->bolt_scale ? stand->bolt : stand->x,
                .level = stand->level + chance_normal(&stand->chance, stand->noise),
            };
        }
    }
}

static void there_and_back(struct stand *stand, double there, double back)
{
    start(stand, 140.0);
    turn(stand, 3.0, 0.0);
    turn(stand, 142.0, there);
    turn(stand, 2.0, 0.0);
    turn(stand, 140.0, back);
}

static void lag_is_measured_and_taken_off_whatever_the_speeds(void **state)
{
    static const struct {
        double lag_s, there, back;
    } rows[] = {{0.0, 0.1, 0.1}, {0.8, 0.1, 0.1},  {0.8, 0.2, 0.2},
                {2.0, 0.1, 0.1}, {2.0, 0.15, 0.1}, {1.2, 0.1, 0.2}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct stand stand = {.lag_s = rows[i].lag_s, .centre = 141.1};
        struct two_way_fit fit;
        there_and_back(&stand, rows[i].there, rows[i].back);
        assert_int_equal(two_way_fit(stand.readings, stand.n, &plain, &fit), 0);
        expect_near(fit.fit.centre_deg, 141.1, 0.005 * 1.5);
        expect_near(fit.lag_s, rows[i].lag_s, 0.06);
        expect_near(fit.fit.peak, 12.0, 0.05);
        expect_near(fit.play_deg, NAN, 0.0);
        assert_true(fit.forward > 10 && fit.back > 10);
    }
}

/* One way, the shift is speed times lag: that is what one sweep alone can't know. */
static void one_way_needs_the_lag_to_be_known(void **state)
{
    struct stand stand = {.lag_s = 1.0, .centre = 141.1};
    struct two_way_prior prior = plain;
    struct two_way_fit fit;

    (void)state;
    start(&stand, 140.0);
    turn(&stand, 3.0, 0.0);
    turn(&stand, 142.0, 0.15);
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), -ENODATA);
    prior.lag_s = 0.0;
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), 0);
    expect_near(fit.fit.centre_deg, 141.1 + 0.15, 0.02);
    prior.lag_s = 1.0;
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), 0);
    expect_near(fit.fit.centre_deg, 141.1, 0.005);
    assert_int_equal(fit.back, 0);
}

static void play_is_kept_apart_from_a_known_lag(void **state)
{
    struct stand stand = {.lag_s = 0.8, .play = 0.2, .centre = 141.0, .bolt_scale = true};
    struct two_way_prior prior = plain;
    struct two_way_fit fit;

    (void)state;
    there_and_back(&stand, 0.1, 0.1);
    prior.on_structure = false;
    prior.lag_s = 0.8;
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), 0);
    expect_near(fit.play_deg, 0.2, 0.01);
    /* turned upward the antenna lags the bolt by half the play */
    expect_near(fit.fit.centre_deg, 141.1, 0.01);
    expect_near(fit.lag_s, 0.8, 0.0);

    prior.lag_s = NAN;
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), 0);
    expect_near(fit.play_deg, NAN, 0.0);
    assert_true(fabs(fit.fit.centre_deg - 141.1) < 2.0 * fit.fit.centre_error_deg);
}

static void an_antenna_sensor_sees_no_play(void **state)
{
    struct stand stand = {.lag_s = 0.8, .play = 0.2, .centre = 141.0};
    struct two_way_fit fit;

    (void)state;
    there_and_back(&stand, 0.1, 0.1);
    assert_int_equal(two_way_fit(stand.readings, stand.n, &plain, &fit), 0);
    expect_near(fit.fit.centre_deg, 141.0, 0.005);
    expect_near(fit.lag_s, 0.8, 0.06);
}

static void readings_in_hasty_motion_are_discarded_and_counted(void **state)
{
    struct stand stand = {.lag_s = 0.8, .centre = 141.0, .noise = 0.05};
    struct two_way_prior prior = plain;
    struct two_way_fit fit;

    (void)state;
    start(&stand, 140.0);
    turn(&stand, 3.0, 0.0);
    turn(&stand, 142.0, 0.1);
    turn(&stand, 2.0, 0.0);
    turn(&stand, 141.2, 0.1);
    turn(&stand, 140.6, 1.5);
    turn(&stand, 140.2, 0.1);
    turn(&stand, 142.0, 0.15);
    prior.fastest_deg_s = 0.5;
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), 0);
    assert_true(fit.too_fast >= 3 && fit.too_fast <= 8);
    expect_near(fit.fit.centre_deg, 141.0, 0.02);
}

static void speed_is_that_of_the_hand(void **state)
{
    struct two_way_reading readings[20];

    (void)state;
    for (int i = 0; i < 20; i++) {
        readings[i] = (struct two_way_reading){.t = 0.25 * i, .x_deg = 100.0 - 0.3 * 0.25 * i};
    }
    expect_near(two_way_speed(readings, 0), 0.0, 0.0);
    expect_near(two_way_speed(readings, 19), -0.3, 0.003);
}

/* The sensor slips, so that no lag of a meter brings there and back together: the middle of both,
 * if the job says what the lag is. */
static void a_known_lag_helps_out_where_none_is_found(void **state)
{
    struct stand stand = {.lag_s = 0.5, .centre = 141.1, .play = 0.9, .bolt_scale = true};
    struct two_way_prior prior = plain;
    struct two_way_fit fit;

    (void)state;
    start(&stand, 139.9);
    turn(&stand, 3.0, 0.0);
    turn(&stand, 142.7, 0.04);
    turn(&stand, 139.5, 0.04);
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), -EDOM);
    prior.lag_s = 0.5;
    assert_int_equal(two_way_fit(stand.readings, stand.n, &prior, &fit), 0);
    expect_near(fit.lag_s, 0.5, 0.0);
    expect_near(fit.fit.centre_deg, 141.1, 0.1);
}

static void degenerate_sweeps_are_refused(void **state)
{
    struct two_way_reading readings[40];
    struct two_way_prior prior = plain;
    struct two_way_fit fit = {.too_fast = 77};

    (void)state;
    assert_int_equal(two_way_fit(NULL, 0, &plain, &fit), -ENODATA);
    for (int i = 0; i < 40; i++) {
        readings[i] = (struct two_way_reading){.t = 0.5 * i, .x_deg = 140.0, .level = 5.0};
    }
    assert_int_equal(two_way_fit(readings, 40, &plain, &fit), -ENODATA);
    for (int i = 0; i < 40; i++) {
        readings[i].x_deg = 140.0 + 0.1 * (i < 20 ? i : 40 - i);
    }
    assert_int_equal(two_way_fit(readings, 40, &plain, &fit), -EDOM);
    for (int i = 0; i < 40; i++) {
        readings[i].level = NAN;
    }
    prior.lag_s = 1.0;
    assert_int_equal(two_way_fit(readings, 40, &prior, &fit), -ENODATA);
    assert_int_equal(fit.too_fast, 77);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lag_is_measured_and_taken_off_whatever_the_speeds),
        cmocka_unit_test(one_way_needs_the_lag_to_be_known),
        cmocka_unit_test(play_is_kept_apart_from_a_known_lag),
        cmocka_unit_test(an_antenna_sensor_sees_no_play),
        cmocka_unit_test(readings_in_hasty_motion_are_discarded_and_counted),
        cmocka_unit_test(speed_is_that_of_the_hand),
        cmocka_unit_test(a_known_lag_helps_out_where_none_is_found),
        cmocka_unit_test(degenerate_sweeps_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
