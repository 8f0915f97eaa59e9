/* The operator's words: the grammar that keys, typed lines and other programs share. */
#include "expect.h"

#include <errno.h>
#include <string.h>

#include "view/words.h"

static struct words parsed(const char *text)
{
    struct words words;
    char why[RECORD_TEXT_SIZE] = "";

    if (words_parse(text, LEVEL_DB, &words, why) != 0) {
        fail_msg("'%s' is refused: %s", text, why);
    }
    return words;
}

static void an_answer_is_a_step_record(void **unused)
{
    static const struct {
        const char *text;
        enum record_step_event want;
    } rows[] = {
        {"done", STEP_DONE},         {"skip", STEP_SKIP}, {"back", STEP_BACK},
        {"  repeat\r", STEP_REPEAT}, {"DONE", STEP_DONE},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.kind, WORDS_RECORD);
        assert_int_equal(words.record.kind, RECORD_STEP);
        assert_int_equal(words.record.step.event, rows[i].want);
        assert_string_equal(words.record.step.name, "");
        assert_int_equal(words.record.step.number, 0);
    }
}

static void an_angle_is_read_off_the_scale(void **unused)
{
    static const struct {
        const char *text;
        enum axis axis;
        double deg;
    } rows[] = {
        {"az 143.2", AXIS_AZIMUTH, 143.2},      {"azimuth 143.2 deg", AXIS_AZIMUTH, 143.2},
        {"el 41.0", AXIS_ELEVATION, 41.0},      {"elevation\t-2", AXIS_ELEVATION, -2.0},
        {"skew -22.4\u00b0", AXIS_SKEW, -22.4}, {"skew +22.4 \u00b0", AXIS_SKEW, 22.4},
        {"az 360", AXIS_AZIMUTH, 360.0},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.record.kind, RECORD_ANGLES);
        assert_true(words.record.angles.scale);
        assert_false(words.record.angles.magnetic);
        for (int axis = 0; axis < AXIS_COUNT; axis++) {
            expect_near(words.record.angles.deg[axis],
                        axis == (int)rows[i].axis ? rows[i].deg : (double)NAN, 0.0);
        }
    }
}

static void a_move_has_a_way_an_amount_and_a_unit(void **unused)
{
    static const struct {
        const char *text;
        enum axis axis;
        double turns, deg;
    } rows[] = {
        {"moved right 1.25 turns", AXIS_AZIMUTH, 1.25, NAN},
        {"moved left 1/8 turns", AXIS_AZIMUTH, -0.125, NAN},
        {"moved up 1 1/4 turns", AXIS_ELEVATION, 1.25, NAN},
        {"moved down 2 3/8 turn", AXIS_ELEVATION, -2.375, NAN},
        {"moved down 2 turns", AXIS_ELEVATION, -2.0, NAN},
        {"moved up 0.2 deg", AXIS_ELEVATION, NAN, 0.2},
        {"moved clockwise .5 degrees", AXIS_SKEW, NAN, 0.5},
        {"moved anticlockwise 3\u00b0", AXIS_SKEW, NAN, -3.0},
        {"Moved Anticlockwise 1/2 \u00b0", AXIS_SKEW, NAN, -0.5},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.record.kind, RECORD_MOVE);
        assert_int_equal(words.record.move.axis, rows[i].axis);
        expect_near(words.record.move.turns, rows[i].turns, 0.0);
        expect_near(words.record.move.deg, rows[i].deg, 0.0);
    }
}

static void a_level_takes_the_unit_at_hand_or_its_own(void **unused)
{
    static const struct {
        const char *text;
        enum level_unit at_hand;
        double value;
        enum level_unit unit;
    } rows[] = {
        {"level 12.1", LEVEL_DB, 12.1, LEVEL_DB},
        {"level -61", LEVEL_DBM, -61.0, LEVEL_DBM},
        {"level 55 dBuV", LEVEL_DB, 55.0, LEVEL_DBUV},
        {"level 55 dB\u00b5V", LEVEL_DB, 55.0, LEVEL_DBUV},
        {"level 73 percent", LEVEL_DB, 73.0, LEVEL_PERCENT},
        {"level 73 %", LEVEL_DB, 73.0, LEVEL_PERCENT},
        {"level 1.3 V", LEVEL_RAW, 1.3, LEVEL_VOLT},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words;
        char why[RECORD_TEXT_SIZE];
        assert_int_equal(words_parse(rows[i].text, rows[i].at_hand, &words, why), 0);
        assert_int_equal(words.record.kind, RECORD_LEVEL);
        expect_near(words.record.level.value, rows[i].value, 0.0);
        assert_int_equal(words.record.level.unit, rows[i].unit);
    }
}

static void lock_may_say_on_what(void **unused)
{
    static const struct {
        const char *text;
        bool locked;
        const char *id;
    } rows[] = {
        {"lock yes", true, ""},
        {"lock yes PTARMIGAN 1 ", true, "PTARMIGAN 1"},
        {"lock no", false, ""},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.record.kind, RECORD_LOCK);
        assert_int_equal(words.record.lock.locked, rows[i].locked);
        assert_string_equal(words.record.lock.id, rows[i].id);
    }
}

