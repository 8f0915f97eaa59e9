#include "expect.h"

#include <errno.h>
#include <string.h>

#include "csv.h"
#include "radio/beam.h"
#include "radio/radiation.h"

static const double up = 0.0, right = 90.0;

/* The value of a row of the table of relations; NaN = no such row. */
static double relation(const char *id)
{
    double value = NAN;
    struct csv csv;

    assert_true(csv_open(&csv, REFERENCE "/rf-relations.csv"));
    while (csv_next(&csv)) {
        if (strcmp(csv_text(&csv, "id"), id) == 0) {
            value = csv_number(&csv, "value");
        }
    }
    assert_false(isnan(value));
    return value;
}

/* An antenna whose half-power width is what the table gives in wavelengths over size, in degrees;
 * so offsets come out in the table's units for a size of one wavelength. */
static struct radiation dish(const char *width_row, double rim_db)
{
    double width = relation(width_row);

    return radiation_make(RADIATION_DISH, width, width, 0, rim_db, NULL, NULL);
}

static struct radiation panel(double width, double height, double turn)
{
    return radiation_make(RADIATION_PANEL, width, height, turn, NAN, NULL, NULL);
}

static void first_side_lobes_are_those_of_the_textbooks(void **state)
{
    /* rf-relations.csv; the parabola on a pedestal of -8, -10, -12 dB: Stutzman and Thiele, Antenna
     * Theory and Design, table of circular apertures, from memory */
    const struct {
        double rim_db, level_db, tolerance;
    } rows[] = {{0, relation("circ-sl1"), 1e-3},
                {400, relation("circ-taper-sl1"), 1e-3},
                {8, -21.5, 0.1},
                {10, -22.3, 0.1},
                {12, -22.9, 0.1}};
    double offset, level;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct radiation r = radiation_make(RADIATION_DISH, 1, 1, 0, rows[i].rim_db, NULL, NULL);
        assert_true(radiation_side_lobe(&r, right, &offset, &level));
        expect_near(level, rows[i].level_db, rows[i].tolerance + 5e-3);
        assert_true(radiation_side_lobe(&r, 17.0, &offset, &level)); /* round: any way */
        expect_near(level, rows[i].level_db, rows[i].tolerance + 5e-3);
    }
    struct radiation r = panel(relation("rect-hpbw"), 30, 0);
    assert_true(radiation_side_lobe(&r, right, &offset, &level));
    expect_near(level, relation("rect-sl1"), 5e-3);
    expect_near(offset, relation("rect-sl1-pos") * 180 / 3.14159265358979, 0.4); /* a step */
}

static void nulls_lie_where_the_table_has_them(void **state)
{
    struct radiation r = dish("circ-hpbw", 0);
    struct radiation p = panel(relation("rect-hpbw"), 30, 0);
    double per_rad = 180 / 3.14159265358979;

    (void)state;
    assert_true(radiation_level_db(&r, 1.2197 * per_rad, 0) < -80.0); /* row circ-null1 */
    assert_true(radiation_level_db(&p, relation("rect-null1") * per_rad, 0) < -80.0);
}

static void half_power_lies_at_half_the_width_whatever_the_rim(void **state)
{
    (void)state;
    for (double rim = 0; rim <= 40; rim += 5) {
        struct radiation r = radiation_make(RADIATION_DISH, 2.0, 1.5, 0, rim, NULL, NULL);
        expect_near(radiation_level_db(&r, 1.0, 0), 10 * log10(0.5), 1e-9);
        expect_near(radiation_level_db(&r, 0, -0.75), 10 * log10(0.5), 1e-9);
        expect_near(radiation_width_deg(&r, right), 2.0, 1e-9);
        expect_near(radiation_width_deg(&r, up), 1.5, 1e-9);
    }
    struct radiation p = panel(2.0, 1.5, 0);
    expect_near(radiation_width_deg(&p, right), 2.0, 1e-9);
    expect_near(radiation_width_deg(&p, up), 1.5, 1e-9);
}

/* The main-lobe law -12 (x / width)^2 of the table is that of beam.h; the apertures keep to it. */
static void the_top_is_that_of_the_quadratic_beam_also_when_turned(void **state)
{
    (void)state;
    for (double turn = -80; turn <= 80; turn += 20) {
        struct beam beam = beam_make(2.11, 3.62, turn);
        struct radiation p = panel(2.11, 3.62, turn);
        struct radiation d = radiation_make(RADIATION_DISH, 2.11, 3.62, turn, 10, NULL, NULL);
        for (int i = 0; i < 8; i++) {
            double x = 0.6 * cos(i), y = 0.6 * sin(i);
            double want = -beam_loss_db(&beam, x, y);
            expect_near(radiation_level_db(&p, x, y), want, 0.05);
            expect_near(radiation_level_db(&d, x, y), want, 0.05);
        }
    }
}

