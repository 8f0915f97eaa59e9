/* What the panels say of a state, read back as text from the sheet they write on. */
#include "expect.h"

#include <locale.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "view/panel.h"

enum { ROWS = 24, COLS = 80 };

struct wall {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct face_scene scene;
    struct keyboard keyboard;
    struct history history;
    struct sheet sheet;
    struct graph_point points[STATE_TREND];
    uint32_t codes[300 * 300];
    char message[RECORD_TEXT_SIZE];
    char text[65536];
    double t;
};

static int set_up(void **ret_wall)
{
    struct wall *wall = calloc(1, sizeof *wall);

    job_init(&wall->job);
    wall->job.target.given = true;
    text_copy(wall->job.target.satellite.name, JOB_NAME_SIZE, "Ptarmigan 1");
    text_copy(wall->job.target.satellite.id, JOB_NAME_SIZE, "PTARMIGAN");
    text_copy(wall->job.neighbours[0].name, JOB_NAME_SIZE, "Marmot 2");
    text_copy(wall->job.neighbours[0].id, JOB_NAME_SIZE, "MARMOT");
    wall->job.neighbour_count = 1;
    for (int i = 0; i < AXIS_COUNT; i++) {
        wall->job.mount.axes[i].from = JOB_FROM_SENSOR;
    }
    state_init(&wall->state, &wall->job, &wall->magnetic);
    wall->scene = (struct face_scene){.state = &wall->state,
                                      .procedure = &wall->procedure,
                                      .title = "peak",
                                      .log_path = "",
                                      .speed = 1.0};
    keyboard_init(&wall->keyboard);
    history_init(&wall->history);
    assert_int_equal(sheet_init(&wall->sheet, ROWS, COLS, GLYPHS_FULL), 0);
    *ret_wall = wall;
    return 0;
}

static int tear_down(void **state)
{
    struct wall *wall = *state;

    sheet_finish(&wall->sheet);
    free(wall);
    return 0;
}

static const struct panel_view *view_of(struct wall *wall)
{
    static struct panel_view view;

    view = (struct panel_view){.scene = &wall->scene,
                               .t = wall->t,
                               .keyboard = &wall->keyboard,
                               .history = &wall->history,
                               .message = wall->message,
                               .points = wall->points,
                               .codes = wall->codes};
    return &view;
}

/* What a panel writes on a pane of some size, as text. */
static const char *written(struct wall *wall, panel_compose *panel, int rows, int cols)
{
    struct pane whole = pane_whole(&wall->sheet), pane = pane_part(&whole, 0, 0, rows, cols);
    size_t used = 0;

    sheet_blank(&wall->sheet);
    panel(&pane, view_of(wall));
    for (int row = 0; row < rows && row < wall->sheet.rows; row++) {
        used += sheet_row_text(&wall->sheet, row, wall->text + used, sizeof wall->text - used - 1);
        wall->text[used++] = '\n';
    }
    wall->text[used] = '\0';
    return wall->text;
}

#define expect_says(wall, panel, rows, cols, want)                                                 \
    do {                                                                                           \
        if (!strstr(written((wall), (panel), (rows), (cols)), (want))) {                           \
            fprintf(stderr, "wanted '%s' in\n%s", (want), (wall)->text);                           \
            fail();                                                                                \
        }                                                                                          \
    } while (0)

static void apply(struct wall *wall, struct record record)
{
    state_apply(&wall->state, &record);
    history_add(&wall->history, &wall->state, &record);
    wall->t = record.t;
}

static void put_levels(struct wall *wall, double from_t, double level, double slope)
{
    for (int i = 0; i < 40; i++) {
        double t = from_t + 0.2 * i;
        apply(wall, (struct record){
                        .t = t, .kind = RECORD_LEVEL, .level = {.value = level + slope * 0.2 * i}});
    }
}

/* --- the level ------------------------------------------------------------------------------ */

