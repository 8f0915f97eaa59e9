#include "expect.h"

#include <string.h>

#include "csv.h"
#include "radio/exposure.h"

static const double pi = 3.14159265358979323846;

static double value_of(const char *id)
{
    double value = NAN;
    struct csv csv;

    assert_true(csv_open(&csv, REFERENCE "/rf-safety.csv"));
    while (csv_next(&csv)) {
        if (strcmp(csv_text(&csv, "id"), id) == 0) {
            value = csv_number(&csv, "value");
        }
    }
    assert_false(isnan(value));
    return value;
}

static struct exposure dish(double power_w, double diameter_m, double efficiency, double ghz)
{
    return (struct exposure){.power_w = power_w,
                             .area_m2 = pi / 4 * diameter_m * diameter_m,
                             .longest_m = diameter_m,
                             .efficiency = efficiency,
                             .frequency_ghz = ghz};
}

/* rf-safety.csv, rows c-*: FCC OET Bulletin 65, formulas for aperture antennas, computed apart. */
static void worked_cases_come_out_as_in_the_table(void **state)
{
    static const struct {
        const char *id;
        double power_w, diameter_m, efficiency, ghz;
    } rows[] = {{"4-1.2-14.25", 4, 1.2, 0.65, 14.25},
                {"8-0.75-29.5", 8, 0.75, 0.6, 29.5},
                {"40-2.4-6.1", 40, 2.4, 0.6, 6.1}};
    char id[40];

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct exposure e =
            dish(rows[i].power_w, rows[i].diameter_m, rows[i].efficiency, rows[i].ghz);
        const struct {
            const char *what;
            double got;
        } checks[] = {{"surf", exposure_surface_w_m2(&e)},
                      {"snf", exposure_w_m2(&e, 0.1)},
                      {"rnf", exposure_near_end_m(&e)},
                      {"rff", exposure_far_begin_m(&e)},
                      {"sff", exposure_w_m2(&e, exposure_far_begin_m(&e))},
                      {"d10", exposure_distance_m(&e, exposure_public_w_m2)}};
        for (size_t k = 0; k < sizeof checks / sizeof *checks; k++) {
            snprintf(id, sizeof id, "c-%s-%s", checks[k].what, rows[i].id);
            expect_near(checks[k].got, value_of(id), 1e-4);
        }
    }
}

/* rf-safety.csv, rows ex1-*: a filed radiation hazard study, which rounds its wavelength. */
static void a_filed_study_comes_out_within_its_rounding(void **state)
{
    struct exposure e = dish(180.43, 1.5, 0.65, 14.25);

    (void)state;
    expect_near(exposure_near_end_m(&e), value_of("ex1-rnf"), 0.003 * value_of("ex1-rnf"));
    expect_near(exposure_far_begin_m(&e), value_of("ex1-rff"), 0.003 * value_of("ex1-rff"));
    expect_near(exposure_w_m2(&e, 1.0), 10 * value_of("ex1-snf"), 0.02); /* mW/cm2 */
}

static void limits_are_those_published(void **state)
{
    (void)state;
    expect_near(exposure_public_w_m2, value_of("fcc-gp-si"), 0);
    expect_near(exposure_worker_w_m2, value_of("fcc-oc-si"), 0);
    expect_near(exposure_public_w_m2, value_of("icnirp-gp"), 0);
    expect_near(exposure_worker_w_m2, value_of("icnirp-oc"), 0);
}

static void beyond_the_distance_the_limit_is_met_and_before_it_is_not(void **state)
{
    (void)state;
    for (double power = 1; power < 2000; power *= 1.3) {
        struct exposure panel = {power, 0.6 * 0.35, 0.6, 1.0, 14.25};
        struct exposure square = {power, 0.36, 0.6, 1.0, 14.25};
        struct exposure round = dish(power, 1.2, 0.65, 14.25);
        const struct exposure *all[] = {&panel, &square, &round};
        for (int i = 0; i < 3; i++) {
            double distance = exposure_distance_m(all[i], 10.0);
            for (double d = distance + 0.01; d < distance + 500; d *= 1.1) {
                assert_true(exposure_w_m2(all[i], d) <= 10.0);
            }
            if (distance > 0.0) {
                assert_true(exposure_w_m2(all[i], distance * 0.999) >= 9.99);
            }
        }
    }
}

static void no_distance_is_named_where_no_limit_was_looked_up(void **state)
{
    struct exposure low = dish(10, 3, 0.6, 1.9), high = dish(10, 0.3, 0.6, 101);

    (void)state;
    assert_true(isnan(exposure_distance_m(&low, 10)));
    assert_true(isnan(exposure_distance_m(&high, 10)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_cases_come_out_as_in_the_table),
        cmocka_unit_test(a_filed_study_comes_out_within_its_rounding),
        cmocka_unit_test(limits_are_those_published),
        cmocka_unit_test(beyond_the_distance_the_limit_is_met_and_before_it_is_not),
        cmocka_unit_test(no_distance_is_named_where_no_limit_was_looked_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
