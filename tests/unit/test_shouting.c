/*
 * Nothing on the screen escapes translation: in a made-up language that writes all words in
 * capitals (tests/shout) there are no small letters left but those of names and of words to be
 * typed.
 */
#include "wall.h"

#include <ctype.h>

#include "base/tongue.h"
#include "job/procedure_file.h"
#include "view/palette.h"

static char folder[] = "/tmp/peakward-shout-XXXXXX";

/* Words to be typed, names, units: the same in every language. */
static const char *const same[] = {
    "Ptarmigan", "Marmot",    "done",     "skip",  "back",  "repeat",        "azimuth",
    "elevation", "skew",      "moved",    "right", "left",  "down",          "turns",
    "level",     "clockwise", "deg",      "lock",  "yes",   "note",          "mark",
    "help",      "quit",      "pause",    "play",  "speed", "seek",          "forward",
    "rewind",    "look",      "own",      "dark",  "mono",  "anticlockwise", "sunlight",
    "graph",     "time",      "angle",    "arc",   "zoom",  "out",           "tone",
    "aloud",     "redraw",    "far",      "min",   "dBm",   "download",      "upload",
    "isolation", "next",      "previous", "start", "end",   "step",          "advice",
    "ahead",     "now",       "ask",      "pass",
};

/* One of those, or what fitted of it. */
static bool is_same(const char *word, size_t n)
{
    bool cut = strncmp(word + n, "\u2026", strlen("\u2026")) == 0;

    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        if ((cut || strlen(same[i]) == n) && strncmp(word, same[i], n) == 0) {
            return true;
        }
    }
    return false;
}

/* The first word of three letters or more that is not in capitals. */
static const char *find_small(const char *text, char word[64])
{
    while (*text) {
        size_t n = 0, small = 0;
        while (isalpha((unsigned char)text[n])) {
            small += islower((unsigned char)text[n++]) != 0;
        }
        if (n >= 3 && small > 1 && !is_same(text, n)) {
            snprintf(word, 64, "%.*s", (int)(n < 60 ? n : 60), text);
            return word;
        }
        text += n > 0 ? n : 1;
    }
    return NULL;
}

static void expect_shouting(struct wall *wall)
{
    static const struct {
        int rows, cols;
    } sizes[] = {{24, 80}, {40, 120}, {20, 40}, {12, 40}, {8, 30}};

    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        char word[64];
        size_t used = 0;
        sheet_finish(&wall->sheet);
        assert_int_equal(sheet_init(&wall->sheet, sizes[i].rows, sizes[i].cols, GLYPHS_FULL), 0);
        panels_compose(&wall->sheet, view_of(wall));
        for (int row = 0; row < sizes[i].rows; row++) {
            used +=
                sheet_row_text(&wall->sheet, row, wall->text + used, sizeof wall->text - used - 1);
            wall->text[used++] = '\n';
        }
        wall->text[used] = '\0';
        if (find_small(wall->text, word)) {
            fail_msg("'%s' escaped in\n%s", word, wall->text);
        }
    }
}

/* With the keyboard in each of its states, too. */
static void expect_shouting_everywhere(struct wall *wall)
{
    for (int graph = 0; graph < KEYBOARD_GRAPHS; graph++) {
        wall->keyboard.graph = (enum keyboard_graph)graph;
        expect_shouting(wall);
    }
    wall->keyboard.far = true;
    expect_shouting(wall);
    wall->keyboard.far = false;
    wall->keyboard.page = KEYBOARD_HELP;
    expect_shouting(wall);
    wall->keyboard.page = KEYBOARD_NOW;
    expect_shouting(wall);
    wall->keyboard.page = KEYBOARD_NO_PAGE;
    wall->keyboard.mode = KEYBOARD_LINE;
    expect_shouting(wall);
    wall->keyboard.mode = KEYBOARD_CONFIRM;
    for (const char *key = "qsbr"; *key; key++) {
        wall->keyboard.confirm = *key;
        expect_shouting(wall);
    }
    wall->keyboard.mode = KEYBOARD_KEYS;
}

static void put_procedure(struct wall *wall)
{
    struct record record = {.t = 1.0, .kind = RECORD_STEP};

    assert_int_equal(procedure_builtin("linear", &wall->procedure), 0);
    record.step = (struct record_step){.event = STEP_ENTER, .number = 12, .count = 17};
    text_copy(record.step.name, sizeof record.step.name, wall->procedure.steps[11].name);
    apply(wall, record);
}

static void put_site(struct wall *wall)
{
    assert_true(wall->job.neighbour_count > 0);
    wall->job.antenna.beam_width_deg = 2.3;
    wall->job.target.satellite.lon_deg = 22.4;
    wall->job.neighbours[0].lon_deg = 19.7;
    magnetic_builtin(&wall->magnetic);
    apply(wall, (struct record){.t = 0.5, .kind = RECORD_UTC, .utc.unix_s = 1779269400.0});
    put_fix(wall);
}

static void nothing_known_shouts(void **state)
{
    struct wall *wall = *state;

    expect_shouting_everywhere(wall);
    wall->scene.replaying = true;
    wall->scene.log_path = "/HUT.JSONL";
    expect_shouting_everywhere(wall);
    wall->scene.speed = 2.0;
    expect_shouting(wall);
    wall->scene.paused = true;
    expect_shouting(wall);
}