static void the_level_says_whether_it_gets_better(void **state)
{
    static const struct {
        double slope;
        const char *want;
    } rows[] = {{0.0, "steady"}, {0.5, "rising"}, {-0.5, "falling"}};
    struct wall *wall = *state;

    expect_says(wall, panel_level, 5, 36, "No level yet");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        put_levels(wall, 100.0 * (double)i, 10.0, rows[i].slope);
        expect_says(wall, panel_level, 5, 36, rows[i].want);
    }
}

static void the_level_stands_against_the_best(void **state)
{
    struct wall *wall = *state;

    put_levels(wall, 0.0, 12.0, 0.0);
    expect_says(wall, panel_level, 2, 40, "at the best: 12.0 dB (filtered)");
    put_levels(wall, 20.0, 10.5, 0.0);
    expect_says(wall, panel_level, 2, 40, "-1.5 against best 12.0 dB (filtered)");
    expect_says(wall, panel_level, 1, 60, "Level 10.5 dB, steady, 1.5 below best");
    wall->state.level.filter.level = 12.3; /* not seen for long enough to be the best */
    expect_says(wall, panel_level, 2, 60, "+0.3 above the best so far, 12.0 dB");
    expect_says(wall, panel_level, 1, 60, "at the best");
}

static void an_old_level_is_shown_as_old(void **state)
{
    struct wall *wall = *state;

    put_levels(wall, 0.0, 12.0, 0.0);
    wall->t += panel_old_s + 1.0;
    expect_says(wall, panel_level, 5, 40, "Level old: 12.0 dB, 4 s ago");
    assert_int_equal(wall->sheet.cells[1].ink, INK_WARN);
}

/* --- the satellite -------------------------------------------------------------------------- */

static void a_wrong_satellite_is_named(void **state)
{
    static const struct {
        bool locked;
        const char *id, *want;
        enum ink ink;
    } rows[] = {
        {false, "", "No lock", INK_WARN},
        {true, "", "on which satellite the receiver does not say", INK_WARN},
        {true, "ptarmigan", "the target, Ptarmigan 1", INK_GOOD},
        {true, "MARMOT", "WRONG SATELLITE: locked on MARMOT, that is Marmot 2", INK_BAD},
        {true, "IBEX", "NOT THE TARGET: locked on IBEX, wanted PTARMIGAN", INK_BAD},
    };
    struct wall *wall = *state;

    expect_says(wall, panel_satellite, 1, COLS, "Satellite not known");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct record record = {.t = 1.0, .kind = RECORD_LOCK, .lock.locked = rows[i].locked};
        text_copy(record.lock.id, sizeof record.lock.id, rows[i].id);
        apply(wall, record);
        expect_says(wall, panel_satellite, 1, COLS, rows[i].want);
        assert_int_equal(wall->sheet.cells[1].ink, rows[i].ink);
    }
    wall->job.target.satellite.id[0] = '\0';
    expect_says(wall, panel_satellite, 1, COLS, "the job does not say what the target's id is");
}

static void a_sensor_that_contradicts_the_receiver_is_called_off(void **state)
{
    static const struct {
        double azimuth;
        const char *id, *want;
    } rows[] = {
        {157.0, "MARMOT", "right 6"},    /* not the target: there is a way to go */
        {162.5, "PTARMIGAN", "right 0"}, /* the target, within the beam */
        {157.0, "PTARMIGAN", "sensor off 6"},
    };
    struct wall *wall = *state;

    wall->job.antenna.beam_width_deg = 2.3;
    wall->state.target.known = true;
    wall->state.target.deg[AXIS_AZIMUTH] = 163.2;
    wall->state.target.deg[AXIS_ELEVATION] = 35.0;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct record lock = {.t = 1.0, .kind = RECORD_LOCK, .lock.locked = true};
        struct record angles = {.t = 1.0, .kind = RECORD_ANGLES};
        text_copy(lock.lock.id, sizeof lock.lock.id, rows[i].id);
        apply(wall, lock);
        angles.angles = (struct record_angles){{rows[i].azimuth, (double)NAN, (double)NAN}};
        apply(wall, angles);
        wall->t = 1.0;
        expect_says(wall, panel_aim, 5, COLS, rows[i].want);
    }
}

