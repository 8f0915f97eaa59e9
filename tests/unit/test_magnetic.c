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

/* The same points from the same coefficients by another program, to six decimals. */
static void every_recomputed_value_is_met_to_its_last_digit(void **state)
{
    struct magnetic_model model;
    struct csv csv;
    int checked = 0;

    (void)state;
    magnetic_builtin(&model);
    assert_true(csv_open(&csv, REFERENCE "/wmm2025-recomputed.csv"));
    while (csv_next(&csv)) {
        struct magnetic_field field =
            magnetic_at(&model, csv_number(&csv, "lat_deg"), csv_number(&csv, "lon_deg"),
                        csv_number(&csv, "height_km") * 1e3, csv_number(&csv, "decimal_year"));
        expect_near(field.declination_deg, csv_number(&csv, "D_deg"), 1.1e-6);
        expect_near(field.inclination_deg, csv_number(&csv, "I_deg"), 1.1e-6);
        expect_near(field.north_nt, csv_number(&csv, "X_nT"), 1.1e-6);
        expect_near(field.east_nt, csv_number(&csv, "Y_nT"), 1.1e-6);
        expect_near(field.down_nt, csv_number(&csv, "Z_nT"), 1.1e-6);
        expect_near(field.horizontal_nt, csv_number(&csv, "H_nT"), 1.1e-6);
        expect_near(field.total_nt, csv_number(&csv, "F_nT"), 1.1e-6);
        checked++;
    }
    assert_int_equal(checked, 112);
}

/* A row of the table of limits. */
static double limit(const char *id)
{
    struct csv csv;
    double value = NAN;

    assert_true(csv_open(&csv, REFERENCE "/wmm2025-limits.csv"));
    while (csv_next(&csv)) {
        if (strcmp(csv_text(&csv, "id"), id) == 0) {
            value = csv_number(&csv, "value");
        }
    }
    assert_true(isfinite(value));
    return value;
}

static void the_model_knows_its_years(void **state)
{
    struct magnetic_model model;

    (void)state;
    magnetic_builtin(&model);
    expect_near(model.epoch, limit("epoch"), 0.0);
    expect_near(model.valid_from, limit("valid_from"), 0.0005);
    expect_near(model.valid_to, limit("valid_to"), 0.0);
    assert_false(magnetic_at(&model, 46.6, 10.1, 0.0, 2024.8).in_date);
    assert_true(magnetic_at(&model, 46.6, 10.1, 0.0, 2024.9).in_date);
    assert_true(magnetic_at(&model, 46.6, 10.1, 0.0, 2029.99).in_date);
    assert_false(magnetic_at(&model, 46.6, 10.1, 0.0, 2030.01).in_date);
    assert_true(isfinite(magnetic_at(&model, 46.6, 10.1, 0.0, 2040.0).declination_deg));
}

/* A model that is one horizontal dipole lying along the x axis gives any H one likes. */
static struct magnetic_field field_of_strength(double horizontal_nt)
{
    struct magnetic_model model = {.epoch = 2025.0, .valid_from = 2024.9, .valid_to = 2030.0};
    double ratio = 6371.2 / 6378.137;

    model.g[1][0] = -horizontal_nt / (ratio * ratio * ratio);
    return magnetic_at(&model, 0.0, 0.0, 0.0, 2026.0);
}

static void the_declination_says_how_sure_it_is(void **state)
{
    (void)state;
    expect_near(field_of_strength(20000.0).horizontal_nt, 20000.0, 1e-6);
    expect_near(field_of_strength(20000.0).declination_error_deg, limit("err_D_20000"), 0.00005);
    expect_near(field_of_strength(6000.0).declination_error_deg, limit("err_D_6000"), 0.00005);
    expect_near(field_of_strength(1e9).declination_error_deg, limit("err_D_a"), 0.00005);
    expect_near(field_of_strength(1e-9).declination_error_deg, 180.0, 0.0);
}

static void a_weak_field_is_told_and_a_blackout_too(void **state)
{
    double weak = limit("caution"), blackout = limit("blackout");

    (void)state;
    assert_false(field_of_strength(weak + 1.0).weak);
    assert_true(field_of_strength(weak - 1.0).weak);
    assert_false(field_of_strength(blackout + 1.0).blackout);
    assert_true(field_of_strength(blackout - 1.0).blackout);
    assert_true(field_of_strength(blackout - 1.0).weak);
}

/* At a pole the field is one vector, whatever meridian it is counted from. */
static void the_field_has_no_seam_at_the_poles(void **state)
{
    struct magnetic_model model;

    (void)state;
    magnetic_builtin(&model);
    for (int sign = -1; sign <= 1; sign += 2) {
        struct magnetic_field pole = magnetic_at(&model, sign * 90.0, 30.0, 0.0, 2026.0);
        struct magnetic_field near = magnetic_at(&model, sign * 89.99999, 30.0, 0.0, 2026.0);
        struct magnetic_field turned = magnetic_at(&model, sign * 90.0, 70.0, 0.0, 2026.0);
        expect_near(pole.north_nt, near.north_nt, 0.1);
        expect_near(pole.east_nt, near.east_nt, 0.1);
        expect_near(pole.down_nt, near.down_nt, 0.1);
        expect_near(turned.declination_deg - pole.declination_deg, sign * 40.0, 1e-6);
        expect_near(turned.total_nt, pole.total_nt, 1e-3);
    }
}

