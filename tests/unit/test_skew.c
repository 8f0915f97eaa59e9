#include "expect.h"

#include <errno.h>

#include "chance.h"
#include "peaking/skew.h"

static const double rad = 0.017453292519943295769;
static const struct skew_prior meter = {
    .noise = NAN, .is_db = true, .saturation = NAN, .depth_db = NAN};

static double copolar_at(double off_deg)
{
    return 12.0 + 20.0 * log10(fabs(cos(off_deg * rad)));
}

static double crosspolar_at(double off_deg)
{
    return 12.0 + 10.0 * log10(pow(sin(off_deg * rad), 2.0) + 0.001);
}

static size_t sweep(struct skew_reading *readings, size_t n, double low, double high, double at,
                    double (*level)(double))
{
    for (size_t i = 0; i < n; i++) {
        double skew = low + (high - low) * (double)i / (double)(n - 1);
        readings[i] = (struct skew_reading){skew, level(skew - at)};
    }
    return n;
}

static void exact_readings_give_the_exact_skew(void **state)
{
    struct skew_reading readings[60];
    struct skew_fit fit;

    (void)state;
    for (double at = -20.0; at < 21.0; at += 8.0) {
        size_t n = sweep(readings, 30, at - 43.0, at + 35.0, at, copolar_at);
        assert_int_equal(skew_fit_copolar(readings, n, &meter, &fit), 0);
        expect_near(fit.skew_deg, at, 0.05);
        expect_near(fit.level, 12.0, 0.02);
        assert_true(fit.low_reached && fit.high_reached && !fit.bracket);

        n = sweep(readings, 21, at - 4.0, at + 6.0, at, crosspolar_at);
        assert_int_equal(skew_fit_null(readings, n, &meter, &fit), 0);
        expect_near(fit.skew_deg, at, 0.01);
        expect_near(fit.depth_db, 30.0, 0.5);
        expect_near(fit.level, -18.0, 0.2);
        assert_true(fit.low_reached && fit.high_reached);
    }
}

/* Root-mean-square errors for 30 readings, simulated without this code. */
static void errors_are_no_larger_than_theory_allows(void **state)
{
    static const struct {
        const char *what;
        bool cross;
        double reach, clusters, noise, rmse;
    } rows[] = {
        {"sweep of 40 degrees", false, 40, 0, 0.1, 0.28}, {"the same", false, 40, 0, 0.3, 0.86},
        {"30 to both sides", false, 30, 1, 0.1, 0.22},    {"the same", false, 30, 1, 0.3, 0.64},
        {"45 to both sides", false, 45, 1, 0.1, 0.14},    {"the same", false, 45, 1, 0.3, 0.38},
        {"null, 5 to both sides", true, 5, 1, 0.1, 0.02}, {"the same", true, 5, 1, 0.3, 0.07},
    };
    struct chance chance = {4};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double squares = 0.0;
        const int trials = 300;
        for (int trial = 0; trial < trials; trial++) {
            struct skew_reading readings[30];
            struct skew_prior prior = meter;
            struct skew_fit fit;
            double at = chance_even(&chance, -2.0, 2.0), off;
            prior.noise = rows[i].noise;
            for (int k = 0; k < 30; k++) {
                double part = rows[i].clusters > 0.0 ? (k % 2 ? 1.0 : -1.0) : k / 14.5 - 1.0;
                double skew = part * rows[i].reach;
                double level = rows[i].cross ? crosspolar_at(skew - at) : copolar_at(skew - at);
                readings[k] =
                    (struct skew_reading){skew, level + chance_normal(&chance, rows[i].noise)};
            }
            assert_int_equal(rows[i].cross ? skew_fit_null(readings, 30, &prior, &fit)
                                           : skew_fit_copolar(readings, 30, &prior, &fit),
                             0);
            off = fit.skew_deg - at;
            squares += off * off / trials;
        }
        if (!(sqrt(squares) <= 1.1 * rows[i].rmse)) {
            fail_msg("%s, noise %.1f: %.3f degrees", rows[i].what, rows[i].noise, sqrt(squares));
        }
    }
}

static double percent_copolar(double off_deg)
{
    return 100.0 / (1.0 + exp(-(copolar_at(off_deg) - 10.5) / 0.8));
}

static double percent_crosspolar(double off_deg)
{
    return 100.0 / (1.0 + exp(-(crosspolar_at(off_deg) + 8.0) / 4.0));
}

