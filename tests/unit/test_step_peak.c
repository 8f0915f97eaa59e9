/* Peaking one axis after the other, by turns that are counted: what the second says of the first.
 */
#include "given.h"

#include <stdio.h>
#include <string.h>

#include "chance.h"
#include "coach/peak.h"
#include "tell_coach.h"

static const double tick_s = 0.25;
static const double top_db = 13.0, top_percent = 80.0;

static struct job job;
static struct state state;
static struct procedure procedure;
static struct coach coach;
static struct chance chance;

static double off_widths[2]; /* where the antenna stands, from the top */
static enum level_unit unit;
static char entered[200], left_with[4][RECORD_TEXT_SIZE];
static int left;
static double since_t;

static void note(const struct record *made)
{
    since_t = made->kind == RECORD_ADVICE ? made->t : since_t;
    if (made->kind == RECORD_STEP && made->step.event == STEP_ENTER) {
        strcat(strcat(entered, made->step.name), " ");
    } else if (made->kind == RECORD_STEP && made->step.event == STEP_LEAVE && left < 4) {
        strcpy(left_with[left++], made->step.result);
    }
}

static void hear(struct record record)
{
    record.t = state.t;
    tell_coach(&coach, &state, &record, note);
}

/* A lobe, and its meter: in percent it shows the ratio of voltages. */
static double read_level(void)
{
    double x = off_widths[0], y = off_widths[1], loss_db = 12.0 * (x * x + y * y);

    return unit == LEVEL_DB
               ? top_db - loss_db + chance_normal(&chance, 0.1)
               : top_percent * pow(10.0, -loss_db / 20.0) + chance_normal(&chance, 0.5);
}

/* What is asked for is done, exactly. */
static void obey(void)
{
    const struct advice *advice = &state.advice;
    struct record move = {.kind = RECORD_MOVE};

    if (advice->move > ADVICE_ANTICLOCKWISE || state.t < since_t + 2.0) {
        return;
    }
    move.move.axis = advice->axis;
    move.move.deg =
        advice->move == ADVICE_RIGHT || advice->move == ADVICE_UP ? advice->deg : -advice->deg;
    move.move.turns = NAN;
    off_widths[advice->axis] += move.move.deg / peak_expected_width_deg(&state, advice->axis);
    hear(move);
}

/* Both axes are peaked, beginning so far off. */
static void peak_from(enum level_unit in, double azimuth_widths, double elevation_widths)
{
    unit = in;
    off_widths[0] = azimuth_widths;
    off_widths[1] = elevation_widths;
    entered[0] = '\0';
    left = 0;
    since_t = 0.0;
    chance.state = 3;
    job_init(&job);
    given_hut(&job);
    given_dish(&job);
    given_job(&job, "mount", "azimuth_from", "nudges");
    given_job(&job, "mount", "elevation_from", "nudges");
    given_job(&job, "meter finder", "unit", unit == LEVEL_DB ? "dB" : "percent");
    given_job(&job, "meter finder", "lag", "0.3");
    procedure_init(&procedure, "test");
    given_step(&procedure, "step across", "do", "peak");
    given_step(&procedure, "step across", "axis", "azimuth");
    given_step(&procedure, "step along", "do", "peak");
    given_step(&procedure, "step along", "axis", "elevation");
    given_step(&procedure, "step close", "do", "record");
    begin_coach(&coach, &state, &job, &procedure);
    while (!coach.finished && state.t < 2000.0) {
        struct record level = {.kind = RECORD_LEVEL};
        state.t += tick_s;
        level.level.value = read_level();
        level.level.unit = unit;
        strcpy(level.level.meter, "finder");
        hear(level);
        obey();
    }
    assert_true(coach.finished);
}

/* In percent the skirt of a lobe is bent, so that what was read there tells little of where its top
 * is. In dB a lobe is as good a parabola there. */
static void an_axis_that_was_peaked_on_the_skirt_is_peaked_again(void **unused)
{
    static const struct {
        enum level_unit unit;
        double elevation_widths;
        const char *entered;
    } rows[] = {
        /* by 12 x^2 dB: 0.33, 0.58 and 1.0 of the voltage at the top */
        {LEVEL_PERCENT, 0.9, "across along across along close "},
        {LEVEL_PERCENT, -0.9, "across along across along close "},
        {LEVEL_PERCENT, 0.63, "across along close "},
        {LEVEL_PERCENT, 0.0, "across along close "},
        {LEVEL_DB, 0.9, "across along close "},
        {LEVEL_DB, 0.0, "across along close "},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bool again = strstr(rows[i].entered, "along across") != NULL;
        peak_from(rows[i].unit, 0.3, rows[i].elevation_widths);
        assert_string_equal(entered, rows[i].entered);
        assert_int_equal(strstr(left_with[1], "peaked at a far lower level") != NULL, again);
        /* once is enough */
        assert_true(!again || !strstr(left_with[3], "peaked at a far lower level"));
        expect_near(off_widths[0], 0.0, 0.12);
        expect_near(off_widths[1], 0.0, 0.12);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_axis_that_was_peaked_on_the_skirt_is_peaked_again),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
