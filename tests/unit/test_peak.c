#include "expect.h"

#include "chance.h"
#include "coach/peak.h"
#include "peaking/lobe.h"

/*
 * A beam of 2.11 by 3.62 degrees turned by 44: cuts of 2.56 and 2.60 degrees, an elevation error e
 * pulls the azimuth's top by 0.48 e. Worked out for this program apart from it (quadratic forms of
 * the cuts), docs/peaking.md.
 */
static void two_cuts_tell_the_middle_of_a_tilted_lobe(void **state)
{
    struct beam beam = beam_make(2.11, 3.62, 44.0);
    double cos_elevation = 0.8, azimuth, elevation;
    struct peak_cut across = {true, NAN, 40.6}, up = {true, NAN, 151.3};

    (void)state;
    /* the middle is at 150, 40: tops by going along each cut */
    for (int cut = 0; cut < 2; cut++) {
        double best = INFINITY;
        for (double x = -2.0; x < 2.0; x += 1e-4) {
            double loss = cut == 0 ? beam_loss_db(&beam, x * cos_elevation, 0.6)
                                   : beam_loss_db(&beam, 1.3 * cos_elevation, x);
            if (loss < best) {
                best = loss;
                *(cut == 0 ? &across.centre_deg : &up.centre_deg) = (cut == 0 ? 150.0 : 40.0) + x;
            }
        }
    }
    expect_near(fabs(across.centre_deg - 150.0) * cos_elevation / 0.6, 0.48, 0.01);
    assert_true(peak_join(&beam, cos_elevation, &across, &up, &azimuth, &elevation));
    expect_near(azimuth, 150.0, 1e-3);
    expect_near(elevation, 40.0, 1e-3);
}

/* The top of a cut: 16 readings over 0.65 width to each side, again about the top when that lies
 * near an end. across: in azimuth, at elevation 0; else in elevation, at that azimuth. */
static double cut_top(struct chance *chance, const struct beam *beam, const double middle[2],
                      bool across, double other)
{
    struct lobe_prior prior = {.width_deg = across ? beam_azimuth_width_deg(beam, 0.0)
                                                   : beam_elevation_width_deg(beam),
                               .width_known = true,
                               .noise = 0.3,
                               .is_db = true,
                               .saturation = NAN};
    struct lobe_fit fit = {.centre_deg = 0.0};

    for (int round = 0; round < 2; round++) {
        struct lobe_reading readings[16];
        double start = fit.centre_deg;
        for (int i = 0; i < 16; i++) {
            double x = start + 1.3 * prior.width_deg * (i / 15.0 - 0.5);
            double off = across ? beam_loss_db(beam, x - middle[0], other - middle[1])
                                : beam_loss_db(beam, other - middle[0], x - middle[1]);
            readings[i] = (struct lobe_reading){x, 14.0 - off + chance_normal(chance, 0.3)};
        }
        assert_int_equal(lobe_fit(readings, 16, &prior, &fit), 0);
    }
    return fit.centre_deg;
}

/*
 * Azimuth and elevation once each leave 0.18 dB on average (worked out for this program apart from
 * it, as above), and the two together hardly anything.
 */
static void two_noisy_cuts_joined_need_no_repeating(void **state)
{
    struct beam beam = beam_make(2.11, 3.62, 44.0);
    struct chance chance = {7};
    const int trials = 400;
    double once = 0.0, joined = 0.0;

    (void)state;
    for (int trial = 0; trial < trials; trial++) {
        double middle[2] = {chance_even(&chance, -1.28, 1.28), chance_even(&chance, -1.3, 1.3)};
        double x = cut_top(&chance, &beam, middle, true, 0.0);
        double y = cut_top(&chance, &beam, middle, false, x), azimuth, elevation;
        struct peak_cut across = {true, x, 0.0}, up = {true, y, x};
        assert_true(peak_join(&beam, 1.0, &across, &up, &azimuth, &elevation));
        once += beam_loss_db(&beam, x - middle[0], y - middle[1]) / trials;
        joined += beam_loss_db(&beam, azimuth - middle[0], elevation - middle[1]) / trials;
    }
    expect_near(once, 0.18, 0.03);
    assert_true(joined < 0.01);
}

static void an_upright_lobe_has_its_middle_at_the_tops(void **state)
{
    struct beam beam = beam_make(2.0, 1.0, 0.0);
    struct peak_cut across = {true, 150.2, 41.0}, up = {true, 40.1, 149.0};
    double azimuth, elevation;

    (void)state;
    assert_true(peak_join(&beam, 0.7, &across, &up, &azimuth, &elevation));
    expect_near(azimuth, 150.2, 1e-9);
    expect_near(elevation, 40.1, 1e-9);
}

static void cuts_along_a_thin_lobe_tell_nothing(void **state)
{
    struct beam beam = beam_make(0.1, 30.0, 45.0);
    struct peak_cut across = {true, 150.0, 40.0}, up = {true, 40.0, 150.0};
    double azimuth, elevation;

    (void)state;
    assert_false(peak_join(&beam, 1.0, &across, &up, &azimuth, &elevation));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_cuts_tell_the_middle_of_a_tilted_lobe),
        cmocka_unit_test(two_noisy_cuts_joined_need_no_repeating),
        cmocka_unit_test(an_upright_lobe_has_its_middle_at_the_tops),
        cmocka_unit_test(cuts_along_a_thin_lobe_tell_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