static void what_was_measured_elsewhere_is_told(void **unused)
{
    static const struct {
        const char *text, *name, *unit;
        double value;
    } rows[] = {
        {"download 42.5", "download", "Mbit/s", 42.5},
        {"download 42.5 Mbit/s", "download", "Mbit/s", 42.5},
        {"UPLOAD 0", "upload", "Mbit/s", 0.0},
        {"isolation 31 db", "isolation", "dB", 31.0},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.record.kind, RECORD_AUX);
        assert_string_equal(words.record.aux.name, rows[i].name);
        assert_string_equal(words.record.aux.unit, rows[i].unit);
        expect_near(words.record.aux.value, rows[i].value, 0.0);
    }
}

static void notes_and_marks_keep_their_text(void **unused)
{
    static const struct {
        const char *text;
        enum record_kind kind;
        const char *want;
    } rows[] = {
        {"note nut was  loose ", RECORD_NOTE, "nut was  loose"},
        {"note Gr\u00fc\u00dfe", RECORD_NOTE, "Gr\u00fc\u00dfe"},
        {"note \x1b[2J and \xff", RECORD_NOTE, "?[2J and ?"},
        {"mark", RECORD_MARK, ""},
        {"mark peak here", RECORD_MARK, "peak here"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.record.kind, rows[i].kind);
        assert_string_equal(words.record.note.text, rows[i].want);
    }
}

static void seek_says_where_to(void **unused)
{
    static const struct {
        const char *text;
        enum words_place place;
        double number;
        const char *name;
    } rows[] = {
        {"seek 90", PLACE_TIME, 90.0, ""},
        {"seek 0", PLACE_TIME, 0.0, ""},
        {"seek 4:10", PLACE_TIME, 250.0, ""},
        {"seek 1:02:03.5", PLACE_TIME, 3723.5, ""},
        {"seek 100:00", PLACE_TIME, 6000.0, ""},
        {"seek start", PLACE_TIME, 0.0, ""},
        {"seek END", PLACE_TIME, INFINITY, ""},
        {"forward", PLACE_AWAY, 10.0, ""},
        {"rewind", PLACE_AWAY, -10.0, ""},
        {"forward 60", PLACE_AWAY, 60.0, ""},
        {"rewind 5", PLACE_AWAY, -5.0, ""},
        {"seek next step", PLACE_STEP, 1.0, ""},
        {"seek previous mark", PLACE_MARK, -1.0, ""},
        {"Seek Next Advice", PLACE_ADVICE, 1.0, ""},
        {"seek step 7", PLACE_OF_STEP, NAN, "7"},
        {"seek step peak azimuth ", PLACE_OF_STEP, NAN, "peak azimuth"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.kind, WORDS_SEEK);
        assert_int_equal(words.place, rows[i].place);
        expect_near(words.number, rows[i].number, 0.0);
        assert_string_equal(words.name, rows[i].name);
    }
}

static void words_that_steer_are_no_records(void **unused)
{
    static const struct {
        const char *text;
        enum words_kind kind;
        double number;
    } rows[] = {
        {"", WORDS_NOTHING, NAN},
        {" \t ", WORDS_NOTHING, NAN},
        {"quit", WORDS_QUIT, NAN},
        {"help", WORDS_HELP, NAN},
        {"pause", WORDS_PAUSE, NAN},
        {"play", WORDS_PLAY, NAN},
        {"speed 4", WORDS_SPEED, 4.0},
        {"speed 0.25", WORDS_SPEED, 0.25},
        {"speed max", WORDS_SPEED, INFINITY},
        {"next", WORDS_ONE, 1.0},
        {"previous", WORDS_ONE, -1.0},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = parsed(rows[i].text);
        assert_int_equal(words.kind, rows[i].kind);
        expect_near(words.number, rows[i].number, 0.0);
    }
}