static void any_monotone_unit_is_bracketed(void **state)
{
    struct skew_reading readings[60];
    struct skew_prior prior = meter;
    struct skew_fit fit;
    size_t n;

    (void)state;
    prior.is_db = false;
    n = sweep(readings, 31, -40.0, 40.0, 3.3, percent_copolar);
    assert_int_equal(skew_fit_copolar(readings, n, &prior, &fit), 0);
    assert_true(fit.bracket);
    expect_near(fit.skew_deg, 3.3, 0.3);
    n = sweep(readings, 31, -6.0, 6.0, 0.7, percent_crosspolar);
    assert_int_equal(skew_fit_null(readings, n, &prior, &fit), 0);
    expect_near(fit.skew_deg, 0.7, 0.05);
    expect_near(fit.level, percent_crosspolar(0.0), 1.0);
}

/* --- three stations ------------------------------------------------------------------------- */

enum { STATIONS = 3, AT_STATION = 12 };

/* A receiver whose noise is as strong as the other port's wave would be at 13 dB down. */
static double over_noise(double off_deg, double fade_db)
{
    return 10.0 * log10(1.0 + pow(10.0, (13.0 + fade_db) / 10.0) * pow(sin(off_deg * rad), 2.0));
}

static const double station_deg[STATIONS] = {0.0, -10.0, 10.0};

static void read_stations(struct skew_reading *readings, double at, double noise,
                          const double fade_db[STATIONS], struct chance *chance)
{
    for (int i = 0; i < STATIONS * AT_STATION; i++) {
        double skew = station_deg[i / AT_STATION], fade = fade_db[i / AT_STATION];
        readings[i] = (struct skew_reading){
            skew, over_noise(skew - at, fade) + chance_normal(chance, noise), 0.0};
    }
}

/* Fisher's matrix for a normal noise, the height of the curve's floor and of its top unknown and
 * the latter known to 2 dB beforehand; derivatives by differences. The bound is the root of the
 * element of its inverse. Source: Kay, Fundamentals of Statistical Signal Processing: Estimation
 * Theory (1993), chapter 3. */
static double bound_deg(double at, double noise)
{
    double f[3][3] = {{0}}, step = 1e-4;

    for (int i = 0; i < STATIONS; i++) {
        double off = station_deg[i] - at;
        double by[3] = {
            (over_noise(off - step, 0.0) - over_noise(off + step, 0.0)) / (2.0 * step),
            1.0,
            (over_noise(off, step) - over_noise(off, -step)) / (2.0 * step),
        };
        for (int j = 0; j < 3; j++) {
            for (int k = 0; k < 3; k++) {
                f[j][k] += AT_STATION * by[j] * by[k] / (noise * noise);
            }
        }
    }
    f[2][2] += 1.0 / (2.0 * 2.0);
    return sqrt((f[1][1] * f[2][2] - f[1][2] * f[2][1]) /
                (f[0][0] * (f[1][1] * f[2][2] - f[1][2] * f[2][1]) -
                 f[0][1] * (f[1][0] * f[2][2] - f[1][2] * f[2][0]) +
                 f[0][2] * (f[1][0] * f[2][1] - f[1][1] * f[2][0])));
}

static void three_stations_about_a_shallow_null_are_used_to_the_full(void **state)
{
    static const double steady[STATIONS] = {0.0, 0.0, 0.0}, noises[] = {0.1, 0.3};
    struct skew_prior prior = meter;
    struct chance chance = {6};
    const int trials = 500;

    (void)state;
    prior.depth_db = 13.0;
    prior.depth_sd_db = 2.0;
    for (size_t row = 0; row < 2; row++) {
        double squares = 0.0, claimed = 0.0, bound = bound_deg(1.0, noises[row]);
        prior.noise = noises[row];
        for (int trial = 0; trial < trials; trial++) {
            struct skew_reading readings[STATIONS * AT_STATION];
            struct skew_fit fit;
            read_stations(readings, 1.0, noises[row], steady, &chance);
            assert_int_equal(skew_fit_null(readings, STATIONS * AT_STATION, &prior, &fit), 0);
            squares += (fit.skew_deg - 1.0) * (fit.skew_deg - 1.0) / trials;
            claimed += fit.error_deg / trials;
        }
        print_message("noise %.1f: %.3f deg, claimed %.3f, bound %.3f\n", noises[row],
                      sqrt(squares), claimed, bound);
        /* 5 % for the robust weights, 3 standard errors of 500 trials */
        assert_true(sqrt(squares) <= (1.05 + 3.0 / sqrt(2.0 * trials)) * bound);
        expect_near(claimed, bound, 0.15 * bound);
    }
}

