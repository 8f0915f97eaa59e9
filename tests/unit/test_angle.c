#include "expect.h"

#include <errno.h>

#include "sky/angle.h"

#define UNTOUCHED 777.0

static const struct {
    const char *text;
    int want;
    double deg;
} longitudes[] = {
    {"47.5", 0, 47.5},
    {"-12", 0, -12.0},
    {"47.5E", 0, 47.5},
    {"12W", 0, -12.0},
    {" 12.25 w ", 0, -12.25},
    {"180", 0, 180.0},
    {"47d30mE", 0, 47.5},
    {"47\u00b030'36\"W", 0, -47.51},
    {"47 30 36 E", 0, 47.51},
    {"47deg 30' E", 0, 47.5},
    {"0", 0, 0.0},
    {"12X", -EINVAL, UNTOUCHED},
    {"12N", -EINVAL, UNTOUCHED},
    {"-12W", -EINVAL, UNTOUCHED},
    {"181E", -ERANGE, UNTOUCHED},
    {"12 61 E", -ERANGE, UNTOUCHED},
    {"1.2.3", -EINVAL, UNTOUCHED},
    {"", -EINVAL, UNTOUCHED},
    {"E", -EINVAL, UNTOUCHED},
    {"12EE", -EINVAL, UNTOUCHED},
    {"nan", -EINVAL, UNTOUCHED},
    {"1e1", -EINVAL, UNTOUCHED},
};

static void longitudes_are_read_as_people_write_them(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof longitudes / sizeof *longitudes; i++) {
        double deg = UNTOUCHED;
        assert_int_equal(angle_parse_longitude(longitudes[i].text, &deg), longitudes[i].want);
        expect_near(deg, longitudes[i].deg, 1e-12);
    }
}

static void latitudes_end_at_the_pole(void **state)
{
    double deg = UNTOUCHED;

    (void)state;
    assert_int_equal(angle_parse_latitude("46d36m12.5sN", &deg), 0);
    expect_near(deg, 46.0 + 36.0 / 60.0 + 12.5 / 3600.0, 1e-12);
    assert_int_equal(angle_parse_latitude("33 52 S", &deg), 0);
    expect_near(deg, -(33.0 + 52.0 / 60.0), 1e-12);
    assert_int_equal(angle_parse_latitude("90.1", &deg), -ERANGE);
    assert_int_equal(angle_parse_latitude("12E", &deg), -EINVAL);
}

static void a_turn_takes_the_short_way_over_north(void **state)
{
    static const struct {
        double from, to, turn;
    } rows[] = {{350, 10, 20}, {10, 350, -20}, {0, 180, 180},
                {180, 0, 180}, {720, 1, 1},    {90, 90, 0}};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(angle_turn_deg(rows[i].from, rows[i].to), rows[i].turn, 1e-12);
    }
    assert_true(isnan(angle_turn_deg((double)NAN, 1.0)));
}

static void angles_are_wrapped_into_their_range(void **state)
{
    (void)state;
    expect_near(angle_wrap_deg(-1e-20), 0.0, 0.0);
    expect_near(angle_wrap_deg(-90.0), 270.0, 0.0);
    expect_near(angle_wrap_deg(720.0), 0.0, 0.0);
    expect_near(angle_wrap_axial_deg(-90.0), 90.0, 0.0);
    expect_near(angle_wrap_axial_deg(170.0), -10.0, 1e-12);
    expect_near(angle_turn_axial_deg(80.0, -80.0), 20.0, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(longitudes_are_read_as_people_write_them),
        cmocka_unit_test(latitudes_end_at_the_pole),
        cmocka_unit_test(a_turn_takes_the_short_way_over_north),
        cmocka_unit_test(angles_are_wrapped_into_their_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