/* --- the turn ------------------------------------------------------------------------------- */

static void put_advice(struct wall *wall, struct advice advice)
{
    apply(wall, (struct record){.t = 1.0, .kind = RECORD_ADVICE, .advice = advice});
}

static void the_way_and_the_bolt_stand_beside_the_large_number(void **state)
{
    struct wall *wall = *state;
    struct advice advice = {.axis = AXIS_AZIMUTH,
                            .move = ADVICE_RIGHT,
                            .deg = 0.46,
                            .turns = 1.25,
                            .rate = 0.3,
                            .until = UNTIL_CARRIER};

    expect_says(wall, panel_turn, 5, 42, "Nothing to do yet");
    put_advice(wall, advice);
    expect_says(wall, panel_turn, 5, 42, "Turn right: azimuth\n");
    expect_says(wall, panel_turn, 5, 60,
                "1 1/4 turns, at most 0.3\u00b0/s, until a carrier shows\n");
    expect_says(wall, panel_turn, 5, 42, "1 1/4 turns, at most 0.3\u00b0/s\n"); /* no half words */
    expect_says(wall, panel_turn, 4, 60, "Turn right: azimuth, 1 1/4 turns");
    wall->job.mount.axes[AXIS_AZIMUTH].from = JOB_FROM_NUDGES;
    expect_says(wall, panel_turn, 5, 42, "Turn right: azimuth, turns of the bolt\n");
    expect_says(wall, panel_turn, 5, 42, "0.46\u00b0, at most");
}

static void a_caution_is_read_to_its_end_at_every_size(void **state)
{
    struct wall *wall = *state;
    struct record record = {.t = 1.0, .kind = RECORD_STEP};
    char word[8];

    record.step = (struct record_step){.event = STEP_ENTER, .number = 1, .count = 9};
    apply(wall, record);
    record = (struct record){.t = 1.0, .kind = RECORD_ADVICE};
    record.advice = (struct advice){.axis = AXIS_NONE, .move = ADVICE_CONFIRM, .deg = NAN};
    for (int i = 0; i < 30; i++) { /* as long as a sentence can be */
        text_append(record.advice.say, sizeof record.advice.say, "%sword%03d", i ? " " : "", i);
    }
    apply(wall, record);
    for (int far = 0; far < 2; far++) {
        static const int sizes[][2] = {{12, 40}, {20, 40}, {14, 71}, {24, 80}, {40, 120}};
        for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
            size_t used = 0;
            sheet_finish(&wall->sheet);
            assert_int_equal(sheet_init(&wall->sheet, sizes[i][0], sizes[i][1], GLYPHS_FULL), 0);
            wall->keyboard.far = far;
            panels_compose(&wall->sheet, view_of(wall));
            for (int row = 0; row < sizes[i][0]; row++) {
                used += sheet_row_text(&wall->sheet, row, wall->text + used, 1024);
                wall->text[used++] = '\n';
            }
            wall->text[used] = '\0';
            for (int k = 0; k < 30; k++) {
                snprintf(word, sizeof word, "word%03d", k % 1000);
                if (!strstr(wall->text, word)) {
                    fail_msg("%s is missing at %d x %d:\n%s", word, sizes[i][1], sizes[i][0],
                             wall->text);
                }
            }
        }
    }
}

static void every_move_has_words_at_every_size(void **state)
{
    struct wall *wall = *state;

    for (int move = 0; move < ADVICE_MOVE_COUNT; move++) {
        put_advice(wall, (struct advice){.axis = AXIS_SKEW,
                                         .move = (enum advice_move)move,
                                         .deg = NAN,
                                         .turns = NAN,
                                         .rate = NAN});
        for (int rows = 1; rows < 12; rows++) {
            for (int cols = 1; cols < COLS; cols++) {
                written(wall, panel_turn, rows, cols);
            }
        }
        assert_true(strlen(written(wall, panel_turn, 5, 42)) > 30);
    }
}