static void what_is_not_a_number_is_never_in_date(void **state)
{
    struct magnetic_model model;

    (void)state;
    magnetic_builtin(&model);
    for (int i = 0; i < 4; i++) {
        double in[4] = {46.6, 10.1, 0.0, 2026.0};
        struct magnetic_field field;

        in[i] = i % 2 ? (double)INFINITY : (double)NAN;
        field = magnetic_at(&model, in[0], in[1], in[2], in[3]);
        assert_true(isnan(field.declination_deg) && isnan(field.declination_error_deg));
        assert_true(field.weak && field.blackout);
        assert_true(i < 3 || !field.in_date);
    }
}

/* --- files of coefficients ------------------------------------------------------------------ */

static char text[8192];

static void load_model(void)
{
    FILE *file = fopen(SOURCES "/src/sky/WMM2025.COF", "r");
    size_t n;

    assert_non_null(file);
    n = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[n] = '\0';
}

/* The same length on both sides. */
static void replace(const char *from, const char *to)
{
    char *at = strstr(text, from);

    assert_non_null(at);
    memcpy(at, to, strlen(from));
}

static void a_file_gives_what_is_built_in_however_its_lines_end(void **state)
{
    struct magnetic_model builtin, model;
    char dos[sizeof text];
    int line = -1;
    size_t n = 0;

    (void)state;
    magnetic_builtin(&builtin);
    load_model();
    for (const char *p = text; *p; p++) {
        if (*p == '\n') {
            dos[n++] = '\r';
        }
        dos[n++] = *p;
    }
    dos[n] = '\0';
    memset(&model, 0, sizeof model);
    assert_int_equal(magnetic_parse(text, &model, &line), 0);
    assert_memory_equal(&model, &builtin, sizeof model);
    memset(&model, 0, sizeof model);
    assert_int_equal(magnetic_parse(dos, &model, &line), 0);
    assert_memory_equal(&model, &builtin, sizeof model);
}

static void damage_anywhere_in_a_file_is_found(void **state)
{
    static const struct {
        const char *from, *to;
        int line;
    } rows[] = {
        {"-29351.8", "     nan", 2},     {"-29351.8", "     inf", 2},
        {"-29351.8", "-2935x.8", 2},     {"-29351.8", "-9351e99", 2},
        {"  1  1", "  1  0", 3},         {"  2  0", "  2  3", 4},
        {"  2  0", " -2  0", 4},         {" 12 12", " 13 12", 91},
        {"11/13/2024", "13/13/2024", 1}, {"11/13/2024", "11/33/2024", 1},
        {"11/13/2024", "11/13/0024", 1}, {"2025.0", "1225.0", 1},
        {"WMM-2025", "WMM \x1b[2J", 1},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct magnetic_model model = {.epoch = -1.0};
        int line = -1;

        load_model();
        replace(rows[i].from, rows[i].to);
        if (magnetic_parse(text, &model, &line) >= 0 || line != rows[i].line) {
            fail_msg("\"%s\" for \"%s\": line %d, want %d", rows[i].to, rows[i].from, line,
                     rows[i].line);
        }
        expect_near(model.epoch, -1.0, 0.0);
    }
}

static void a_file_that_is_cut_anywhere_is_refused(void **state)
{
    size_t end;

    (void)state;
    load_model();
    end = (size_t)(strstr(text, "9999") - text) + 3;
    for (size_t n = 0; n <= end; n++) {
        struct magnetic_model model;
        int line;

        load_model();
        text[n] = '\0';
        assert_true(magnetic_parse(text, &model, &line) < 0);
    }
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
        {"2025.0 WMM-2025 11/13/2024 more\n", 1},
        {"2025.0 WMM-2025 11/13/2024\n 1 0 -29351.8 0.0 12.0 0.0 7.0\n", 2},
        {"2025.0 WMM-2025 11/13/2024\n9999\n", 2},
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_published_test_value_is_met),
        cmocka_unit_test(every_recomputed_value_is_met_to_its_last_digit),
        cmocka_unit_test(the_model_knows_its_years),
        cmocka_unit_test(the_declination_says_how_sure_it_is),
        cmocka_unit_test(a_weak_field_is_told_and_a_blackout_too),
        cmocka_unit_test(the_field_has_no_seam_at_the_poles),
        cmocka_unit_test(what_is_not_a_number_is_never_in_date),
        cmocka_unit_test(a_file_gives_what_is_built_in_however_its_lines_end),
        cmocka_unit_test(damage_anywhere_in_a_file_is_found),
        cmocka_unit_test(a_file_that_is_cut_anywhere_is_refused),
        cmocka_unit_test(a_damaged_model_is_refused_with_its_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
