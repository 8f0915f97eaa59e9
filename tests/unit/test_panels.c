/* What the panels say of a state, read back as text from the sheet they write on. */
#include "wall.h"

#include "view/aim.h"

/* A row of the whole sheet. */
static void expect_row(const struct wall *wall, int row, const char *want)
{
    char text[4 * 300];

    sheet_row_text(&wall->sheet, row, text, sizeof text);
    assert_string_equal(text, want);
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
    expect_says(wall, panel_level, 2, 60, "+0.3 above best 12.0 dB");
    expect_says(wall, panel_level, 1, 60, "at the best");
}

static void an_old_level_is_shown_as_old(void **state)
{
    struct wall *wall = *state;

    put_levels(wall, 0.0, 12.0, 0.0);
    wall->t += aim_old_s + 1.0;
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

static void who_pushes_knows_which_edge_and_which_way(void **state)
{
    static const struct {
        enum axis axis;
        enum advice_move move;
        const char *big, *above;
        const char *sign; /* its second row in half blocks */
    } rows[] = {
        {AXIS_AZIMUTH, ADVICE_PUSH, "\u2580\u2580\u2580\u2588 \u2588\u2580\u2580\u2588\n",
         "The right edge, away from you", "\u2588     \u2588 \u2588\u2588\u2588"},
        {AXIS_AZIMUTH, ADVICE_PULL, "\u2588    \u2588\n", "The right edge, towards you",
         "\u2588     \u2588 \u2588\u2588\u2588"},
        {AXIS_ELEVATION, ADVICE_PUSH, "\u2580\u2580\u2580\u2588 \u2588\u2580\u2580\u2588\n",
         "The upper edge, away from you", "\u2584\u2584\u2584\u2584\u2584\u2584\u2584\u2584\u2584"},
        {AXIS_ELEVATION, ADVICE_PULL, "\u2588    \u2588\n", "The upper edge, towards you",
         "\u2584\u2584\u2584\u2584\u2584\u2584\u2584\u2584\u2584"},
    };
    struct wall *wall = *state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        wall->scene.mount_is_simulated = false;
        put_advice(wall, (struct advice){.axis = rows[i].axis,
                                         .move = rows[i].move,
                                         .deg = NAN,
                                         .turns = NAN,
                                         .rate = NAN,
                                         .until = UNTIL_DWELL});
        for (int cols = 40; cols <= 42; cols += 2) {
            expect_says(wall, panel_turn, 5, cols, rows[i].above);
            expect_says(wall, panel_turn, 5, cols, rows[i].big);
            expect_says(wall, panel_turn, 5, cols, rows[i].sign);
            expect_says(wall, panel_turn, 5, cols, "until enough readings are in");
        }
        assert_string_equal(written(wall, panel_ruler, 2, COLS), "\n\n"); /* no bolt is turned */
        wall->scene.mount_is_simulated = true;
        expect_says(wall, panel_turn, 5, 40, "the simulation does it by itself");
    }
}

static void a_level_under_a_hand_is_not_held_against_the_best(void **state)
{
    struct wall *wall = *state;
    struct record record = {.t = 8.0, .kind = RECORD_ADVICE};

    put_levels(wall, 0.0, 12.0, 0.0);
    record.advice = (struct advice){.axis = AXIS_AZIMUTH, .move = ADVICE_PULL, .deg = NAN};
    apply(wall, record);
    put_levels(wall, 8.2, 12.5, 0.0);
    expect_says(wall, panel_level, 5, 36, "bent by a hand; best 12.0 dB");
    expect_says(wall, panel_level, 2, 40, " bent by a hand; best 12.0 dB");
    expect_says(wall, panel_level, 1, 60, "Level 12.5 dB, steady, bent by a hand");
    record = (struct record){.t = 17.0, .kind = RECORD_ADVICE};
    record.advice = (struct advice){.axis = AXIS_NONE, .move = ADVICE_HOLD, .deg = NAN};
    apply(wall, record);
    put_levels(wall, 17.2, 11.5, 0.0);
    expect_says(wall, panel_level, 2, 40, "-0.5 against best 12.0 dB (filtered)");
}

