#include "expect.h"

#include <string.h>

#include "csv.h"
#include "radio/modcods.h"

static int rows_of(const char *path, bool s2x)
{
    struct csv csv;
    char name[64];
    int n = 0;

    assert_true(csv_open(&csv, path));
    while (csv_next(&csv)) {
        snprintf(name, sizeof name, "%s %s", csv_text(&csv, "modulation"),
                 csv_text(&csv, "code_rate"));
        const struct modcod *m = modcods_find(name);
        assert_non_null(m);
        assert_int_equal(m->s2x, s2x);
        expect_near(m->bits_per_symbol, csv_number(&csv, "spectral_efficiency"), 1e-9);
        expect_near(m->threshold_db, csv_number(&csv, "ideal_esn0_db"), 1e-9);
        n++;
    }
    return n;
}

static void the_table_is_that_of_the_standards(void **state)
{
    (void)state;
    /* EN 302 307-1 V1.4.1 Table 13; EN 302 307-2 V1.1.1 clause 6 */
    int n = rows_of(REFERENCE "/dvbs2-modcods.csv", false) +
            rows_of(REFERENCE "/dvbs2x-modcods.csv", true);
    assert_int_equal(n, MODCODS_COUNT);
}

/* From the rows of EN 302 307-1 Table 13, read by hand. */
static void the_one_that_carries_most_holds_with_what_is_to_spare(void **state)
{
    static const struct {
        double esn0_db, margin_db;
        const char *best, *below, *above;
        double spare_db, missing_db;
    } rows[] = {
        /* 8PSK 8/9 and 9/10 need 10.69 and 10.98 but carry less than 16APSK 3/4 at 10.21 */
        {11.0, 0.0, "16APSK 3/4", "16APSK 2/3", "16APSK 4/5", 0.79, 0.03},
        /* 8PSK 3/5 at 5.50 carries more than QPSK 8/9 at 6.20, and less than 9/10 at 6.42 */
        {6.3, 0.0, "8PSK 3/5", "QPSK 5/6", "QPSK 9/10", 0.80, 0.12},
        {6.3, 1.0, "QPSK 5/6", "QPSK 4/5", "8PSK 3/5", 0.12, 0.20},
        {-2.35, 0.0, "QPSK 1/4", NULL, "QPSK 1/3", 0.0, 1.11},
        {-2.36, 0.0, NULL, NULL, "QPSK 1/4", NAN, 0.01},
        {30.0, 0.0, "32APSK 9/10", "32APSK 8/9", NULL, 13.95, NAN},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct modcods_choice c = modcods_choose(MODCODS_S2, rows[i].esn0_db, rows[i].margin_db);
        const struct {
            const struct modcod *got;
            const char *want;
        } names[] = {{c.best, rows[i].best}, {c.below, rows[i].below}, {c.above, rows[i].above}};
        for (int k = 0; k < 3; k++) {
            assert_int_equal(names[k].got == NULL, names[k].want == NULL);
            if (names[k].want) {
                assert_string_equal(names[k].got->name, names[k].want);
            }
        }
        expect_near(c.spare_db, rows[i].spare_db, 1e-9);
        expect_near(c.missing_db, rows[i].missing_db, 1e-9);
    }
}

static void s2x_reaches_further_both_ways_and_is_never_worse(void **state)
{
    (void)state;
    assert_string_equal(modcods_choose(MODCODS_S2X, -2.5, 0).best->name, "QPSK 2/9");
    assert_string_equal(modcods_choose(MODCODS_S2X, 30, 0).best->name, "256APSK 3/4");
    for (double esn0 = -2.35; esn0 < 20; esn0 += 0.07) {
        struct modcods_choice old = modcods_choose(MODCODS_S2, esn0, 0);
        struct modcods_choice new = modcods_choose(MODCODS_S2X, esn0, 0);
        assert_true(new.best->bits_per_symbol >= old.best->bits_per_symbol);
        assert_true(new.spare_db >= 0.0);
        if (new.above) {
            assert_true(new.above->bits_per_symbol > new.best->bits_per_symbol);
            assert_true(new.missing_db > 0.0);
        }
    }
}

/* From the same rows: 16APSK 3/4 (2.966728) at 11 dB, 16APSK 2/3 (2.637201) at 10 dB. */
static void a_lost_tenth_of_a_db_is_priced_over_the_first_db(void **state)
{
    (void)state;
    expect_near(modcods_tenth_bits(MODCODS_S2, 11.0, 0.0), 0.0329527, 1e-7);
    expect_near(modcods_tenth_bits(MODCODS_S2, -2.0, 0.0), 0.0490243, 1e-7); /* QPSK 1/4, or none */
    expect_near(modcods_tenth_bits(MODCODS_S2, 20.0, 0.0), 0.0, 0);
    expect_near(modcods_tenth_bits(MODCODS_S2, -3.0, 0.0), NAN, 0);
}

static void the_rate_is_that_of_the_frames(void **state)
{
    /* 8PSK 2/3: (43040 - 80) useful bits in 240 + 1 slots of 90 symbols, at 30 MBd (clause 5.5) */
    (void)state;
    expect_near(modcods_rate_mbps(modcods_find("8psk 2/3"), 30.0), 30.0 * 42960 / (241 * 90), 1e-4);
    assert_null(modcods_find("8PSK"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_table_is_that_of_the_standards),
        cmocka_unit_test(the_one_that_carries_most_holds_with_what_is_to_spare),
        cmocka_unit_test(s2x_reaches_further_both_ways_and_is_never_worse),
        cmocka_unit_test(a_lost_tenth_of_a_db_is_priced_over_the_first_db),
        cmocka_unit_test(the_rate_is_that_of_the_frames),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