static void the_error_that_costs_a_loss_follows_the_main_lobe_law(void **state)
{
    /* rf-relations.csv, rows mainlobe-0.1 and mainlobe-0.5; within 3 % of the quadratic */
    struct radiation r = radiation_make(RADIATION_DISH, 1.4573, 1.4573, 0, 10, NULL, NULL);

    (void)state;
    expect_near(radiation_error_deg(&r, right, 0.12) / 1.4573, 0.1, 0.003);
    expect_near(radiation_error_deg(&r, up, 3.0103) / 1.4573, 0.5, 1e-6);
    assert_true(isnan(radiation_error_deg(&r, up, 119.0)));
    double last = 0.0;
    for (double loss = 0.1; loss < 10; loss *= 1.5) {
        double error = radiation_error_deg(&r, 33.0, loss);
        assert_true(error > last);
        last = error;
    }
}

static void a_panel_turned_off_the_arc_hears_its_neighbours(void **state)
{
    /* 0.6 by 0.35 m at 12 GHz; a neighbour 2.2 degrees along the horizontal */
    struct radiation along = panel(2.11, 3.62, 0), turned = panel(2.11, 3.62, 44);
    double straight = radiation_discrimination_db(&along, 2.2, 0);
    double skewed = radiation_discrimination_db(&turned, 2.2, 0);

    (void)state;
    /* sin x / x at 2.2 less a quarter of 2.11 degrees, x = 2.206: 8.757 dB */
    expect_near(straight, 8.757, 0.001);
    assert_true(skewed < straight - 3.0);
    assert_true(radiation_discrimination_db(&along, 0.0, 0.0) < 0.01);
}

static void discrimination_never_counts_on_a_null(void **state)
{
    struct radiation r = radiation_make(RADIATION_DISH, 1, 1, 0, 0, NULL, NULL);

    (void)state;
    /* the first null of the even disc: the lobe behind it (-17.57 dB) is what counts, or the flank
     */
    assert_true(radiation_discrimination_db(&r, 1.19, 0) < 17.6);
    expect_near(radiation_discrimination_db(&r, 1.6, 0), 17.57, 0.01);
}

static int measure(struct radiation_cut *cut, size_t n, const double points[][2])
{
    cut->count = n;
    for (size_t i = 0; i < n; i++) {
        cut->angle_deg[i] = points[i][0];
        cut->level_db[i] = points[i][1];
    }
    return radiation_cut_finish(cut);
}

static void a_measured_cut_is_taken_from_its_own_peak(void **state)
{
    static const double points[][2] = {{-2, 20},  {-1, 37},  {0, 39.5}, {0.2, 40}, {0.4, 39.5},
                                       {1.4, 37}, {2.4, 18}, {3.4, 22}, {4.4, 15}};
    static struct radiation_cut cut;
    double offset, level;

    (void)state;
    assert_int_equal(measure(&cut, 9, points), 0);
    expect_near(radiation_cut_width_deg(&cut), 2.4, 0.01);
    struct radiation r = radiation_make(RADIATION_PANEL, 2.4, 5, 0, 10, &cut, NULL);
    expect_near(radiation_level_db(&r, 0, 0), 0, 1e-12);
    expect_near(radiation_level_db(&r, 1.2, 0), -3, 1e-9);
    expect_near(radiation_level_db(&r, -1.2, 0), -3, 1e-9);
    expect_near(radiation_level_db(&r, 1.7, 0), -12.5, 1e-9); /* half-way from -3 to -22 */
    assert_true(isnan(radiation_level_db(&r, -3, 0)));        /* not measured */
    assert_true(radiation_side_lobe(&r, right, &offset, &level));
    expect_near(offset, 3.2, 0.05);
    expect_near(level, -18, 0.2);
    assert_false(radiation_side_lobe(&r, -right, &offset, &level));
}

static void a_dish_measured_once_takes_its_worse_side_all_round(void **state)
{
    static const double points[][2] = {{-3, -25}, {-1, -6}, {0, 0}, {1, -4}, {3, -30}};
    static struct radiation_cut cut;

    (void)state;
    assert_int_equal(measure(&cut, 5, points), 0);
    struct radiation r = radiation_make(RADIATION_DISH, 1.2, 1.2, 0, 10, &cut, NULL);
    expect_near(radiation_level_db(&r, 0, 1), -4, 1e-9);
    expect_near(radiation_level_db(&r, -1, 0), -4, 1e-9);
    expect_near(radiation_level_db(&r, 0, -3), -25, 1e-9);
}