static void a_number_to_set_is_no_caution(void **state)
{
    struct wall *wall = *state;
    struct record record = {.t = 1.0, .kind = RECORD_ADVICE};

    record.advice = (struct advice){.axis = AXIS_SKEW, .move = ADVICE_CONFIRM, .deg = NAN};
    apply(wall, record);
    expect_says(wall, panel_turn, 6, 40, "Set it, then press Enter");
    record.advice.axis = AXIS_NONE;
    apply(wall, record);
    expect_says(wall, panel_turn, 6, 40, "Read, see to it, then press Enter");
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

/* --- the coach ------------------------------------------------------------------------------ */

static void the_bar_is_full_when_all_is_done(void **state)
{
    struct wall *wall = *state;

    apply(wall, (struct record){.t = 1.0,
                                .kind = RECORD_STEP,
                                .step = {.event = STEP_ENTER, .number = 3, .count = 4}});
    put_advice(wall, (struct advice){.axis = AXIS_NONE, .move = ADVICE_WAIT, .deg = NAN});
    expect_says(wall, panel_coach, 3, COLS, "[########........]");
    put_advice(wall, (struct advice){.axis = AXIS_NONE, .move = ADVICE_DONE, .deg = NAN});
    expect_says(wall, panel_coach, 3, COLS, "[################]");
}

/* --- the aim -------------------------------------------------------------------------------- */

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
    wall->scene.log_path = "/hut/night.jsonl";
    wall->scene.log_is_stuck = true;
    expect_says(wall, panel_head, 1, COLS, "NOT recorded 12:41");
    wall->scene.log_is_stuck = false;
    wall->scene.log_path = "/var/tmp/hut.log";
    expect_says(wall, panel_head, 1, COLS, "recording 12:41 to hut.log");
    expect_says(wall, panel_head, 1, 40, "recording 12:41");
    wall->scene.replaying = true;
    wall->scene.speed = 4.0;
    expect_says(wall, panel_head, 1, COLS, "replay 12:41 of hut.log, 4 times as fast");
    wall->scene.paused = true;
    expect_says(wall, panel_head, 1, COLS, "paused at 12:41 of hut.log, 4 times as fast");
    wall->scene.speed = INFINITY;
    expect_says(wall, panel_head, 1, COLS, "paused at 12:41 of hut.log, as fast as it goes");
    expect_says(wall, panel_head, 1, 40, "paused at 12:41\n");
    wall->scene.ended = true;
    wall->scene.speed = 1.0;
    expect_says(wall, panel_head, 1, COLS, "the end, 12:41 of hut.log");
}

/* On a phone too: the log's path and the whole of a refusal. */
static void a_long_sentence_covers_rows_above(void **state)
{
    struct wall *wall = *state;

    wall->scene.log_path = "/home/hut/.local/state/peakward/20260520-093000.jsonl";
    wall->keyboard.mode = KEYBOARD_CONFIRM;
    wall->keyboard.confirm = 'q';
    sheet_finish(&wall->sheet);
    assert_int_equal(sheet_init(&wall->sheet, 20, 40, GLYPHS_FULL), 0);
    panels_compose(&wall->sheet, view_of(wall));
    expect_row(wall, 17, " q again quits, the log stays in");
    expect_row(wall, 18, " /home/hut/.local/state/peakward/2026052");
    expect_row(wall, 19, " 0-093000.jsonl; any other key goes on");
    wall->keyboard.mode = KEYBOARD_KEYS;
    text_copy(wall->message, sizeof wall->message, "'dnoe' is not understood: say done or skip");
    panels_compose(&wall->sheet, view_of(wall));
    expect_row(wall, 18, " 'dnoe' is not understood: say done or");
    expect_row(wall, 19, " skip");
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
            wall->keyboard.page = KEYBOARD_NO_PAGE;
            wall->keyboard.far = false;
            panels_compose(&wall->sheet, view_of(wall));
            wall->keyboard.far = true;
            panels_compose(&wall->sheet, view_of(wall));
            wall->keyboard.page = KEYBOARD_HELP;
            panels_compose(&wall->sheet, view_of(wall));
            wall->keyboard.page = KEYBOARD_NOW;
            panels_compose(&wall->sheet, view_of(wall));
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        WALL_TEST(the_level_says_whether_it_gets_better),
        WALL_TEST(the_level_stands_against_the_best),
        WALL_TEST(an_old_level_is_shown_as_old),
        WALL_TEST(a_wrong_satellite_is_named),
        WALL_TEST(a_sensor_that_contradicts_the_receiver_is_called_off),
        WALL_TEST(the_way_and_the_bolt_stand_beside_the_large_number),
        WALL_TEST(who_pushes_knows_which_edge_and_which_way),
        WALL_TEST(a_level_under_a_hand_is_not_held_against_the_best),
        WALL_TEST(a_number_to_set_is_no_caution),
        WALL_TEST(a_caution_is_read_to_its_end_at_every_size),
        WALL_TEST(every_move_has_words_at_every_size),
        WALL_TEST(the_bar_is_full_when_all_is_done),
        WALL_TEST(an_axis_says_how_far_and_which_way),
        WALL_TEST(a_scale_that_differs_stands_beside_the_truth),
        WALL_TEST(nudges_alone_are_summed),
        WALL_TEST(a_source_that_is_down_stands_first),
        WALL_TEST(the_head_says_what_is_recorded),
        WALL_TEST(a_long_sentence_covers_rows_above),
        WALL_TEST(hostile_text_stays_on_its_row),
        WALL_TEST(all_panels_together_survive_every_size),
    };

    setlocale(LC_CTYPE, "C.UTF-8");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
