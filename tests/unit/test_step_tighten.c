/* Fastening the bolts: what is accepted, and what is said of a fall. */
#include "tighten_stage.h"

/* As far beside the top as costs so much: 12 dB at one width. */
static double beside(double lost_db)
{
    return sqrt(lost_db / 12.0);
}

/* The limit is the limit: what the noise hides is read for longer, not let pass. */
static void what_is_accepted_lies_within_the_limit(void **unused)
{
    int said = 0;

    (void)unused;
    for (int i = 0; i < 20; i++) {
        begin(i % 2 ? NO_SENSOR : BOTH_SENSORS);
        chance.state = (uint64_t)i;
        mount.gives_widths[0] = beside(0.03);
        fasten_and_finish();
        /* 20 readings of 0.2 dB against as many: 0.07 dB, with what trimming costs */
        assert_int_equal(strncmp(result, "tight at 1", 10), 0);
        said += says(result, "below the level before; 0.20 are allowed");
        begin(BOTH_SENSORS);
        chance.state = (uint64_t)i;
        mount.weaker_db = 0.4;
        fasten_and_finish();
        assert_int_equal(strncmp(result, "tightened, but ", 15), 0);
        begin(NO_SENSOR);
        chance.state = (uint64_t)i;
        mount.gives_widths[0] = beside(0.4);
        fasten();
        while (!eased && result[0] == '\0') {
            tick();
        }
        assert_string_equal(result, "");
    }
    assert_true(said >= 8);
}

static void nothing_lost_is_said_so(void **unused)
{
    (void)unused;
    for (int sensors = NO_SENSOR; sensors <= BOTH_SENSORS; sensors++) {
        begin((enum sensors)sensors);
        mount.begun_widths[1] = beside(0.3);
        mount.gives_widths[1] = -mount.begun_widths[1];
        fasten_and_finish();
        assert_true(says(result, "nothing was lost"));
        assert_true(says(result, "tight at 13.") || says(result, "tight at 12.9"));
    }
}

/* Where sensors are, they are not said to be missing; and one fall is told of once, and then with
 * the way that each axis went. */
static void a_fall_is_told_with_the_way_it_went(void **unused)
{
    double right, down;

    (void)unused;
    begin(BOTH_SENSORS);
    mount.gave_deg[0] = 0.5;
    mount.gave_deg[1] = -0.3;
    mount.weaker_db = 0.9;
    fasten();
    assert_in_range(stops, 1, 3);
    if (sscanf(strstr(stop, "It went") ? strstr(stop, "It went") : "",
               "It went right %lf° and down %lf°", &right, &down) != 2) {
        fail_msg("%s", stop);
    }
    /* some readings of 0.03 degrees each, before and after: 3 standard errors of their difference
     */
    expect_near(right, 0.5, 0.08);
    expect_near(down, 0.3, 0.08);
}

/* Its mean over some seconds is another each time, though the bolts did nothing. */
static void wind_is_not_chased(void **unused)
{
    (void)unused;
    for (int i = 0; i < 20; i++) {
        begin(BOTH_SENSORS);
        chance.state = (uint64_t)i;
        mount.noise_db = 0.05;
        mount.sway_deg = 0.6;
        state.t = 0.45 * i; /* wherever it is in its swing */
        mount.weaker_db = 0.05;
        fasten_and_finish();
        assert_false(eased);
        assert_int_equal(strncmp(result, "tight at 1", 10), 0);
    }
}

static void without_sensors_a_fall_tells_no_way(void **unused)
{
    (void)unused;
    begin(NO_SENSOR);
    mount.gives_widths[0] = beside(0.9);
    fasten();
    assert_in_range(stops, 1, 2);
    assert_true(says(stop, "no sensor tells which way"));
}

static void a_rise_is_no_fall(void **unused)
{
    (void)unused;
    begin(NO_SENSOR);
    mount.weaker_db = -0.8;
    run(20.0);
    mount.tight = true;
    run(10.0);
    assert_int_equal(stops, 0);
    assert_true(says(state.advice.say, "The level rises"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_accepted_lies_within_the_limit),
        cmocka_unit_test(nothing_lost_is_said_so),
        cmocka_unit_test(a_fall_is_told_with_the_way_it_went),
        cmocka_unit_test(wind_is_not_chased),
        cmocka_unit_test(without_sensors_a_fall_tells_no_way),
        cmocka_unit_test(a_rise_is_no_fall),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