static void a_cut_of_one_side_is_even_and_one_without_flanks_is_refused(void **state)
{
    static const double one_side[][2] = {{0, 0}, {1, 0}, {2, -6}, {3, -20}};
    static const double flat[][2] = {{-1, -1}, {0, 0}, {1, -20}};
    static struct radiation_cut cut;

    (void)state;
    assert_int_equal(measure(&cut, 4, one_side), 0);
    expect_near(radiation_cut_width_deg(&cut), 2 * (1 + 3.0103 / 6), 1e-4);
    struct radiation r = radiation_make(RADIATION_DISH, 3, 3, 0, 10, &cut, NULL);
    expect_near(radiation_level_db(&r, -2, 0), -6, 1e-9);
    assert_int_equal(measure(&cut, 3, flat), -EDOM);
}

static void gain_is_that_of_the_table(void **state)
{
    /* rf-relations.csv, rows gain-*: diameter, frequency, efficiency as in their inputs */
    const struct {
        const char *id;
        double diameter_m, ghz, efficiency;
    } rows[] = {{"gain-12-1.2", 1.2, 12, 0.65},
                {"gain-14.25-1.2", 1.2, 14.25, 0.65},
                {"gain-30-0.75", 0.75, 30, 0.6},
                {"gain-4-2.4", 2.4, 4, 0.6}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double area = 3.14159265358979 / 4 * rows[i].diameter_m * rows[i].diameter_m;
        expect_near(radiation_gain_dbi(area, rows[i].ghz, rows[i].efficiency), relation(rows[i].id),
                    6e-5);
    }
}

static void masks_are_those_of_the_recommendations(void **state)
{
    /* rf-relations.csv, rows mask29-* (S.580) and mask32-* (S.465); 100 wavelengths across */
    static const double s580[] = {1.5, 2, 3, 5, 7, 10, 20}, s465[] = {10, 20, 30};
    char id[32];

    (void)state;
    for (size_t i = 0; i < sizeof s580 / sizeof *s580; i++) {
        snprintf(id, sizeof id, "mask29-%g", s580[i]);
        expect_near(radiation_mask_dbi(RADIATION_S580, 100, s580[i]), relation(id), 6e-5);
    }
    for (size_t i = 0; i < sizeof s465 / sizeof *s465; i++) {
        snprintf(id, sizeof id, "mask32-%g", s465[i]);
        expect_near(radiation_mask_dbi(RADIATION_S465, 100, s465[i]), relation(id), 6e-5);
        expect_near(radiation_mask_dbi(RADIATION_S465, 20, s465[i]), relation(id), 6e-5);
    }
    expect_near(radiation_mask_dbi(RADIATION_S465, 100, 48), relation("s465-b"), 0);
    expect_near(radiation_mask_dbi(RADIATION_S465, 100, 180), relation("s465-b"), 0);
    /* where they begin: rows s465-c, s465-d, s580-a */
    assert_true(isnan(radiation_mask_dbi(RADIATION_S580, 100, 0.99)));
    assert_false(isnan(radiation_mask_dbi(RADIATION_S580, 100, 1.01)));
    assert_true(isnan(radiation_mask_dbi(RADIATION_S580, 50, 1.99)));
    assert_true(isnan(radiation_mask_dbi(RADIATION_S580, 49, 5)));
    assert_true(isnan(radiation_mask_dbi(RADIATION_S465, 20, 114 * pow(20, -1.09) - 0.01)));
    assert_false(isnan(radiation_mask_dbi(RADIATION_S465, 20, 114 * pow(20, -1.09) + 0.01)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(first_side_lobes_are_those_of_the_textbooks),
        cmocka_unit_test(nulls_lie_where_the_table_has_them),
        cmocka_unit_test(half_power_lies_at_half_the_width_whatever_the_rim),
        cmocka_unit_test(the_top_is_that_of_the_quadratic_beam_also_when_turned),
        cmocka_unit_test(the_error_that_costs_a_loss_follows_the_main_lobe_law),
        cmocka_unit_test(a_panel_turned_off_the_arc_hears_its_neighbours),
        cmocka_unit_test(discrimination_never_counts_on_a_null),
        cmocka_unit_test(a_measured_cut_is_taken_from_its_own_peak),
        cmocka_unit_test(a_dish_measured_once_takes_its_worse_side_all_round),
        cmocka_unit_test(a_cut_of_one_side_is_even_and_one_without_flanks_is_refused),
        cmocka_unit_test(gain_is_that_of_the_table),
        cmocka_unit_test(masks_are_those_of_the_recommendations),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
