#include "expect.h"

#include "radio/isolation.h"

static void isolation_and_loss_are_those_of_the_tables(void **state)
{
    /* rf-relations.csv, rows xpi-0.5 to xpi-5 and pol-1 to pol-45 (geometry) */
    static const struct {
        double error_deg, db;
    } isolation[] = {{0.5, 41.1828}, {1, 35.1616}, {1.8, 30.0541},
                     {2, 29.1383},   {3, 25.6121}, {5, 21.1610}};
    static const struct {
        double error_deg, loss_db;
    } loss[] = {{1, 0.0013}, {5, 0.0331}, {10, 0.1330}, {45, 3.0103}};

    (void)state;
    for (size_t i = 0; i < sizeof isolation / sizeof *isolation; i++) {
        expect_near(isolation_db(isolation[i].error_deg, INFINITY), isolation[i].db, 1e-4);
        expect_near(isolation_db(-isolation[i].error_deg, INFINITY), isolation[i].db, 1e-4);
    }
    for (size_t i = 0; i < sizeof loss / sizeof *loss; i++) {
        expect_near(isolation_copolar_loss_db(loss[i].error_deg), loss[i].loss_db, 6e-5);
    }
}

/* Derived without this code: the error allowed for an isolation, by the antenna's own; to 0.1. */
static void allowed_error_shrinks_with_the_antennas_own_isolation(void **state)
{
    static const struct {
        double wanted, own[5];
    } rows[] = {{25, {3.2, 3.2, 3.0, 2.9, 2.7}},
                {30, {1.8, 1.7, 1.5, 1.3, NAN}},
                {35, {1.0, 0.8, NAN, NAN, NAN}}};
    static const double xpd[] = {INFINITY, 40, 35, 33, 30};

    (void)state;
    for (size_t i = 0; i < 3; i++) {
        for (size_t k = 0; k < 5; k++) {
            double got = isolation_allowed_error_deg(rows[i].wanted, xpd[k]);
            expect_near(got, rows[i].own[k], 0.06);
            if (isfinite(got)) {
                expect_near(isolation_db(got, xpd[k]), rows[i].wanted, 1e-9);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(isolation_and_loss_are_those_of_the_tables),
        cmocka_unit_test(allowed_error_shrinks_with_the_antennas_own_isolation),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
