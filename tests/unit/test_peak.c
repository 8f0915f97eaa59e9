#include "expect.h"

#include "coach/peak.h"

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
        cmocka_unit_test(an_upright_lobe_has_its_middle_at_the_tops),
        cmocka_unit_test(cuts_along_a_thin_lobe_tell_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
