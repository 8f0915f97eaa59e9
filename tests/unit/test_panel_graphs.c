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
}

/* At 20 readings a second the state keeps 205 s of them; half an hour is there nevertheless. */
static void a_long_window_is_not_cut_short(void **state)
{
    struct wall *wall = *state;

    for (int i = 0; i < 20 * 1500; i++) {
        apply(wall, (struct record){.t = 0.05 * i,
                                    .kind = RECORD_LEVEL,
                                    .level.value = i < 10000 ? 9.0 : 12.0});
    }
    assert_true(state_trend_at(&wall->state, 0)->t > 1200.0);
    while (keyboard_windows_s[wall->keyboard.zoom] < 3600.0) {
        wall->keyboard.zoom++;
    }
    expect_says(wall, panel_trend, 6, COLS, "-30 min");
    /* the 9 dB of its first third, on the last row of dots */
    expect_says(wall, panel_trend, 6, COLS, "\u28c0\u28c0\u28c0\u28c0\u28c0\u28c0");
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

/* A step that peaks azimuth, and a lobe of a 2.4 deg beam swept from 161 to 165 degrees. */
static void peak_azimuth(struct wall *wall)
{
    wall->procedure.step_count = 1;
    wall->procedure.steps[0].act = DO_PEAK;
    wall->scene.coach = &wall->coach;
    wall->state.target.deg[AXIS_AZIMUTH] = 163.0;
    apply(wall, (struct record){.t = 0.5,
                                .kind = RECORD_STEP,
                                .step = {.event = STEP_ENTER, .number = 1, .count = 1}});
    put_advice(wall, (struct advice){.axis = AXIS_AZIMUTH, .move = ADVICE_RIGHT, .deg = 1.0});
    for (int i = 0; i <= 20; i++) {
        double x = 161.0 + 0.2 * i, off = (x - 163.3) / 2.4;
        apply(wall, (struct record){
                        .t = 2.0 + i, .kind = RECORD_ANGLES, .angles = {.deg = {x, 35.0, NAN}}});
        apply(wall, (struct record){.t = 2.0 + i,
                                    .kind = RECORD_LEVEL,
                                    .level.value = 13.0 - 12.0 * off * off});
    }
}

static void the_lobe_is_as_the_coach_has_it(void **state)
{
    struct wall *wall = *state;
    struct peak *peak = &wall->coach.peak;

    peak_azimuth(wall);
    *peak = (struct peak){.axis = AXIS_AZIMUTH, .phase = PEAK_PASS_UP, .passes = true, .count = 21};
    expect_says(wall, panel_lobe, 8, COLS, "azimuth: over the top and back, 21 readings");
    peak->passes = false;
    peak->phase = PEAK_READ;
    peak->count = 1;
    peak->round = 1;
    expect_says(wall, panel_lobe, 8, COLS, "azimuth: read at 1 place, once more\n");
    peak->phase = PEAK_RETURN;
    peak->centre_x = 163.3;
    peak->fit = (struct lobe_fit){
        .centre_deg = 163.3, .centre_error_deg = 0.034, .peak = 13.0, .width_deg = 2.4, .used = 21};
    expect_says(wall, panel_lobe, 8, COLS,
                "centre 163.30\u00b0 \u00b1 0.03\u00b0, top 13.0 dB, -3 dB width 2.40\u00b0");
    expect_says(wall, panel_lobe, 8, COLS, "\u250a"); /* and a line there */
    /* as wide as beside another graph, and on a phone: nothing is cut off */
    expect_says(wall, panel_lobe, 8, 57, "13.0 dB, -3 dB\n width 2.40\u00b0\n");
    expect_says(wall, panel_lobe, 3, 40, "\n 13.0 dB, -3 dB width 2.40\u00b0\n");
    peak->centre_x = 163.41; /* joined with the cut through the other axis */
    expect_says(wall, panel_lobe, 8, COLS, "; on to 163.41\u00b0");
    peak->count = 0;
    peak->fit.used = 0;
    expect_says(wall, panel_lobe, 8, COLS, "the middle of both cuts is at 163.41\u00b0");
    /* another step turns the axis: what was peaked is none of its business */
    wall->procedure.steps[0].act = DO_SWEEP;
    expect_says(wall, panel_lobe, 8, COLS, "azimuth: the level where it was turned");
    wall->procedure.steps[0].act = DO_PEAK;
    wall->scene.coach = NULL; /* silent */
    expect_says(wall, panel_lobe, 8, COLS, "azimuth: the level where it was turned");
}

static void the_arc_shows_what_the_coach_has_met(void **state)
{
    struct wall *wall = *state;
    struct arc *arc = &wall->coach.arc;

    put_fix(wall);
    wall->scene.coach = &wall->coach;
    wall->coach.learned.azimuth_bias_deg = NAN;
    expect_says(wall, panel_arc, 10, COLS, " satellites along azimuth\n");
    *arc = (struct arc){.begun = true, .origin_x = 1.0};
    expect_says(wall, panel_arc, 10, COLS, "satellites along azimuth; 0 tops met");
    arc->top_count = 2;
    arc->tops[0].x = -40.0;
    arc->tops[1].x = -80.0;
    arc->tops[1].refused = true;
    text_copy(arc->tops[0].id, sizeof arc->tops[0].id, "PTARMIGAN");
    expect_says(wall, panel_arc, 10, COLS, "2 tops met, they fit nothing");
    expect_says(wall, panel_arc, 10, COLS, "^PTARMIGAN");
    put_levels(wall, 1.0, 12.0, 0.0);
    expect_says(wall, panel_arc, 10, COLS, "\n    dB ");
    expect_says(wall, panel_arc, 10, COLS, "x");
    arc->matched = true;
    arc->match.bias_deg = 6.8;
    arc->match.bias_error_deg = 0.3;
    arc->match.satellite[1] = 1;
    arc->match.probability[1] = 0.99;
    arc->slot[1] = 0; /* the job's first neighbour */
    expect_says(wall, panel_arc, 10, COLS,
                "the azimuth reads 6.8\u00b0 \u00b1 0.3\u00b0 too high; 2 tops met");
    wall->coach.learned.sure = true; /* measured at the target itself */
    wall->coach.learned.azimuth_bias_deg = -2.0;
    expect_says(wall, panel_arc, 3, 40, "too low; 2 tops\n met\n The window");
    expect_says(wall, panel_arc, 10, COLS, "the azimuth reads 2.0\u00b0 too low; 2 tops met");
}

static void what_is_ahead_stands_behind_a_line_or_is_covered(void **state)
{
    struct wall *wall = *state;
    struct timeline *timeline = calloc(1, sizeof *timeline);

    assert_non_null(timeline);
    timeline_init(timeline);
    put_levels(wall, 0.0, 10.0, 0.0);
    wall->scene.timeline = timeline;
    for (int i = 0; i < 200; i++) {
        struct record level = {.t = 0.2 * i, .kind = RECORD_LEVEL};
        timeline_add(timeline, &wall->state, &level);
    }
    expect_says(wall, panel_trend, 8, COLS, "ahead");
    expect_says(wall, panel_trend, 8, COLS, "+10 s");
    wall->scene.covered = true;
    written(wall, panel_trend, 8, COLS);
    assert_null(strstr(wall->text, "ahead"));
    assert_null(strstr(wall->text, "+10 s"));
    wall->keyboard.turn_ahead = true;
    expect_says(wall, panel_trend, 8, COLS, "ahead");
    wall->t = 40.0; /* the end: nothing is to come */
    written(wall, panel_trend, 8, COLS);
    assert_null(strstr(wall->text, "ahead"));
    free(timeline);
}

static void the_whole_session_is_one_line(void **state)
{
    struct wall *wall = *state;
    struct timeline *timeline = calloc(1, sizeof *timeline);
    struct record step = {.t = 40.0, .kind = RECORD_STEP, .step = {.event = STEP_ENTER}};

    assert_non_null(timeline);
    timeline_init(timeline);
    wall->scene.timeline = timeline;
    timeline_add(timeline, &wall->state, &step);
    timeline_add_mark(timeline, 90.0, "the nut");
    timeline->end_t = 100.0;
    wall->t = 50.0;
    expect_says(wall, panel_whole, 1, 30, " 0:50 ");
    expect_says(wall, panel_whole, 1, 30, " 1:40 +\n"); /* still being read */
    timeline->whole = true;
    expect_says(wall, panel_whole, 1, 30,
                " 0:50 \u2501\u2501\u2501\u2501\u2501\u2501\u2501\u253c\u2501@"
                "\u2500\u2500\u2500\u2500\u2500\u2500^\u2500\u2500 1:40\n");
    for (int cols = 1; cols < COLS; cols++) {
        written(wall, panel_whole, 1, cols);
    }
    free(timeline);
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
        WALL_TEST(a_long_window_is_not_cut_short),
        WALL_TEST(noise_is_a_band_where_a_row_is_less),
        WALL_TEST(the_lobe_is_as_the_coach_has_it),
        WALL_TEST(the_arc_shows_what_the_coach_has_met),
        WALL_TEST(what_is_ahead_stands_behind_a_line_or_is_covered),
        WALL_TEST(the_whole_session_is_one_line),
        WALL_TEST(the_graphs_survive_every_size),
        WALL_TEST(the_trend_survives_every_size_and_level),
    };

    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
