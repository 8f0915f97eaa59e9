/* Tops in a level that rises and falls along a sweep. Lobes are the parabola of lobe.h; the shift
 * by lag is speed times lag (a parabola through a first-order lag: elementary). */
#include "expect.h"

#include <string.h>

#include "coach/sweep.h"

static const double width = 2.0, period = 0.25;
static const struct record_lock dark;

static double lobe(double x, double centre, double top)
{
    double off = (x - centre) / width;

    return fmax(top - 12.0 * off * off, 0.0);
}

/* Sweep over lobes at 0 and 5 degrees; how many tops were met, and the last of them. */
static int sweep_over(double from, double speed, double lag_s, double spark_at, double tops[2],
                      struct sweep_peak *met)
{
    struct sweep_finder finder;
    double shown = fmax(lobe(from, 0.0, tops[0]), lobe(from, 5.0, tops[1]));
    int count = 0;

    sweep_finder_init(&finder, width, lag_s, 0.1, LEVEL_DB);
    for (int i = 0; i < 400; i++) {
        double t = i * period, x = from + speed * t;
        double now = fmax(lobe(x, 0.0, tops[0]), lobe(x, 5.0, tops[1]));
        double level;
        /* ten steps of the meter's inside between two readings */
        for (int k = 0; k < 10 && lag_s > 0.0; k++) {
            double at = x - speed * period * (9 - k) / 10.0;
            double real = fmax(lobe(at, 0.0, tops[0]), lobe(at, 5.0, tops[1]));
            shown += (real - shown) * (1.0 - exp(-period / 10.0 / lag_s));
        }
        level = lag_s > 0.0 ? shown : now;
        level += fabs(x - spark_at) < 0.5 * speed * period ? 9.0 : 0.0;
        if (x > 9.0) {
            break;
        }
        count += sweep_finder_push(&finder, t, x, 30.0, level, &dark, &met[count]);
    }
    return count;
}

static void two_carriers_are_two_tops_at_their_places(void **unused)
{
    struct sweep_peak met[8];

    (void)unused;
    assert_int_equal(sweep_over(-5.0, 1.0, 0.0, NAN, (double[2]){13.0, 9.0}, met), 2);
    expect_near(met[0].x, 0.0, 0.05);
    expect_near(met[1].x, 5.0, 0.05);
    expect_near(met[0].level, 13.0, 0.3);
    expect_near(met[0].width_deg, width, 0.2);
    assert_false(met[0].half);
}

static void the_meters_lag_is_taken_off(void **unused)
{
    struct sweep_peak met[8];

    (void)unused;
    assert_int_equal(sweep_over(-5.0, 1.0, 0.8, NAN, (double[2]){13.0, 9.0}, met), 2);
    /* 0.8 degrees but for the lag; speed times lag would take off 0.2 too much, for the level rose
     * out of the floor only a moment ago */
    expect_near(met[0].x, 0.0, 0.06);
    expect_near(met[1].x, 5.0, 0.06);
}

static void a_spark_is_no_carrier(void **unused)
{
    struct sweep_peak met[8];

    (void)unused;
    assert_int_equal(sweep_over(-5.0, 1.0, 0.0, -3.5, (double[2]){13.0, 9.0}, met), 2);
    expect_near(met[0].x, 0.0, 0.05);
}

static void a_sweep_that_begins_on_a_carrier_has_seen_half_of_it(void **unused)
{
    struct sweep_peak met[8];

    (void)unused;
    assert_int_equal(sweep_over(0.3, 1.0, 0.0, NAN, (double[2]){13.0, 9.0}, met), 2);
    assert_true(met[0].half);
    assert_false(met[1].half);
    expect_near(met[1].x, 5.0, 0.05);
}

static void noise_alone_is_nothing(void **unused)
{
    struct sweep_peak met[8];

    (void)unused;
    assert_int_equal(sweep_over(-5.0, 1.0, 0.0, NAN, (double[2]){1.5, 0.0}, met), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_carriers_are_two_tops_at_their_places),
        cmocka_unit_test(the_meters_lag_is_taken_off),
        cmocka_unit_test(a_spark_is_no_carrier),
        cmocka_unit_test(a_sweep_that_begins_on_a_carrier_has_seen_half_of_it),
        cmocka_unit_test(noise_alone_is_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
