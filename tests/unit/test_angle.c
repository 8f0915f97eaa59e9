#include "expect.h"

#include <errno.h>

#include "sky/angle.h"

#define UNTOUCHED 777.0

static void check_spelling(int (*parse)(const char *, double *), const char *text, int want,
                           double want_deg)
{
    double deg = UNTOUCHED;
    int got = parse(text, &deg);

    if (got != want || fabs(deg - want_deg) > 1e-12) {
        fail_msg("\"%s\" gives %d and %.12g, want %d and %.12g", text, got, deg, want, want_deg);
    }
}

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
    {"E47.5", 0, 47.5},
    {"w 12 30 0", 0, -12.5},
    {"\u221212.5", 0, -12.5},
    {"47\u00ba30\u201936\u201dW", 0, -47.51},
    {"47\u00b030\u203236\u2033W", 0, -47.51},
    {"47d30'36''W", 0, -47.51},
    {"47 deg 30 min 36 sec W", 0, -47.51},
    {"47d30m36s", 0, 47.51},
    {"-47d30m36s", 0, -47.51},
    {"47d 30m 36s W", 0, -47.51},
    {"47.", 0, 47.0},
    {"007", 0, 7.0},
    {"+7", 0, 7.0},
    {"\t12.5E\r\n", 0, 12.5},
    {"179 59 59.9 W", 0, -179.99997222222222},
    {"180W", 0, -180.0},
    {"180.0001", -ERANGE, UNTOUCHED},
    {"180 0 1 E", -ERANGE, UNTOUCHED},
    {"12 60 E", -ERANGE, UNTOUCHED},
    {"12 0 60 E", -ERANGE, UNTOUCHED},
    {"99999999999999999999", -ERANGE, UNTOUCHED},
    {"0000000000000000000000000000000012", -EINVAL, UNTOUCHED},
    {"12X", -EINVAL, UNTOUCHED},
    {"E12E", -EINVAL, UNTOUCHED},
    {"E12W", -EINVAL, UNTOUCHED},
    {"E-12", -EINVAL, UNTOUCHED},
    {"+12W", -EINVAL, UNTOUCHED},
    {"--12", -EINVAL, UNTOUCHED},
    {"- 12", -EINVAL, UNTOUCHED},
    {"-", -EINVAL, UNTOUCHED},
    {".", -EINVAL, UNTOUCHED},
    {".5", -EINVAL, UNTOUCHED},
    {"12 .5E", -EINVAL, UNTOUCHED},
    {"12,5E", -EINVAL, UNTOUCHED},
    {"47.5 30 E", -EINVAL, UNTOUCHED},
    {"47 30.5 36 E", -EINVAL, UNTOUCHED},
    {"47 30 36 12 E", -EINVAL, UNTOUCHED},
    {"30'E", -EINVAL, UNTOUCHED},
    {"47d36\"E", -EINVAL, UNTOUCHED},
    {"47m30d E", -EINVAL, UNTOUCHED},
    {"47 -30 E", -EINVAL, UNTOUCHED},
    {"12E5", -EINVAL, UNTOUCHED},
    {"12S", -EINVAL, UNTOUCHED},
    {"12\xc2", -EINVAL, UNTOUCHED},
    {"0x10", -EINVAL, UNTOUCHED},
    {"inf", -EINVAL, UNTOUCHED},
    {"   ", -EINVAL, UNTOUCHED},
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
        check_spelling(angle_parse_longitude, longitudes[i].text, longitudes[i].want,
                       longitudes[i].deg);
    }
}

static const struct {
    const char *text;
    int want;
    double deg;
} latitudes[] = {
    {"46d36m36sN", 0, 46.61},
    {"46d36m36s N", 0, 46.61},
    {"N 46\u00b0 36.6'", 0, 46.61},
    {"33 52 12 S", 0, -33.87},
    {"33 52 12s", 0, -33.87},
    {"33\u00b052'12S", 0, -33.87},
    {"33d52m12sS", 0, -33.87},
    {"33d52m12 S", 0, -33.87},
    {"S33d52m12s", 0, -33.87},
    {"-33d52m12s", 0, -33.87},
    {"33 52.2 S", 0, -33.87},
    {"33.87 s", 0, -33.87},
    {"90", 0, 90.0},
    {"90S", 0, -90.0},
    {"33d52m12s", -EINVAL, UNTOUCHED}, /* seconds or south? */
    {"33d52m12S", -EINVAL, UNTOUCHED},
    {"90.1", -ERANGE, UNTOUCHED},
    {"89 60 N", -ERANGE, UNTOUCHED},
    {"90 0 0.1 N", -ERANGE, UNTOUCHED},
    {"12E", -EINVAL, UNTOUCHED},
    {"12 NS", -EINVAL, UNTOUCHED},
    {"-12S", -EINVAL, UNTOUCHED},
};

static void latitudes_end_at_the_pole_and_are_never_guessed(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof latitudes / sizeof *latitudes; i++) {
        check_spelling(angle_parse_latitude, latitudes[i].text, latitudes[i].want,
                       latitudes[i].deg);
    }
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
    assert_true(isnan(angle_turn_deg(1.0, (double)INFINITY)));
}

static void angles_are_wrapped_into_their_range(void **state)
{
    (void)state;
    expect_near(angle_wrap_deg(-1e-20), 0.0, 0.0);
    expect_near(angle_wrap_deg(-90.0), 270.0, 0.0);
    expect_near(angle_wrap_deg(720.0), 0.0, 0.0);
    assert_true(isnan(angle_wrap_deg((double)NAN)) && isnan(angle_wrap_deg((double)INFINITY)));
    assert_true(isnan(angle_wrap_axial_deg((double)NAN)));
    expect_near(angle_wrap_axial_deg(-90.0), 90.0, 0.0);
    expect_near(angle_wrap_axial_deg(170.0), -10.0, 1e-12);
    expect_near(angle_turn_axial_deg(80.0, -80.0), 20.0, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(longitudes_are_read_as_people_write_them),
        cmocka_unit_test(latitudes_end_at_the_pole_and_are_never_guessed),
        cmocka_unit_test(a_turn_takes_the_short_way_over_north),
        cmocka_unit_test(angles_are_wrapped_into_their_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
