#include "expect.h"

#include <errno.h>

#include "chance.h"
#include "peaking/arc_match.h"
#include "sky/angle.h"
#include "sky/look.h"

/* An invented arc of unequal gaps, seen from a place in the Alps. */
static const double longitudes[] = {3.0, 5.2, 9.0, 11.1, 13.3, 18.0, 20.1, 24.6, 26.9, 29.0};
enum { SATELLITES = 10, TARGET = 4 };

static const struct arc_prior usual = {
    .bias_sd_deg = 8.0,
    .azimuth_error_deg = 0.3,
    .elevation_error_deg = 0.1,
    .level_error_db = 2.0,
    .missed = 0.05,
    .low_deg = NAN,
    .high_deg = NAN,
    .sure = 0.98,
};

static void predict(struct arc_satellite *satellites)
{
    struct look_site site = {.lat_deg = 46.6, .lon_deg = 10.1, .height_m = 2200.0};

    for (int i = 0; i < SATELLITES; i++) {
        struct look look = look_at_geostationary(&look_earth_wgs84, &site, longitudes[i]);
        satellites[i] = (struct arc_satellite){look.azimuth_deg, look.elevation_deg, NAN};
    }
}

static struct arc_peak peak_of(const struct arc_satellite *satellite, double bias)
{
    return (struct arc_peak){angle_wrap_deg(satellite->azimuth_deg + bias),
                             satellite->elevation_deg, NAN, NAN, -1};
}

static void a_biased_compass_is_found_out_and_each_peak_named(void **state)
{
    struct arc_satellite satellites[SATELLITES];

    (void)state;
    predict(satellites);
    for (double bias = -16.0; bias < 17.0; bias += 4.0) {
        struct arc_peak peaks[5];
        struct arc_match match;
        /* given out of order */
        for (int i = 0; i < 5; i++) {
            peaks[i] = peak_of(&satellites[2 + (3 * i) % 5], bias);
        }
        assert_int_equal(arc_match(peaks, 5, satellites, SATELLITES, TARGET, &usual, &match), 0);
        assert_int_equal(match.doubt, ARC_SURE);
        for (int i = 0; i < 5; i++) {
            assert_int_equal(match.satellite[i], 2 + (3 * i) % 5);
            assert_true(match.probability[i] > 0.99);
        }
        assert_int_equal(match.satellite[match.target_peak], TARGET);
        expect_near(match.bias_deg, bias, 0.1);
        assert_true(match.bias_error_deg < 0.2);
        assert_true(match.misfit < 0.5);
    }
}

static void north_makes_no_difference(void **state)
{
    struct arc_satellite satellites[SATELLITES];
    struct arc_peak peaks[4];
    struct arc_match match;

    (void)state;
    predict(satellites);
    for (int i = 0; i < SATELLITES; i++) {
        satellites[i].azimuth_deg = angle_wrap_deg(satellites[i].azimuth_deg - 180.0);
    }
    for (int i = 0; i < 4; i++) {
        peaks[i] = peak_of(&satellites[2 + i], -5.0);
    }
    assert_int_equal(arc_match(peaks, 4, satellites, SATELLITES, TARGET, &usual, &match), 0);
    assert_int_equal(match.doubt, ARC_SURE);
    assert_int_equal(match.target_peak, 2);
}

/* Equal steps, no elevations: nothing tells them apart but the compass, which is not enough. */
static void an_even_arc_leaves_it_open(void **state)
{
    struct arc_satellite satellites[9];
    struct arc_peak peaks[5];
    struct arc_match match;

    (void)state;
    for (int i = 0; i < 9; i++) {
        satellites[i] = (struct arc_satellite){160.0 + 3.0 * i, 35.0, NAN};
    }
    for (int i = 0; i < 5; i++) {
        peaks[i] = (struct arc_peak){166.0 + 3.0 * i, NAN, NAN, NAN, -1};
    }
    assert_int_equal(arc_match(peaks, 5, satellites, 9, 4, &usual, &match), 0);
    assert_int_equal(match.doubt, ARC_AMBIGUOUS);
    assert_true(match.target_probability < 0.6);

    /* until the receiver names one of them, and not even the target */
    peaks[3].id = 4;
    assert_int_equal(arc_match(peaks, 5, satellites, 9, 4, &usual, &match), 0);
    assert_int_equal(match.doubt, ARC_SURE);
    assert_int_equal(match.target_peak, 3);
    peaks[3].id = 6;
    assert_int_equal(arc_match(peaks, 5, satellites, 9, 4, &usual, &match), 0);
    assert_int_equal(match.doubt, ARC_SURE);
    assert_int_equal(match.target_peak, 1);
    expect_near(match.bias_deg, -3.0, 0.1);
}

