#include "expect.h"

#include <errno.h>

#include "job/job.h"

static struct job job;

static int begin(void **state)
{
    (void)state;
    job_init(&job);
    return 0;
}

static int set(const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    return job_set(&job, section, key, value, why);
}

static void defaults_stand_in_their_places(void **state)
{
    (void)state;
    assert_string_equal(job.target.satellite.name, "the target");
    expect_near(job.target.expected_level, NAN, 0);
    expect_near(job.coach.compass_error_deg, 8, 0);
    for (int i = 0; i < AXIS_COUNT; i++) {
        assert_int_equal(job.mount.axes[i].from, JOB_FROM_SCALE);
        assert_int_equal(job.mount.axes[i].scale_sense, 1);
        expect_near(job.mount.axes[i].turn_deg, NAN, 0);
    }
    set("meter finder", "quantity", "C/N");
    assert_int_equal(job.meters[0].baud, 9600);
    assert_string_equal(job.meters[0].framing, "8N1");
    assert_int_equal(job.meters[0].unit, LEVEL_DB);
    expect_near(job.meters[0].poll_period_s, 1, 0);
    expect_near(job.meters[0].minimum, NAN, 0);
    set("neighbour a", "id", "A");
    expect_near(job.neighbours[0].lon_deg, NAN, 0);
}

/*
 * Dish: half-power width 21/(f D), Lunar Base Handbook 2nd ed. p. 427 (its wavelength is 0.3/f, so
 * 0.1 %). Panel: 0.8859 lambda/a, the half-power point of sin(x)/x at x = 1.391557.
 */
static void the_beam_follows_from_size_and_frequency(void **state)
{
    const double lambda_m = 0.299792458 / 12.0;

    (void)state;
    expect_near(job_beam_width_deg(&job), NAN, 0);
    set("antenna", "diameter", "0.75");
    set("antenna", "frequency", "11.7");
    expect_near(job_beam_width_deg(&job), 21.0 / (11.7 * 0.75), 0.003);
    expect_near(job_beam_height_deg(&job), 21.0 / (11.7 * 0.75), 0.003);
    set("antenna", "height", "1.5"); /* an oval dish */
    expect_near(job_beam_height_deg(&job), 21.0 / (11.7 * 1.5), 0.003);
    set("antenna", "kind", "panel");
    set("antenna", "frequency", "12");
    set("antenna", "width", "0.6");
    set("antenna", "height", "0.35");
    expect_near(job_beam_width_deg(&job), 0.8859 * lambda_m / 0.6 * 57.29577951, 0.003);
    expect_near(job_beam_height_deg(&job), 0.8859 * lambda_m / 0.35 * 57.29577951, 0.005);
    set("antenna", "beam_width", "2"); /* what is said wins over what is computed */
    expect_near(job_beam_width_deg(&job), 2, 0);
    set("antenna", "beam_height", "3");
    expect_near(job_beam_height_deg(&job), 3, 0);
}

static void a_said_beam_of_a_dish_is_round(void **state)
{
    (void)state;
    set("antenna", "beam_width", "1.7");
    expect_near(job_beam_height_deg(&job), 1.7, 0);
}

/* An offset-fed dish whose scale shows 22 degrees less, and a ring that counts the other way. */
static void the_scale_and_the_true_angle_belong_together(void **state)
{
    const struct job_axis offset = {.scale_zero_deg = -22, .scale_sense = 1};
    const struct job_axis ring = {.scale_zero_deg = 360, .scale_sense = -1};

    (void)state;
    expect_near(job_scale_from_true(&offset, 35), 13, 1e-12);
    expect_near(job_true_from_scale(&offset, 13), 35, 1e-12);
    expect_near(job_scale_from_true(&ring, 143), 217, 1e-12);
    expect_near(job_true_from_scale(&ring, 217), 143, 1e-12);
}

