/* What the simulator's antennas receive from where. */
#include "expect.h"

#include "sim/aperture.h"

static double db(double ratio)
{
    return 10.0 * log10(ratio);
}

/* The highest gain between two offsets, and where. */
static double find_top(const struct aperture *aperture, double from, double to, double *ret_at)
{
    double top = -INFINITY;

    for (double x = from; x <= to; x += 0.001) {
        double gain = db(aperture_gain(aperture, x, 0.0));
        if (gain > top) {
            top = gain;
            *ret_at = x;
        }
    }
    return top;
}

static void a_dish_has_the_side_lobes_of_a_tapered_aperture(void **state)
{
    /* half-power width 1, so that offsets are in beamwidths; docs/simulator.md has the table:
     * -21 dB at 1.58 for a tapered dish (computed apart from this code) */
    struct aperture dish = {.width_deg = 1.0, .floor_db = -90.0};
    double at = NAN;

    (void)state;
    expect_near(db(aperture_gain(&dish, 0.0, 0.0)), 0.0, 1e-9);
    expect_near(db(aperture_gain(&dish, 0.5, 0.0)), -3.0103, 1e-3);
    expect_near(db(aperture_gain(&dish, 0.3, 0.4)), -3.0103, 1e-3);
    expect_near(find_top(&dish, 1.24, 2.1, &at), -21.0, 0.1);
    expect_near(at, 1.58, 0.01);
    assert_true(db(aperture_gain(&dish, 1.23, 0.0)) < -45.0);
    /* the square law of the main lobe: -12 (x/B)^2 (Maral and Bousquet, from memory), a twentieth
     * steeper than this pattern at its very top */
    expect_near(db(aperture_gain(&dish, 0.1, 0.0)), -0.12, 0.007);
    expect_near(db(aperture_gain(&dish, 0.25, 0.0)), -0.75, 0.03);
}

static void a_panel_has_the_side_lobes_of_a_uniform_aperture(void **state)
{
    struct aperture panel = {.panel = true, .width_deg = 1.0, .height_deg = 2.0, .floor_db = -90.0};
    double at = NAN;

    (void)state;
    expect_near(db(aperture_gain(&panel, 0.5, 0.0)), -3.0103, 1e-3);
    expect_near(db(aperture_gain(&panel, 0.0, 1.0)), -3.0103, 1e-3);
    expect_near(db(aperture_gain(&panel, 0.5, 1.0)), -6.0206, 1e-3);
    /* uniform rectangle: -13.2615 dB at 1.4303/0.8859 half-power widths (Balanis; computed) */
    expect_near(find_top(&panel, 1.14, 2.2, &at), -13.2615, 0.001);
    expect_near(at, 1.4303 / 0.8859, 0.002);
    /* 50.7579 wavelengths per side, the same source */
    expect_near(aperture_width_deg(true, 0.6, 12.0), 50.7579 * 0.299792458 / 12.0 / 0.6, 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dish_has_the_side_lobes_of_a_tapered_aperture),
        cmocka_unit_test(a_panel_has_the_side_lobes_of_a_uniform_aperture),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