/* --- the aim -------------------------------------------------------------------------------- */

static void put_fix(struct wall *wall)
{
    apply(wall, (struct record){.t = 0.0,
                                .kind = RECORD_FIX,
                                .fix = {.lat_deg = 46.6,
                                        .lon_deg = 10.1,
                                        .height_m = 0.0,
                                        .error_m = NAN,
                                        .mode = 3,
                                        .satellites = -1}});
    wall->state.target.deg[AXIS_AZIMUTH] = 1.0;
    wall->state.target.deg[AXIS_ELEVATION] = 35.0;
}

static void put_angles(struct wall *wall, double az, double el, bool scale)
{
    apply(wall, (struct record){.t = 1.0,
                                .kind = RECORD_ANGLES,
                                .angles = {.deg = {az, el, NAN}, .scale = scale, .from = "mount"}});
}

static void an_axis_says_how_far_and_which_way(void **state)
{
    struct wall *wall = *state;

    put_fix(wall);
    put_angles(wall, 359.5, 35.2, false);
    expect_says(wall, panel_aim, 4, COLS, "right 1.50"); /* the short way over north */
    expect_says(wall, panel_aim, 4, COLS, "down 0.20");
    expect_says(wall, panel_aim, 3, 40, "az   359.50/1.00    right 1.50");
    wall->job.mount.axes[AXIS_AZIMUTH].turn_deg = 1.5;
    expect_says(wall, panel_aim, 4, COLS, "right 1.50           1\n");
    put_angles(wall, 1.0, 35.0, false);
    expect_says(wall, panel_aim, 4, COLS, "there");
    wall->t += 5.0;
    expect_says(wall, panel_aim, 4, COLS, "old: 5 s ago");
}

static void a_scale_that_differs_stands_beside_the_truth(void **state)
{
    struct wall *wall = *state;

    wall->job.mount.axes[AXIS_ELEVATION].from = JOB_FROM_SCALE;
    wall->job.mount.axes[AXIS_ELEVATION].scale_zero_deg = -22.0;
    put_fix(wall);
    put_angles(wall, NAN, 13.2, true);
    expect_says(wall, panel_aim, 4, COLS, "35.00  13.00    35.20  13.20  down 0.20");
    wall->t += 100.0; /* a scale stays read */
    expect_says(wall, panel_aim, 4, COLS, "down 0.20");
    apply(wall, (struct record){.t = 2.0,
                                .kind = RECORD_MOVE,
                                .move = {.axis = AXIS_ELEVATION, .deg = -0.15, .turns = NAN}});
    expect_says(wall, panel_aim, 4, COLS, "~35.05  13.05  down 0.05");
}

static void nudges_alone_are_summed(void **state)
{
    struct wall *wall = *state;

    wall->job.mount.axes[AXIS_AZIMUTH].from = JOB_FROM_NUDGES;
    apply(wall, (struct record){.t = 2.0,
                                .kind = RECORD_MOVE,
                                .move = {.axis = AXIS_AZIMUTH, .deg = 1.25, .turns = NAN}});
    expect_says(wall, panel_aim, 4, COLS, "+1.25");
}

/* --- the ruler ------------------------------------------------------------------------------ */

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

/* --- the trend ------------------------------------------------------------------------------ */

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

/* --- the rest ------------------------------------------------------------------------------- */

static void a_source_that_is_down_stands_first(void **state)
{
    struct wall *wall = *state;

    apply(wall, (struct record){.t = 0.0,
                                .kind = RECORD_SOURCE,
                                .source = {.name = "gpsd", .status = SOURCE_UP}});
    apply(wall,
          (struct record){
              .t = 0.0,
              .kind = RECORD_SOURCE,
              .source = {.name = "finder", .status = SOURCE_DOWN, .bad = 1, .why = "unplugged"}});
    expect_says(wall, panel_sources, 1, COLS, " finder DOWN, 1 bad line  gpsd up  no position yet");
    expect_says(wall, panel_sources, 4, COLS, "finder DOWN, 1 bad line: unplugged");
    assert_int_equal(wall->sheet.cells[COLS].ink, INK_BAD);
}