static void a_single_peak_is_not_sure_with_a_bad_compass_but_with_a_good_one(void **state)
{
    struct arc_satellite satellites[SATELLITES];
    struct arc_peak peak;
    struct arc_prior prior = usual;
    struct arc_match match;

    (void)state;
    predict(satellites);
    peak = peak_of(&satellites[TARGET], 0.0);
    peak.elevation_deg = NAN;
    assert_int_equal(arc_match(&peak, 1, satellites, SATELLITES, TARGET, &prior, &match), 0);
    assert_int_not_equal(match.doubt, ARC_SURE);
    prior.bias_sd_deg = 0.4;
    peak.elevation_deg = satellites[TARGET].elevation_deg;
    assert_int_equal(arc_match(&peak, 1, satellites, SATELLITES, TARGET, &prior, &match), 0);
    assert_int_equal(match.doubt, ARC_SURE);
}

static void a_target_that_was_not_met_is_not_made_up(void **state)
{
    struct arc_satellite satellites[SATELLITES];
    struct arc_peak peaks[4];
    struct arc_prior prior = usual;
    struct arc_match match;

    (void)state;
    predict(satellites);
    for (int i = 0; i < 4; i++) {
        static const int met[] = {1, 2, 3, 5};
        peaks[i] = peak_of(&satellites[met[i]], 6.0);
    }
    prior.low_deg = satellites[0].azimuth_deg + 5.0;
    prior.high_deg = satellites[6].azimuth_deg + 5.0;
    /* azimuth falls as longitude grows */
    double swapped = prior.low_deg;
    prior.low_deg = prior.high_deg;
    prior.high_deg = swapped;
    assert_int_equal(arc_match(peaks, 4, satellites, SATELLITES, TARGET, &prior, &match), 0);
    assert_int_equal(match.doubt, ARC_MISSING);
    assert_int_equal(match.target_peak, -1);
    assert_true(match.missing_probability > 0.9);
    expect_near(match.bias_deg, 6.0, 0.15);
    assert_int_equal(match.satellite[0], 1);
    assert_int_equal(match.satellite[3], 5);
}

static void a_stranger_among_them_is_named_as_such(void **state)
{
    struct arc_satellite satellites[SATELLITES];
    struct arc_peak peaks[6];
    struct arc_match match;

    (void)state;
    predict(satellites);
    for (int i = 0; i < 5; i++) {
        peaks[i] = peak_of(&satellites[2 + i], -7.0);
    }
    /* a side lobe: narrow, and off the arc */
    peaks[5] = (struct arc_peak){satellites[3].azimuth_deg - 5.6, satellites[3].elevation_deg + 1.0,
                                 NAN, 0.5, -1};
    assert_int_equal(arc_match(peaks, 6, satellites, SATELLITES, TARGET, &usual, &match), 0);
    assert_int_equal(match.doubt, ARC_SURE);
    assert_int_equal(match.satellite[5], -1);
    assert_int_equal(match.strangers, 1);
}

static void what_fits_nothing_is_called_a_poor_fit(void **state)
{
    struct arc_satellite satellites[SATELLITES];
    struct arc_peak peaks[5];
    struct arc_match match;

    (void)state;
    predict(satellites);
    for (int i = 0; i < 5; i++) {
        peaks[i] = (struct arc_peak){170.0 + 1.1 * i * i, 20.0 - i, NAN, NAN, -1};
    }
    assert_int_equal(arc_match(peaks, 5, satellites, SATELLITES, TARGET, &usual, &match), 0);
    assert_int_equal(match.doubt, ARC_POOR_FIT);
}

/*
 * Crowded skies: sure and wrong must be rarer than 1 in 200. Simulated without this code: right in
 * 99.5 % where the target is among the peaks, with elevations.
 */