static void a_refusal_says_what_and_what_instead(void **unused)
{
    static const struct {
        const char *text, *what, *instead;
    } rows[] = {
        {"dnoe", "'dnoe' is not understood", "help tells all words"},
        {"done now", "'now' is too much", "nothing follows done"},
        {"az", "", "like az 143.2"},
        {"az north", "'north' is not a number", "like az 143.2"},
        {"az 143,2", "'143,2' needs a decimal point", "like az 143.2"},
        {"az 361", "'361' is no angle", "-360 to 360"},
        {"az nan", "'nan' is not a number", "az 143.2"},
        {"az 12 turns", "'turns' is not understood", "deg or nothing"},
        {"az 12 deg 3", "'3' is too much", "nothing follows"},
        {"moved", "", "say moved right, left, up"},
        {"moved east 1 turns", "'east' is no way to turn", "clockwise or anticlockwise"},
        {"moved right", "", "like 1.25 or 1/8 or 1 1/4"},
        {"moved right a bit", "'a' is not a number", "1/8"},
        {"moved right 1/0 turns", "'1/0' is not a number", "1/8"},
        {"moved right 1 1/4", "", "say turns or deg"},
        {"moved right 1.5 1/4 turns", "'1/4' is no unit", "say turns or deg"},
        {"moved right -1 turns", "'-1' is no amount", "more than 0"},
        {"moved right 0 turns", "'0' is no amount", "more than 0"},
        {"moved right 400 deg", "'deg' are too many", "up to 360"},
        {"moved right 1 furlong", "'furlong' is no unit", "turns or deg"},
        {"level", "", "like level 12.1"},
        {"level high", "'high' is not a number", "like level 12.1"},
        {"level 1e308", "'1e308' can't be", "like level 12.1"},
        {"level 12 dBx", "'dBx' is no unit", "dBuV"},
        {"lock", "", "lock yes"},
        {"lock maybe", "'maybe' is not understood", "lock no"},
        {"lock no PTARMIGAN", "'PTARMIGAN' is too much", "nothing follows lock no"},
        {"download", "", "like download 42.5"},
        {"download fast", "'fast' is not a number", "like download 42.5"},
        {"upload -1", "'-1' can't be", "like upload 8.1"},
        {"upload 8 kbit/s", "'kbit/s' is another unit", "say the Mbit/s"},
        {"isolation 101", "'101' can't be", "like isolation 31"},
        {"isolation 31 dB now", "'now' is too much", "nothing follows isolation"},
        {"note", "", "say what to note"},
        {"quit now", "'now' is too much", "nothing follows"},
        {"speed", "", "above 0"},
        {"speed 0", "'0' is no speed", "above 0"},
        {"speed 1e9", "'1e9' is no speed", "up to 1000"},
        {"seek -5", "'-5' is no such time", "like 90 or 4:10"},
        {"seek 4:61", "'4:61' is no such time", "like 90 or 4:10"},
        {"seek 1:2:3:4", "'1:2:3:4' is no such time", "start or end"},
        {"seek 4:", "'4:' is no such time", "start or end"},
        {"seek 4.5:10", "'4.5:10' is no such time", "start or end"},
        {"seek next", "", "say step, mark or advice"},
        {"seek next turn", "'turn' is no place", "say step, mark or advice"},
        {"seek step", "", "name or number"},
        {"next 5", "'5' is too much", "nothing follows"},
        {"rewind -5", "'-5' is no such time", "above 0"},
        {"\x1b[31mred", "'?[31mred' is not understood", "help tells all words"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct words words = {.number = 42.0};
        char why[RECORD_TEXT_SIZE] = "";
        assert_int_equal(words_parse(rows[i].text, LEVEL_DB, &words, why), -EINVAL);
        if (!strstr(why, rows[i].what) || !strstr(why, rows[i].instead)) {
            fail_msg("'%s' is refused with '%s'", rows[i].text, why);
        }
        expect_near(words.number, 42.0, 0.0);
    }
}

static void a_word_without_end_is_refused_in_few_words(void **unused)
{
    char text[2000];
    struct words words;
    char why[RECORD_TEXT_SIZE] = "";

    (void)unused;
    memset(text, 'x', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    assert_int_equal(words_parse(text, LEVEL_DB, &words, why), -EINVAL);
    assert_non_null(strstr(why, "too long"));
    text[300] = '\0';
    assert_int_equal(words_parse(text, LEVEL_DB, &words, why), -EINVAL);
    assert_non_null(strstr(why, "xxx...' is not understood"));
    assert_non_null(strstr(why, ": help tells all words"));
}

/* Who reads the help can say every word in it. */
static void help_names_every_word(void **unused)
{
    static const char *const names[] = {"done",     "skip",   "back",      "repeat", "az",   "el",
                                        "skew",     "moved",  "level",     "lock",   "note", "mark",
                                        "download", "upload", "isolation", "quit",   "help"};
    static const char *const of_a_replay[] = {"pause",   "play",   "speed", "seek",
                                              "forward", "rewind", "next",  "previous",
                                              "note",    "quit",   "help"};

    (void)unused;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        assert_non_null(strstr(words_help, names[i]));
    }
    for (size_t i = 0; i < sizeof of_a_replay / sizeof *of_a_replay; i++) {
        assert_non_null(strstr(words_help_replay, of_a_replay[i]));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_answer_is_a_step_record),
        cmocka_unit_test(an_angle_is_read_off_the_scale),
        cmocka_unit_test(a_move_has_a_way_an_amount_and_a_unit),
        cmocka_unit_test(a_level_takes_the_unit_at_hand_or_its_own),
        cmocka_unit_test(lock_may_say_on_what),
        cmocka_unit_test(what_was_measured_elsewhere_is_told),
        cmocka_unit_test(notes_and_marks_keep_their_text),
        cmocka_unit_test(seek_says_where_to),
        cmocka_unit_test(words_that_steer_are_no_records),
        cmocka_unit_test(a_refusal_says_what_and_what_instead),
        cmocka_unit_test(a_word_without_end_is_refused_in_few_words),
        cmocka_unit_test(help_names_every_word),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
