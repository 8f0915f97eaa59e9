/* Expected values: the WMM2025 Technical Report and test value file; see tests/reference/README.md.
 */
#include "expect.h"

#include "csv.h"
#include "sky/magnetic.h"

static void every_published_test_value_is_met(void **state)
{
    struct magnetic_model model;
    struct csv csv;
    int checked = 0;

    (void)state;
    magnetic_builtin(&model);
    assert_string_equal(model.name, "WMM-2025");
    assert_true(csv_open(&csv, REFERENCE "/wmm2025-test-values.csv"));
    while (csv_next(&csv)) {
        struct magnetic_field field =
            magnetic_at(&model, csv_number(&csv, "lat_deg"), csv_number(&csv, "lon_deg"),
                        csv_number(&csv, "height_km") * 1e3, csv_number(&csv, "decimal_year"));
        /* the printed precision */
        expect_near(field.declination_deg, csv_number(&csv, "D_deg"), 0.00501);
        expect_near(field.inclination_deg, csv_number(&csv, "I_deg"), 0.00501);
        expect_near(field.north_nt, csv_number(&csv, "X_nT"), 0.0501);
        expect_near(field.east_nt, csv_number(&csv, "Y_nT"), 0.0501);
        expect_near(field.down_nt, csv_number(&csv, "Z_nT"), 0.0501);
        expect_near(field.horizontal_nt, csv_number(&csv, "H_nT"), 0.0501);
        expect_near(field.total_nt, csv_number(&csv, "F_nT"), 0.0501);
        checked++;
    }
    assert_int_equal(checked, 112);
}

static void the_model_knows_its_years(void **state)
{
    struct magnetic_model model;

    (void)state;
    magnetic_builtin(&model);
    expect_near(model.epoch, 2025.0, 0.0);
    expect_near(model.valid_from, 2024.866, 0.001); /* 2024-11-13, the file's header */
    assert_true(magnetic_at(&model, 46.6, 10.1, 0.0, 2026.9).in_date);
    assert_false(magnetic_at(&model, 46.6, 10.1, 0.0, 2030.5).in_date);
    assert_false(magnetic_at(&model, 46.6, 10.1, 0.0, 2020.0).in_date);
}

/* 0.26 and 5417/H: sqrt(0.26^2 + (5417/20000)^2) = 0.3754 (WMM2025 error model). */
static void the_declination_says_how_sure_it_is(void **state)
{
    struct magnetic_model model;
    struct magnetic_field field;

    (void)state;
    magnetic_builtin(&model);
    field = magnetic_at(&model, 46.6, 10.1, 0.0, 2026.0);
    assert_true(field.declination_error_deg > 0.26 && field.declination_error_deg < 0.40);
    assert_false(field.weak);
    assert_true(magnetic_at(&model, 85.0, 140.0, 0.0, 2026.0).weak);
    assert_true(isfinite(magnetic_at(&model, 90.0, 0.0, 0.0, 2026.0).total_nt));
}

static void a_damaged_model_is_refused_with_its_line(void **state)
{
    static const struct {
        const char *text;
        int line;
    } rows[] = {
        {"", 0},
        {"no header\n", 1},
        {"2025.0 WMM-2025 11/13/2024\n 1 0 -29351.8 0.0 12.0\n", 2},
        {"2025.0 WMM-2025 11/13/2024\n13 0 1.0 0.0 12.0 0.0\n", 2},
        {"2025.0 WMM-2025 11/13/2024\n 1 0 -29351.8 0.0 12.0 0.0\n", 2},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct magnetic_model model = {.epoch = -1.0};
        int line = -1;
        assert_true(magnetic_parse(rows[i].text, &model, &line) < 0);
        assert_int_equal(line, rows[i].line);
        expect_near(model.epoch, -1.0, 0.0);
    }
}

/* GNU date: date -u -d 2024-11-13 +%s = 1731456000, and so on. */
static void a_time_becomes_a_decimal_year(void **state)
{
    static const struct {
        double unix_s, year;
    } rows[] = {
        {0.0, 1970.0},          {1731456000.0, 2024.0 + 317.0 / 366.0}, {1735689600.0, 2025.0},
        {1735689599.0, 2025.0}, {951782400.0, 2000.0 + 59.0 / 366.0},   {4102444800.0, 2100.0},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(magnetic_year(rows[i].unix_s), rows[i].year, 1e-6);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_published_test_value_is_met),
        cmocka_unit_test(the_model_knows_its_years),
        cmocka_unit_test(the_declination_says_how_sure_it_is),
        cmocka_unit_test(a_damaged_model_is_refused_with_its_line),
        cmocka_unit_test(a_time_becomes_a_decimal_year),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