/* The wave 0.4 dB weaker at one side: known, it is no matter. */
static void fading_that_is_known_does_not_shift_the_null(void **state)
{
    static const double faded[STATIONS] = {0.0, 0.0, -0.4};
    struct skew_reading readings[STATIONS * AT_STATION];
    struct skew_prior prior = meter;
    struct chance chance = {7};
    struct skew_fit fit;

    (void)state;
    prior.noise = 0.1;
    prior.depth_db = 13.0;
    prior.depth_sd_db = 2.0;
    read_stations(readings, 1.0, 1e-6, faded, &chance);
    assert_int_equal(skew_fit_null(readings, STATIONS * AT_STATION, &prior, &fit), 0);
    assert_true(fit.skew_deg > 1.15);
    for (int i = 0; i < STATIONS * AT_STATION; i++) {
        readings[i].fade_db = faded[i / AT_STATION];
    }
    assert_int_equal(skew_fit_null(readings, STATIONS * AT_STATION, &prior, &fit), 0);
    expect_near(fit.skew_deg, 1.0, 0.02);
}

/* 8 % a dB, less and less; nobody knows it. */
static void three_stations_will_do_in_any_unit(void **state)
{
    struct skew_reading readings[STATIONS * AT_STATION];
    static const double steady[STATIONS] = {0.0, 0.0, 0.0};
    struct skew_prior prior = meter;
    struct chance chance = {8};
    struct skew_fit fit;

    (void)state;
    prior.is_db = false;
    prior.noise = 0.5;
    prior.depth_db = 12.0;
    prior.depth_sd_db = 4.0;
    for (double at = -2.0; at < 2.1; at += 1.0) {
        read_stations(readings, at, 1e-6, steady, &chance);
        for (int i = 0; i < STATIONS * AT_STATION; i++) {
            readings[i].level = 160.0 * (1.0 - exp(-readings[i].level / 20.0));
        }
        assert_int_equal(skew_fit_null(readings, STATIONS * AT_STATION, &prior, &fit), 0);
        /* the curve is steeper than its rise over the distance by 1.4 to 1.7 times: what the noise
         * is beneath the top is not known any better */
        expect_near(fit.skew_deg, at, 0.1 * fabs(at) + 0.02);
        assert_true(isnan(fit.depth_db));
    }
}

static void a_level_that_does_not_depend_on_skew_is_refused(void **state)
{
    struct chance chance = {5};
    struct skew_reading readings[30];
    struct skew_fit fit = {.used = 77};

    (void)state;
    for (int i = 0; i < 30; i++) {
        readings[i] =
            (struct skew_reading){-40.0 + 80.0 * i / 29.0, 7.0 + chance_normal(&chance, 0.1)};
    }
    assert_int_equal(skew_fit_copolar(readings, 30, &meter, &fit), -EDOM);
    assert_int_equal(fit.used, 77);
}

static void too_little_is_no_data_and_one_side_is_marked(void **state)
{
    struct skew_reading readings[30], same[4] = {{1, 2}, {1, 3}, {1, 2}, {1, NAN}};
    struct skew_prior prior = meter;
    struct skew_fit fit;
    size_t n;

    (void)state;
    assert_int_equal(skew_fit_copolar(NULL, 0, &meter, &fit), -ENODATA);
    assert_int_equal(skew_fit_null(same, 4, &meter, &fit), -ENODATA);
    prior.noise = 0.1;
    n = sweep(readings, 30, 5.0, 45.0, 0.0, copolar_at);
    assert_int_equal(skew_fit_copolar(readings, n, &prior, &fit), 0);
    assert_false(fit.low_reached);
    assert_true(fit.high_reached);
    expect_near(fit.skew_deg, 0.0, 2.0 * fit.error_deg + 0.5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exact_readings_give_the_exact_skew),
        cmocka_unit_test(errors_are_no_larger_than_theory_allows),
        cmocka_unit_test(any_monotone_unit_is_bracketed),
        cmocka_unit_test(three_stations_about_a_shallow_null_are_used_to_the_full),
        cmocka_unit_test(fading_that_is_known_does_not_shift_the_null),
        cmocka_unit_test(three_stations_will_do_in_any_unit),
        cmocka_unit_test(a_level_that_does_not_depend_on_skew_is_refused),
        cmocka_unit_test(too_little_is_no_data_and_one_side_is_marked),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