static void what_is_missing_or_contradicts_is_named(void **state)
{
    static const struct {
        const char *settings[8][3];
        const char *want; /* "" = nothing wrong */
    } rows[] = {
        {{{"site", "lat", "1"}}, "no target: [target] longitude is missing"},
        {{{"target", "longitude", "22"}},
         "[target] polarisation is missing: allowed is V, H or circular"},
#define TARGET {"target", "longitude", "22"}, {"target", "polarisation", "V"}
#define SITE                                                                                       \
    {"site", "lat", "1"},                                                                          \
    {                                                                                              \
        "site", "lon", "2"                                                                         \
    }
        {{TARGET}, "no site: [site] lat and lon are missing and no gpsd source gives a position"},
        {{TARGET, {"site", "lat", "1"}}, "[site] lon is missing beside lat"},
        {{TARGET, {"site", "lon", "1"}}, "[site] lat is missing beside lon"},
        {{TARGET, SITE}, ""},
        {{TARGET, {"source g", "address", "gpsd://localhost:2947"}}, ""},
        {{TARGET, {"source g", "address", "gpsd:"}}, ""},
        {{TARGET, {"source g", "address", "keys"}}, ""},
        {{TARGET, {"source g", "address", "sim:hut"}}, ""},
        {{TARGET, {"source g", "address", "old.jsonl"}}, ""},
        {{TARGET, {"source g", "address", "serial:/dev/gpsd"}},
         "no site: [site] lat and lon are missing and no gpsd source gives a position"},
        {{TARGET, SITE, {"neighbour Ibex", "id", "I"}}, "[neighbour Ibex] longitude is missing"},
        {{TARGET, SITE, {"antenna", "kind", "panel"}}, ""},
        {{TARGET, SITE, {"antenna", "diameter", "1"}, {"antenna", "kind", "panel"}},
         "[antenna] diameter is for a dish: a panel has width and height"},
        {{TARGET, SITE, {"antenna", "diameter", "1"}, {"antenna", "height", "1"}},
         "[antenna] diameter is for a round dish: give either it or width and height"},
        {{TARGET, SITE, {"antenna", "diameter", "1"}, {"antenna", "width", "1"}},
         "[antenna] diameter is for a round dish: give either it or width and height"},
        {{TARGET, SITE, {"antenna", "height", "1"}}, "[antenna] width is missing beside height"},
        {{TARGET, SITE, {"antenna", "kind", "panel"}, {"antenna", "width", "1"}},
         "[antenna] height is missing beside width: a panel has both"},
        {{TARGET, SITE, {"antenna", "kind", "panel"}, {"antenna", "beam_width", "1"}},
         "[antenna] a panel has beam_width and beam_height: one is missing"},
        {{TARGET, SITE, {"antenna", "diameter", "1"}},
         "[antenna] frequency is missing: the beam follows from the antenna's size and the "
         "frequency"},
        {{TARGET, SITE, {"antenna", "diameter", "1"}, {"antenna", "beam_width", "1"}}, ""},
        {{TARGET, SITE, {"antenna", "diameter", "1"}, {"antenna", "frequency", "12"}}, ""},
        {{TARGET, SITE, {"meter", "minimum", "5"}, {"meter", "maximum", "5"}},
         "[meter] minimum 5 is not below maximum 5"},
        {{TARGET, SITE, {"meter m", "minimum", "5"}, {"meter m", "maximum", "2"}},
         "[meter m] minimum 5 is not below maximum 2"},
        {{TARGET, SITE, {"meter m", "minimum", "5"}}, ""},
        {{TARGET, SITE, {"source s", "meter", ""}}, "[source s] address is missing"},
        {{TARGET, SITE, {"source s", "address", "keys"}, {"source s", "meter", "m"}},
         "[source s] meter = m: there is no section [meter m]"},
        {{TARGET,
          SITE,
          {"source s", "address", "keys"},
          {"source s", "meter", "m"},
          {"meter m", "unit", "dB"}},
         ""},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char why[JOB_ERROR_SIZE] = "";
        job_init(&job);
        for (int n = 0; n < 8 && rows[i].settings[n][0]; n++) {
            assert_int_equal(
                set(rows[i].settings[n][0], rows[i].settings[n][1], rows[i].settings[n][2]), 0);
        }
        assert_int_equal(job_check(&job, why), rows[i].want[0] ? -EINVAL : 0);
        assert_string_equal(why, rows[i].want);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(defaults_stand_in_their_places, begin),
        cmocka_unit_test_setup(the_beam_follows_from_size_and_frequency, begin),
        cmocka_unit_test_setup(a_said_beam_of_a_dish_is_round, begin),
        cmocka_unit_test_setup(the_scale_and_the_true_angle_belong_together, begin),
        cmocka_unit_test_setup(what_is_missing_or_contradicts_is_named, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
