/* What a face remembers: the lobe of the axis that is turned, and what was named where. */
#include "expect.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "view/history.h"

static struct job job;
static struct magnetic_model magnetic;
static struct state state;
static struct history history;

static int set_up(void **unused)
{
    (void)unused;
    job_init(&job);
    job.antenna.beam_width_deg = job.antenna.beam_height_deg = 2.4;
    job.target.given = true;
    state_init(&state, &job, &magnetic);
    history_init(&history);
    return 0;
}

static void apply(struct record record)
{
    state_apply(&state, &record);
    history_add(&history, &state, &record);
}

static void advise(double t, enum axis axis)
{
    apply((struct record){.t = t, .kind = RECORD_ADVICE, .advice = {.axis = axis}});
}

/* Stands at an angle until the filter has settled. */
static void stand(double t, double azimuth, double level)
{
    for (int i = 0; i < 8; i++) {
        apply((struct record){
            .t = t + 0.5 * i, .kind = RECORD_ANGLES, .angles = {.deg = {azimuth, 35.0, NAN}}});
        apply((struct record){
            .t = t + 0.5 * i, .kind = RECORD_LEVEL, .level = {.value = level, .unit = LEVEL_DB}});
    }
}

/* A parabola of half-power width w falls 12 (x/w)^2 dB: Rec. ITU-R S.672, 3 (psi/psi_0)^2. */
static double lobe(double x, double centre)
{
    double off = (x - centre) / 2.4;

    return 13.0 - 12.0 * off * off;
}

static void the_middle_of_the_lobe_is_found_also_over_north(void **unused)
{
    static const double centres[] = {163.3, 0.2, 359.7};

    (void)unused;
    for (size_t k = 0; k < 3; k++) {
        double t = 1000.0 * (double)k;
        advise(t, AXIS_ELEVATION); /* another axis: a new lobe comes after it */
        advise(t, AXIS_AZIMUTH);
        for (int i = -6; i <= 6; i++) {
            double x = centres[k] + 0.2 * i;
            stand(t += 10.0, x < 0.0 ? x + 360.0 : x >= 360.0 ? x - 360.0 : x, lobe(x, centres[k]));
        }
        if (!history.lobe.fitted) {
            fail_msg("%g: %zu readings", centres[k], history.lobe.count);
        }
        /* the angle goes on past north, so it may be a whole turn off */
        expect_near(remainder(history.lobe.fit.centre_deg - centres[k], 360.0), 0.0, 0.02);
        expect_near(history.lobe.fit.peak, 13.0, 0.05);
    }
}

/* A hand that sweeps at 1 deg/s before a meter that lags 0.6 s sees the lobe 0.6 deg late. */
static void a_lag_does_not_shift_the_middle_once_the_hand_has_stood(void **unused)
{
    double t = 0.0, level = lobe(162.0, 163.3);

    (void)unused;
    advise(0.0, AXIS_AZIMUTH);
    for (double x = 161.5; x < 165.5; x += 0.1, t += 0.1) {
        level += (lobe(x, 163.3) - level) * (0.1 / 0.6);
        apply((struct record){.t = t, .kind = RECORD_ANGLES, .angles = {.deg = {x, 35.0, NAN}}});
        apply((struct record){
            .t = t, .kind = RECORD_LEVEL, .level = {.value = level, .unit = LEVEL_DB}});
    }
    assert_true(history.lobe.fitted && history.lobe.rough);
    assert_true(fabs(history.lobe.fit.centre_deg - 163.3) > 0.3);
    for (int i = -2; i <= 2; i++) {
        stand(t += 10.0, 163.3 + 0.5 * i, lobe(163.3 + 0.5 * i, 163.3));
    }
    assert_true(history.lobe.fitted && !history.lobe.rough);
    expect_near(history.lobe.fit.centre_deg, 163.3, 0.02);
}

static void readings_say_which_way_the_hand_went(void **unused)
{
    int way;

    (void)unused;
    advise(0.0, AXIS_AZIMUTH);
    stand(1.0, 100.0, 5.0);
    stand(11.0, 101.0, 6.0);
    stand(21.0, 100.5, 6.0);
    assert_int_equal(history.lobe.count, 24);
    history_reading(&history, 8, &way);
    assert_int_equal(way, 1);
    expect_near(history_reading(&history, 16, &way).x_deg, 100.5, 1e-9);
    assert_int_equal(way, -1);
    history_reading(&history, 17, &way);
    assert_int_equal(way, 0);
}

static void a_new_step_begins_a_new_lobe_when_it_turns_an_axis(void **unused)
{
    struct record step = {.t = 10.0, .kind = RECORD_STEP, .step = {.event = STEP_ENTER}};

    (void)unused;
    advise(0.0, AXIS_AZIMUTH);
    stand(1.0, 100.0, 5.0);
    apply(step);
    advise(11.0, AXIS_NONE);
    assert_int_equal(history.lobe.count, 8); /* still to be looked at */
    advise(12.0, AXIS_AZIMUTH);
    assert_int_equal(history.lobe.count, 0);
}

static void a_name_is_kept_where_it_was_strongest(void **unused)
{
    struct record lock = {.t = 0.0, .kind = RECORD_LOCK, .lock.locked = true};

    (void)unused;
    text_copy(lock.lock.id, RECORD_NAME_SIZE, "PTARMIGAN");
    apply(lock);
    stand(1.0, 168.0, 5.0);
    stand(11.0, 169.4, 12.0);
    stand(21.0, 170.0, 8.0);
    assert_int_equal(history.named_count, 1);
    expect_near(history.named[0].azimuth_deg, 169.4, 1e-9);
    expect_near(history.named[0].level, 12.0, 1e-6);
}

static void a_source_is_counted_over_some_seconds(void **unused)
{
    (void)unused;
    apply((struct record){
        .t = 0.0, .kind = RECORD_SOURCE, .source = {.name = "finder", .status = SOURCE_UP}});
    assert_true(isnan(history.sources[0].rate));
    for (int i = 0; i < 200; i++) {
        struct record level = {.t = 0.1 * i, .kind = RECORD_LEVEL};
        text_copy(level.level.meter, sizeof level.level.meter, "finder");
        apply(level);
    }
    expect_near(history.sources[0].rate, 10.0, 0.3);
}

static void a_replay_that_goes_back_forgets_what_comes_later(void **unused)
{
    (void)unused;
    advise(0.0, AXIS_AZIMUTH);
    stand(10.0, 100.0, 5.0);
    advise(1.0, AXIS_AZIMUTH);
    assert_int_equal(history.lobe.count, 0);
    expect_near(history.t, 1.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(the_middle_of_the_lobe_is_found_also_over_north, set_up),
        cmocka_unit_test_setup(a_lag_does_not_shift_the_middle_once_the_hand_has_stood, set_up),
        cmocka_unit_test_setup(readings_say_which_way_the_hand_went, set_up),
        cmocka_unit_test_setup(a_new_step_begins_a_new_lobe_when_it_turns_an_axis, set_up),
        cmocka_unit_test_setup(a_name_is_kept_where_it_was_strongest, set_up),
        cmocka_unit_test_setup(a_source_is_counted_over_some_seconds, set_up),
        cmocka_unit_test_setup(a_replay_that_goes_back_forgets_what_comes_later, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