static void sure_is_right_in_crowded_skies(void **state)
{
    struct chance chance = {17};
    int met = 0, right = 0, wrong = 0;
    const int skies = 200;

    (void)state;
    for (int sky = 0; sky < skies; sky++) {
        struct look_site site = {.lat_deg = chance_even(&chance, 20.0, 55.0), .lon_deg = 10.0};
        struct arc_satellite satellites[ARC_SATELLITES];
        struct arc_peak peaks[ARC_PEAKS];
        struct arc_match match;
        double bias = chance_normal(&chance, 5.0), at = chance_even(&chance, -50.0, -20.0);
        size_t m = 0, n = 0;
        int truth = -1;
        while (m < 22) {
            struct look look = look_at_geostationary(&look_earth_wgs84, &site, 10.0 + at);
            satellites[m++] = (struct arc_satellite){look.azimuth_deg, look.elevation_deg, NAN};
            at += chance_even(&chance, 0.0, 1.0) < 0.6 ? chance_even(&chance, 1.9, 3.1)
                                                       : chance_even(&chance, 3.0, 6.0);
        }
        for (size_t i = 0; i < m; i++) {
            double off = angle_turn_deg(satellites[11].azimuth_deg, satellites[i].azimuth_deg);
            if (fabs(off + bias) > 14.0 || chance_even(&chance, 0.0, 1.0) < 0.05 ||
                n == ARC_PEAKS) {
                continue;
            }
            truth = i == 11 ? (int)n : truth;
            peaks[n] = peak_of(&satellites[i], bias + chance_normal(&chance, 0.3));
            peaks[n++].elevation_deg += chance_normal(&chance, 0.1);
        }
        struct arc_prior prior = usual;
        prior.low_deg = satellites[11].azimuth_deg - 14.0;
        prior.high_deg = satellites[11].azimuth_deg + 14.0;
        assert_int_equal(arc_match(peaks, n, satellites, m, 11, &prior, &match), 0);
        met += truth >= 0;
        if (match.doubt == ARC_SURE) {
            right += match.target_peak == truth;
            wrong += match.target_peak != truth;
        }
    }
    assert_true(met > 180);
    assert_true(right >= 0.97 * met);
    assert_true(wrong <= 1);
}

static void bad_calls_are_refused(void **state)
{
    struct arc_satellite satellites[ARC_SATELLITES + 1] = {{180.0, 35.0, NAN}};
    struct arc_peak peaks[ARC_PEAKS + 1] = {{180.0, 35.0, NAN, NAN, -1}};
    struct arc_match match = {.strangers = 77};

    (void)state;
    assert_int_equal(arc_match(peaks, 0, satellites, 1, 0, &usual, &match), -ENODATA);
    assert_int_equal(arc_match(peaks, 1, satellites, 0, 0, &usual, &match), -ENODATA);
    assert_int_equal(arc_match(peaks, ARC_PEAKS + 1, satellites, 1, 0, &usual, &match), -EINVAL);
    assert_int_equal(arc_match(peaks, 1, satellites, ARC_SATELLITES + 1, 0, &usual, &match),
                     -EINVAL);
    assert_int_equal(arc_match(peaks, 1, satellites, 1, 1, &usual, &match), -EINVAL);
    assert_int_equal(arc_match(peaks, 1, satellites, 1, -1, &usual, &match), -EINVAL);
    peaks[0].azimuth_deg = NAN;
    assert_int_equal(arc_match(peaks, 1, satellites, 1, 0, &usual, &match), -EINVAL);
    assert_int_equal(match.strangers, 77);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_biased_compass_is_found_out_and_each_peak_named),
        cmocka_unit_test(north_makes_no_difference),
        cmocka_unit_test(an_even_arc_leaves_it_open),
        cmocka_unit_test(a_single_peak_is_not_sure_with_a_bad_compass_but_with_a_good_one),
        cmocka_unit_test(a_target_that_was_not_met_is_not_made_up),
        cmocka_unit_test(a_stranger_among_them_is_named_as_such),
        cmocka_unit_test(what_fits_nothing_is_called_a_poor_fit),
        cmocka_unit_test(sure_is_right_in_crowded_skies),
        cmocka_unit_test(bad_calls_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