static void the_head_says_what_is_recorded(void **state)
{
    struct wall *wall = *state;

    wall->t = 761.0;
    expect_says(wall, panel_head, 1, COLS, "not recorded 12:41");
    wall->scene.log_path = "/var/tmp/hut.log";
    expect_says(wall, panel_head, 1, COLS, "recording 12:41 to hut.log");
    expect_says(wall, panel_head, 1, 40, "recording 12:41");
    wall->scene.replaying = true;
    wall->scene.speed = 4.0;
    expect_says(wall, panel_head, 1, COLS, "replay 12:41, 4 times as fast of hut.log");
    wall->scene.paused = true;
    expect_says(wall, panel_head, 1, COLS, "paused at 12:41 of hut.log");
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

static void hostile_text_stays_on_its_row(void **state)
{
    struct wall *wall = *state;
    struct record record = {.t = 1.0, .kind = RECORD_NOTE};

    memset(record.note.text, 'W', sizeof record.note.text - 1);
    apply(wall, record);
    text_copy(record.note.text, sizeof record.note.text,
              "\u885b\u661f e\u0301 \u202e right to left");
    apply(wall, record);
    written(wall, panel_notes, 2, 20);
    assert_non_null(strstr(wall->text, "WW\u2026\n"));
    assert_non_null(strstr(wall->text, "\u885b\u661f e"));
}

static void all_panels_together_survive_every_size(void **state)
{
    static const int sizes[][2] = {{1, 1},   {2, 300},  {12, 40},   {13, 71},  {14, 72},
                                   {24, 80}, {34, 110}, {100, 300}, {299, 299}};
    struct wall *wall = *state;

    put_fix(wall);
    put_levels(wall, 0.0, 12.0, 0.1);
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        for (int glyphs = GLYPHS_ASCII; glyphs <= GLYPHS_FULL; glyphs++) {
            sheet_finish(&wall->sheet);
            assert_int_equal(
                sheet_init(&wall->sheet, sizes[i][0], sizes[i][1], (enum glyphs)glyphs), 0);
            wall->keyboard.help = false;
            wall->keyboard.far = false;
            panels_compose(&wall->sheet, view_of(wall));
            wall->keyboard.far = true;
            panels_compose(&wall->sheet, view_of(wall));
            wall->keyboard.help = true;
            panels_compose(&wall->sheet, view_of(wall));
        }
    }
}

#define WALL_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WALL_TEST(the_level_says_whether_it_gets_better),
        WALL_TEST(the_level_stands_against_the_best),
        WALL_TEST(an_old_level_is_shown_as_old),
        WALL_TEST(a_wrong_satellite_is_named),
        WALL_TEST(a_sensor_that_contradicts_the_receiver_is_called_off),
        WALL_TEST(the_way_and_the_bolt_stand_beside_the_large_number),
        WALL_TEST(a_caution_is_read_to_its_end_at_every_size),
        WALL_TEST(every_move_has_words_at_every_size),
        WALL_TEST(an_axis_says_how_far_and_which_way),
        WALL_TEST(a_scale_that_differs_stands_beside_the_truth),
        WALL_TEST(nudges_alone_are_summed),
        WALL_TEST(the_ruler_counts_turns_of_the_bolt_that_is_turned),
        WALL_TEST(what_is_missing_is_said_to_be),
        WALL_TEST(a_step_is_marked_where_it_began),
        WALL_TEST(noise_is_a_band_where_a_row_is_less),
        WALL_TEST(a_source_that_is_down_stands_first),
        WALL_TEST(the_head_says_what_is_recorded),
        WALL_TEST(the_graphs_survive_every_size),
        WALL_TEST(the_trend_survives_every_size_and_level),
        WALL_TEST(hostile_text_stays_on_its_row),
        WALL_TEST(all_panels_together_survive_every_size),
    };

    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
