/* The simulator's geometry and its dice. */
#include "expect.h"

#include <string.h>

#include "csv.h"
#include "sim/globe.h"
#include "sim/random.h"

static void a_satellite_stands_where_geographiclib_has_it(void **state)
{
    struct csv csv;
    int rows = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/look-angles-wgs84.csv"));
    while (csv_next(&csv)) {
        struct globe_site site = {csv_number(&csv, "lat_deg"), csv_number(&csv, "lon_deg"),
                                  csv_number(&csv, "height_m")};
        struct globe_arrival arrival;
        double elevation, azimuth;
        if (strcmp(csv_text(&csv, "kind"), "geo") != 0) {
            continue;
        }
        arrival = globe_receive(&site, csv_number(&csv, "sat_lon_deg"), 0.0);
        azimuth = globe_azimuth_deg(arrival.toward);
        elevation = globe_elevation_deg(arrival.toward);
        expect_near(elevation, csv_number(&csv, "elevation_deg"), 1e-6);
        expect_near(globe_wrap_deg(azimuth - csv_number(&csv, "azimuth_deg")), 0.0, 1e-6);
        expect_near(arrival.range_km, csv_number(&csv, "range_km"), 1e-5);
        /* the wave's field, turned back by the published tilt, stands upright or lies level */
        struct globe_attitude level = globe_look(azimuth, elevation);
        struct globe_attitude turned = globe_roll(level, csv_number(&csv, "tilt_perp_deg"));
        expect_near(globe_dot(arrival.e_v, turned.right), 0.0, 1e-7);
        turned = globe_roll(level, csv_number(&csv, "tilt_par_deg"));
        expect_near(globe_dot(arrival.e_h, turned.up), 0.0, 1e-7);
        rows++;
    }
    assert_true(rows >= 200);
}

/* NIST's dispersion-free plane atmosphere: 315 N units bend a ray at 45 degrees by 315e-6 rad. */
static void the_air_lifts_a_satellite_by_its_refractivity(void **state)
{
    struct globe_site site = {46.6, 10.1, 0.0};
    struct globe_arrival bare = globe_receive(&site, 22.4, 0.0);
    struct globe_arrival lifted = globe_receive(&site, 22.4, 315.0);
    double elevation = globe_elevation_deg(bare.toward);
    double want = 315e-6 / tan(elevation / 57.29577951) * 57.29577951;

    (void)state;
    expect_near(globe_elevation_deg(lifted.toward) - elevation, want, 0.01 * want);
    expect_near(globe_azimuth_deg(lifted.toward), globe_azimuth_deg(bare.toward), 1e-9);
}

static void the_dice_are_splitmix64(void **state)
{
    /* first outputs for the seed 1234567, as published with many implementations (from memory) */
    static const uint64_t want[] = {6457827717110365317u, 3203168211198807973u,
                                    9817491932198370423u};
    struct sim_random random;

    (void)state;
    random_seed(&random, 1234567, 0);
    for (size_t i = 0; i < sizeof want / sizeof *want; i++) {
        assert_true(random_bits(&random) == want[i]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_satellite_stands_where_geographiclib_has_it),
        cmocka_unit_test(the_air_lifts_a_satellite_by_its_refractivity),
        cmocka_unit_test(the_dice_are_splitmix64),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
