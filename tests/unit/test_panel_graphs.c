/* The graphs and the ruler, read back as text from the sheet they write on. */
#include "wall.h"

static void the_ruler_counts_turns_of_the_bolt_that_is_turned(void **state)
{
    struct wall *wall = *state;
    struct advice advice = {
        .axis = AXIS_AZIMUTH, .move = ADVICE_RIGHT, .deg = 0.75, .turns = NAN, .rate = NAN};

    expect_says(wall, panel_ruler, 2, COLS, "\n\n"); /* nothing is asked */
    put_advice(wall, advice);
    expect_says(wall, panel_ruler, 2, COLS, "degrees\n");
    wall->job.mount.axes[AXIS_AZIMUTH].turn_deg = 1.5;
    expect_says(wall, panel_ruler, 2, COLS, "1        1/2        0");
    expect_says(wall, panel_ruler, 2, COLS, "turns\n");
    /* half a turn to the right is half way on a ruler of one turn, left of the goal */
    expect_says(wall, panel_ruler, 2, COLS, "left  \u253c");
    expect_says(wall, panel_ruler, 2, COLS, "\u25b2");
    assert_int_equal(wall->sheet.cells[COLS + 17 + 20 - 10].code, 0x25b2);
    advice.move = ADVICE_LEFT;
    put_advice(wall, advice);
    written(wall, panel_ruler, 2, COLS);
    assert_int_equal(wall->sheet.cells[COLS + 17 + 20 + 10].code, 0x25b2);
    advice.move = ADVICE_HOLD;
    put_advice(wall, advice);
    written(wall, panel_ruler, 2, COLS);
    assert_int_equal(wall->sheet.cells[COLS + 17 + 20].code, 0x25b2);
}

static void what_is_missing_is_said_to_be(void **state)
{
    struct wall *wall = *state;

    put_levels(wall, 0.0, 10.0, 0.0);
    expect_says(wall, panel_trend, 8, COLS, "best");
    assert_null(strstr(wall->text, "no level"));
    put_levels(wall, 30.0, 10.0, 0.0);
    expect_says(wall, panel_trend, 8, COLS, "no level");
}

static void a_step_is_marked_where_it_began(void **state)
{
    struct wall *wall = *state;
    struct record step = {
        .t = 10.0, .kind = RECORD_STEP, .step = {.event = STEP_ENTER, .number = 7, .count = 9}};

    put_levels(wall, 0.0, 10.0, 0.0);
    apply(wall, step);
    put_levels(wall, 10.0, 10.0, 0.0);
    expect_says(wall, panel_trend, 8, COLS, "\u250a7");
    /* a replay that goes back has not been there yet */
    step.step.event = STEP_LEAVE;
    step.t = 9.0;
    apply(wall, step);
    written(wall, panel_trend, 8, COLS);
    assert_null(strstr(wall->text, "\u250a7"));
}

static void noise_is_a_band_where_a_row_is_less(void **state)
{
    struct wall *wall = *state;

    for (int i = 0; i < 100; i++) {
        apply(wall, (struct record){.t = 0.2 * i,
                                    .kind = RECORD_LEVEL,
                                    .level = {.value = 10.0 + 0.5 * ((i * 7) % 5 - 2)}});
    }
    assert_true(level_filter_noise(&wall->state.level.filter) > 0.4);
    expect_says(wall, panel_trend, 20, COLS, "\u00b7");
    written(wall, panel_trend, 2, COLS); /* here it is less than a row */
    assert_null(strstr(wall->text, "\u00b7"));
}

static void the_graphs_survive_every_size(void **state)
{
    struct wall *wall = *state;

    put_fix(wall);
    put_advice(wall, (struct advice){.axis = AXIS_AZIMUTH, .move = ADVICE_RIGHT, .deg = 1.0});
    for (int i = 0; i < 200; i++) {
        double azimuth = 359.0 + 0.02 * i;
        apply(wall, (struct record){.t = 1.0 + 0.2 * i,
                                    .kind = RECORD_ANGLES,
                                    .angles = {.deg = {azimuth, 35.0, NAN}}});
        apply(wall, (struct record){.t = 1.0 + 0.2 * i,
                                    .kind = RECORD_LEVEL,
                                    .level = {.value = 10.0 - 0.0005 * (i - 100) * (i - 100)}});
    }
    for (int rows = 1; rows < ROWS; rows++) {
        for (int cols = 1; cols < COLS; cols += 3) {
            written(wall, panel_lobe, rows, cols);
            written(wall, panel_arc, rows, cols);
        }
    }
    expect_says(wall, panel_lobe, 10, COLS, "azimuth: ");
    expect_says(wall, panel_lobe, 10, COLS, "\u00b0");
    expect_says(wall, panel_arc, 10, COLS, "Ptarmigan 1");
}

static void the_trend_survives_every_size_and_level(void **state)
{
    static const double levels[] = {0.0, -1e6, 1e12, 1e-12};
    struct wall *wall = *state;

    written(wall, panel_trend, 6, COLS);
    for (size_t i = 0; i < sizeof levels / sizeof *levels; i++) {
        put_levels(wall, 1000.0 * (double)i, levels[i], 0.0);
        for (int rows = 1; rows < ROWS; rows++) {
            for (int cols = 1; cols < COLS; cols += 3) {
                written(wall, panel_trend, rows, cols);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        WALL_TEST(the_ruler_counts_turns_of_the_bolt_that_is_turned),
        WALL_TEST(what_is_missing_is_said_to_be),
        WALL_TEST(a_step_is_marked_where_it_began),
        WALL_TEST(noise_is_a_band_where_a_row_is_less),
        WALL_TEST(the_graphs_survive_every_size),
        WALL_TEST(the_trend_survives_every_size_and_level),
    };

    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
