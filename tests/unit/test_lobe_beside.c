/* The lobe is the Fourier transform of a tapered dish (sim/aperture.c, itself held to the
 * textbook's side lobes); carrier over noise and interference is C / (1 + I), noise being 1. */
#include "expect.h"

#include "chance.h"
#include "peaking/lobe.h"
#include "sim/aperture.h"

enum { READINGS = 50, TRIALS = 100 };

static const double width = 2.39, top_db = 13.0;

static const struct lobe_prior dish = {.width_deg = 2.39,
                                       .width_known = true,
                                       .noise = 0.15,
                                       .is_db = true,
                                       .saturation = NAN,
                                       .uneven = true,
                                       .near_count = 2,
                                       .near = {{1.24, 0.05}, {-1.24, -0.05}},
                                       .unit_per_db = 1.0};

/* With neighbours of these levels 1.24 widths to the right and to the left; -INFINITY = none. */
static double carrier_db(double u, double right_db, double left_db)
{
    static const struct aperture it = {.width_deg = 2.39, .floor_db = -42.0};
    double others = pow(10.0, right_db / 10.0) * aperture_gain(&it, (u - 1.24) * width, 0.0) +
                    pow(10.0, left_db / 10.0) * aperture_gain(&it, (u + 1.24) * width, 0.0);

    return top_db + 10.0 * log10(aperture_gain(&it, u * width, 0.0) / (1.0 + others));
}

/* Mean and root-mean-square of where the middle is found, widths off, over many noisy passes. */
static void find_often(const struct lobe_prior *prior, double right_db, double left_db,
                       double *ret_mean, double *ret_rms)
{
    struct chance chance = {7};
    double sum = 0.0, squares = 0.0;

    for (int k = 0; k < TRIALS; k++) {
        struct lobe_reading readings[READINGS];
        struct lobe_fit fit;
        double middle = chance_even(&chance, -0.1, 0.1);
        for (int i = 0; i < READINGS; i++) {
            double u = 1.3 * (i / (READINGS - 1.0) - 0.5) - middle;
            double level = carrier_db(u, right_db, left_db) + chance_normal(&chance, 0.15);
            readings[i] = (struct lobe_reading){(u + middle) * width, level * prior->unit_per_db};
        }
        assert_int_equal(lobe_fit(readings, READINGS, prior, &fit), 0);
        sum += fit.centre_deg / width - middle;
        squares += (fit.centre_deg / width - middle) * (fit.centre_deg / width - middle);
    }
    *ret_mean = sum / TRIALS;
    *ret_rms = sqrt(squares / TRIALS);
}

static void a_neighbour_does_not_pull_the_middle_aside(void **state)
{
    struct lobe_prior plain = dish, percent = dish;
    double mean, rms;

    (void)state;
    plain.uneven = false;
    percent.is_db = false;
    percent.unit_per_db = 6.0;
    percent.noise *= 6.0;
    find_often(&plain, 11.5, -INFINITY, &mean, &rms);
    assert_true(mean < -0.08); /* a parabola's top */
    find_often(&dish, 11.5, -INFINITY, &mean, &rms);
    assert_true(fabs(mean) < 0.02 && rms < 0.025);
    find_often(&dish, -INFINITY, 11.5, &mean, &rms);
    assert_true(fabs(mean) < 0.02 && rms < 0.025);
    find_often(&percent, 11.5, -INFINITY, &mean, &rms);
    assert_true(fabs(mean) < 0.02 && rms < 0.025);
}

static void neighbours_that_are_silent_or_alike_leave_it_where_it_is(void **state)
{
    double mean, rms;

    (void)state;
    find_often(&dish, -INFINITY, -INFINITY, &mean, &rms);
    assert_true(fabs(mean) < 0.005 && rms < 0.02);
    find_often(&dish, 11.0, 11.0, &mean, &rms);
    assert_true(fabs(mean) < 0.005 && rms < 0.02);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_neighbour_does_not_pull_the_middle_aside),
        cmocka_unit_test(neighbours_that_are_silent_or_alike_leave_it_where_it_is),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
