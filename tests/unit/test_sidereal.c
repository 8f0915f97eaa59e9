/* Expected values: textbooks' worked examples. */
#include "expect.h"

#include <math.h>

#include "sky/sidereal.h"
#include "sky/utc.h"

/*
 * Meeus, Astronomical Algorithms, 2nd ed., examples 12.a and 12.b: mean sidereal time at Greenwich
 * 13h 10m 46.3668s on 1987 April 10 at 0h, 8h 34m 57.0896s at 19h 21m 00s. Vallado, Fundamentals of
 * Astrodynamics, example 3-5: 152.578787886 degrees on 1992 August 20 at 12:14. (From memory.)
 */
static void the_worked_examples_come_out(void **state)
{
    static const struct {
        const char *utc;
        double degrees;
    } rows[] = {
        {"1987-04-10", 15.0 * (13.0 + 10.0 / 60.0 + 46.3668 / 3600.0)},
        {"1987-04-10T19:21:00", 15.0 * (8.0 + 34.0 / 60.0 + 57.0896 / 3600.0)},
        {"1992-08-20T12:14:00", 152.578787886},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double t = NAN;
        assert_int_equal(utc_parse(rows[i].utc, &t), 0);
        expect_near(sidereal_greenwich_rad(t) * 180.0 / M_PI, rows[i].degrees, 1e-6);
    }
    assert_true(isnan(sidereal_greenwich_rad(NAN)));
}

/* What stands over 0E at right ascension = sidereal time has earth-fixed longitude 0. */
static void the_earth_turns_to_the_east(void **state)
{
    double t = 1.8e9, turn = sidereal_greenwich_rad(t);
    double place[3] = {2.0 * cos(turn + 0.3), 2.0 * sin(turn + 0.3), -7.0};

    (void)state;
    sidereal_to_earth(t, place, place);
    expect_near(place[0], 2.0 * cos(0.3), 1e-12);
    expect_near(place[1], 2.0 * sin(0.3), 1e-12);
    expect_near(place[2], -7.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worked_examples_come_out),
        cmocka_unit_test(the_earth_turns_to_the_east),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
