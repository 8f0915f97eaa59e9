#include "expect.h"

#include <string.h>

#include "csv.h"
#include "radio/link.h"

static const double pi = 3.14159265358979323846;

static void free_space_loss_is_that_of_the_table(void **state)
{
    struct csv csv;
    double ghz, km;
    int n = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/rf-relations.csv"));
    while (csv_next(&csv)) {
        if (sscanf(csv_text(&csv, "id"), "fsl-%lf-%lf", &ghz, &km) == 2) {
            expect_near(link_free_space_db(ghz, km), csv_number(&csv, "value"), 6e-5);
            n++;
        }
    }
    assert_int_equal(n, 7);
}

static void gas_takes_what_the_recommendation_says(void **state)
{
    struct csv csv;
    int n = 0;

    (void)state;
    /* rf-gas.csv: z = zenith, c = cosecant law, s = the air in layers with bent rays */
    assert_true(csv_open(&csv, REFERENCE "/rf-gas.csv"));
    while (csv_next(&csv)) {
        char kind = csv_text(&csv, "id")[0];
        double elevation = csv_number(&csv, "elevation_deg"), want = csv_number(&csv, "total");
        if (kind == 'g') {
            continue;
        }
        double got = link_gas_db(csv_number(&csv, "f_ghz"), elevation, 0.0);
        double error = kind == 's' ? (elevation < 10.0 ? 0.08 : 0.028) : 0.01;
        expect_near(got, want, error * want + 1e-4);
        n++;
    }
    assert_int_equal(n, 63);
}

static void gas_is_not_known_outside_its_ranges_and_less_on_a_mountain(void **state)
{
    (void)state;
    assert_true(isnan(link_gas_db(3.9, 30, 0)));
    assert_true(isnan(link_gas_db(30.1, 30, 0)));
    assert_true(isnan(link_gas_db(12, 4.9, 0)));
    assert_true(isnan(link_gas_db(12, 30, 5001)));
    expect_near(link_gas_db(12, 30, -100), link_gas_db(12, 30, 0), 0);
    /* over 2000 m lie exp(-2/5) of the oxygen and exp(-2/1.7) of the water: row z12 */
    expect_near(link_gas_db(12, 90, 2000), 0.04323 * 0.6703 + 0.01602 * 0.3084, 4e-4);
}

static void rain_takes_what_the_recommendation_says(void **state)
{
    struct csv csv;
    int coefficients = 0, cases = 0;

    (void)state;
    assert_true(csv_open(&csv, REFERENCE "/rain-p838.csv"));
    while (csv_next(&csv)) {
        double f = csv_number(&csv, "f_ghz");
        if (csv_text(&csv, "id")[0] == 'v') { /* the ITU's validation examples */
            expect_near(link_rain_db_per_km(f, csv_number(&csv, "rain_mm_per_h"),
                                            csv_number(&csv, "elevation_deg"),
                                            csv_number(&csv, "pol_tilt_deg")),
                        csv_number(&csv, "gamma_db_per_km"), 1e-6);
            cases++;
        } else if (csv_text(&csv, "id")[0] == 'k') { /* at 1 mm/h: k; at 10 mm/h: k 10^alpha */
            expect_near(link_rain_db_per_km(f, 1, 0, 0), csv_number(&csv, "k_h"), 1e-6);
            expect_near(link_rain_db_per_km(f, 1, 0, 90), csv_number(&csv, "k_v"), 1e-6);
            expect_near(log10(link_rain_db_per_km(f, 10, 0, 0) / link_rain_db_per_km(f, 1, 0, 0)),
                        csv_number(&csv, "alpha_h"), 1e-6);
            expect_near(log10(link_rain_db_per_km(f, 10, 0, 90) / link_rain_db_per_km(f, 1, 0, 90)),
                        csv_number(&csv, "alpha_v"), 1e-6);
            coefficients++;
        }
    }
    assert_int_equal(cases, 16);
    assert_int_equal(coefficients, 7);
}

/*
 * The uplink of Maral and Bousquet, Satellite Communications Systems, worked example, from memory:
 * 14 GHz, 100 W into 4 m at 60 %, 0.5 dB of feeder and 0.1 degrees of pointing error lost,
 * 40 000 km, 0.3 dB of air; a satellite receiver with a beam of 2 degrees at 55 %, the station on
 * its edge, 1 dB of feeder, noise figure 3 dB, antenna at 290 K: EIRP 71.7 dBW, losses 207.7 dB,
 * G/T 6.6 dB/K, C/N0 99.2 dB Hz.
 */
static void a_textbooks_uplink_comes_out(void **state)
{
    double noise_k = link_system_noise_k(290, 1, link_receiver_noise_k(3));
    double gain = 10 * log10(0.55 * pow(pi * 70 / 2, 2)) - 3 - 1; /* gain from the beamwidth */
    struct link_given given = {.eirp_dbw = 71.7,
                               .frequency_ghz = 14,
                               .range_km = 40000,
                               .elevation_deg = NAN,
                               .height_m = 0,
                               .gt_dbk = gain - 10 * log10(noise_k),
                               .noise_k = noise_k,
                               .rain_mm_h = NAN,
                               .symbol_rate_mbd = 10};
    struct link_budget budget = link_budget(&given);

    (void)state;
    expect_near(given.gt_dbk, 6.6, 0.06);
    expect_near(budget.free_space_db, 207.4, 0.06);
    assert_true(isnan(budget.gas_db));
    expect_near(budget.cn0_dbhz - 0.3, 99.2, 0.11);
    expect_near(budget.esn0_db, budget.cn0_dbhz - 70.0, 1e-9);
    assert_true(isnan(budget.rain_db));
    assert_true(isnan(budget.rain_esn0_db));
}

static void rain_weakens_the_signal_and_raises_the_noise(void **state)
{
    struct link_given given = {.eirp_dbw = 50,
                               .frequency_ghz = 14.25,
                               .range_km = 38500,
                               .elevation_deg = 31.07699124,
                               .gt_dbk = 20,
                               .noise_k = 110,
                               .rain_mm_h = 26.48052,
                               .rain_path_km = 2,
                               .tilt_deg = 0,
                               .symbol_rate_mbd = NAN};
    struct link_budget b = link_budget(&given);

    (void)state;
    /* rows v01 and fsl-14.25-38500; -228.5992 dBW/(K Hz) is Boltzmann's constant */
    expect_near(b.rain_db, 2 * 1.58130839, 1e-6);
    expect_near(b.cn0_dbhz, 50 - 207.2333 - b.gas_db + 20 + 228.5992, 1e-3);
    /* 275 K (1 - 10^-0.31626) = 142.2 K over 110 K: 3.60 dB */
    expect_near(link_rain_noise_k(b.rain_db), 142.2, 0.1);
    expect_near(b.rain_noise_db, 3.60, 0.01);
    expect_near(b.rain_cn0_dbhz, b.cn0_dbhz - b.rain_db - b.rain_noise_db, 1e-12);
    assert_true(isnan(b.esn0_db));
    given.noise_k = NAN;
    expect_near(link_budget(&given).rain_noise_db, 0.0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(free_space_loss_is_that_of_the_table),
        cmocka_unit_test(gas_takes_what_the_recommendation_says),
        cmocka_unit_test(gas_is_not_known_outside_its_ranges_and_less_on_a_mountain),
        cmocka_unit_test(rain_takes_what_the_recommendation_says),
        cmocka_unit_test(a_textbooks_uplink_comes_out),
        cmocka_unit_test(rain_weakens_the_signal_and_raises_the_noise),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