static void each_advice_shouts(void **state)
{
    struct wall *wall = *state;

    put_procedure(wall);
    put_site(wall);
    put_angles(wall, 160.0, 35.0, false);
    put_levels(wall, 0.0, 10.0, 0.5);
    for (int move = 0; move < ADVICE_MOVE_COUNT; move++) {
        for (int until = 0; until < UNTIL_COUNT; until++) {
            struct advice advice = {.axis = AXIS_AZIMUTH,
                                    .move = (enum advice_move)move,
                                    .deg = until == UNTIL_CARRIER ? (double)NAN : 0.46,
                                    .turns = until == UNTIL_CARRIER ? (double)NAN : 1.25,
                                    .rate = 0.3,
                                    .until = (enum advice_until)until,
                                    .say = "TURN IT.",
                                    .why = "BECAUSE"};
            put_advice(wall, advice);
            wall->job.mount.axes[AXIS_AZIMUTH].from =
                until % 2 == 0 ? JOB_FROM_SENSOR : JOB_FROM_NUDGES;
            expect_shouting(wall);
        }
    }
    expect_shouting_everywhere(wall);
}

static void each_level_and_lock_shouts(void **state)
{
    static const struct record_lock locks[] = {
        {.locked = false}, {.locked = true}, {true, "PTARMIGAN"}, {true, "MARMOT"}, {true, "IBEX"}};
    struct wall *wall = *state;

    put_procedure(wall);
    put_site(wall);
    wall->scene.log_path = "/HUT.JSONL";
    for (size_t i = 0; i < sizeof locks / sizeof *locks; i++) {
        put_levels(wall, 10.0 * (double)i, 10.0 - (double)i, 0.2 * (double)i - 0.4);
        apply(wall, (struct record){.t = wall->t, .kind = RECORD_LOCK, .lock = locks[i]});
        wall->scene.mount_is_simulated = i % 2 == 0;
        put_angles(wall, 100.0 + (double)i, 35.0, i % 2 == 1);
        expect_shouting_everywhere(wall);
    }
    wall->t += 100.0;
    expect_shouting_everywhere(wall);
    wall->state.job = &wall->job;
    wall->job.target.satellite.id[0] = '\0';
    expect_shouting(wall);
}

static void each_source_and_note_shouts(void **state)
{
    static const struct record_source sources[] = {{.status = SOURCE_UP},
                                                   {.status = SOURCE_DOWN, .why = "GONE"},
                                                   {.status = SOURCE_SILENT},
                                                   {.status = SOURCE_BAD, .bad = 1},
                                                   {.status = SOURCE_BAD, .bad = 3}};
    struct wall *wall = *state;

    for (size_t i = 0; i < sizeof sources / sizeof *sources; i++) {
        struct record record = {.t = (double)i, .kind = RECORD_SOURCE, .source = sources[i]};
        strcpy(record.source.name, "METER");
        apply(wall, record);
        expect_shouting(wall);
        wall->t += 60.0;
        expect_shouting(wall);
    }
    for (int mode = 0; mode <= 3; mode++) {
        apply(wall, (struct record){.t = wall->t,
                                    .kind = RECORD_FIX,
                                    .fix = {.mode = mode, .satellites = 9, .error_m = 3.0}});
        expect_shouting(wall);
        wall->t += 60.0;
        expect_shouting(wall);
    }
    apply(wall, (struct record){.t = wall->t, .kind = RECORD_NOTE, .note.text = "A NUT"});
    apply(wall, (struct record){.t = wall->t, .kind = RECORD_MARK});
    expect_shouting(wall);
}

/* Every word of the palette is looked at with what it says. */
static void what_keys_say_shouts(void **state)
{
    static const uint32_t keys[] = {' ', 'x', '@'};
    struct wall *wall = *state;
    const struct palette_word *list[PALETTE_MOST];
    char words[FACE_WORDS_SIZE];
    size_t count;

    for (int place = 0; place < 4; place++) {
        wall->scene.on_request = place == 1;
        wall->scene.replaying = place >= 2;
        wall->scene.asking = place == 3;
        for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
            keyboard_press(&wall->keyboard, &wall->scene, keys[i], words);
            expect_shouting(wall);
        }
        wall->keyboard.mode = KEYBOARD_LINE;
        count = palette_match("", palette_where(&wall->scene), list);
        for (size_t chosen = 0; chosen < count; chosen++) {
            wall->keyboard.chosen = (int)chosen;
            expect_shouting(wall);
        }
        wall->keyboard.mode = KEYBOARD_KEYS;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        WALL_TEST(nothing_known_shouts),       WALL_TEST(each_advice_shouts),
        WALL_TEST(each_level_and_lock_shouts), WALL_TEST(each_source_and_note_shouts),
        WALL_TEST(what_keys_say_shouts),
    };
    char command[1024];
    int failed;

    setlocale(LC_CTYPE, "C.UTF-8");
    if (!mkdtemp(folder)) {
        return 1;
    }
    snprintf(command, sizeof command, "'%s/tests/shout' '%s' '%s'", SOURCES, SOURCES, folder);
    if (system(command) != 0 || tongue_choose("xx", folder) < 0) {
        fprintf(stderr, "no made-up language: %s\n", command);
        return 1;
    }
    failed = cmocka_run_group_tests(tests, NULL, NULL);
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command) != 0 || failed != 0;
}
