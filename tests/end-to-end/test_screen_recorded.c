/*
 * Recorded sessions seen again, from one piece of advice to the next: whatever the coach asks for,
 * the large sign, the row of the axis and the picture from afar name the same way to turn.
 */
#include "screen_room.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum { MOST_ADVICE = 60, FEWEST_TURNS = 10 };

static const char *const ways[] = {"left", "right", "up", "down", "anticlockwise", "clockwise"};

static void record(struct screen_room *room, const char *scenario)
{
    char command[1024];

    unlink(room->log);
    snprintf(
        command, sizeof command,
        "timeout 100 %s peak --job %s/%s.job --source 'sim:%s?hand=careful&seed=3' --speed max "
        "--log %s --json </dev/null >/dev/null 2>&1",
        PEAKWARD, SCENARIOS, scenario, scenario, room->log);
    assert_int_equal(WEXITSTATUS(system(command)), 0);
}

/* "Turn up: elevation" in a row; the way, or NULL when it is no turn. */
static const char *way_of_sign(const struct tty *tty, int row)
{
    char text[4 * TTY_MOST_COLS];

    tty_row_text(tty, row, text, sizeof text);
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        char sign[64];
        snprintf(sign, sizeof sign, " Turn %s: ", ways[i]);
        if (strncmp(text, sign, strlen(sign)) == 0) {
            return ways[i];
        }
    }
    return NULL;
}

/* The row of the axis that is asked for names this way, or leaves it to the level. */
static bool row_agrees(const struct tty *tty, const char *way)
{
    char text[4 * TTY_MOST_COLS], word[32];

    snprintf(word, sizeof word, " %s ", way);
    for (int row = 0; row < tty->rows; row++) {
        tty_row_text(tty, row, text, sizeof text);
        if (text[0] == '>' && isalpha((unsigned char)text[1])) {
            return strstr(text, word) || strstr(text, "by the level");
        }
    }
    return false;
}

/* How many turns were compared. */
static int compare_all(struct screen_room *room, int rows, int cols)
{
    const char *const argv[] = {PEAKWARD, "replay", room->log, "--paused", NULL};
    struct tty *tty = &room->tty;
    static char text[TTY_TEXT_SIZE];
    int turns = 0;

    tty_start(tty, &(struct tty_setup){.argv = argv, .rows = rows, .cols = cols});
    tty_expect(tty, "q quit");
    for (int i = 0; i < MOST_ADVICE; i++) {
        const char *way, *far;
        tty_send(tty, "a");
        tty_settle(tty, 15);
        way = way_of_sign(tty, 1);
        if (!way) {
            continue;
        }
        turns++;
        if (!row_agrees(tty, way)) {
            tty_text(tty, text);
            fail_msg("the sign says %s\n%s", way, text);
        }
        tty_send(tty, "f");
        tty_expect(tty, "f near");
        far = way_of_sign(tty, 0);
        tty_send(tty, "f");
        tty_expect_gone(tty, "f near");
        /* a slow machine may not have come to the next advice before */
        assert_true(far == way || far == way_of_sign(tty, 1));
    }
    tty_send(tty, "qq");
    assert_int_equal(tty_expect_end(tty), 0);
    tty_finish(tty);
    return turns;
}

/* Sensors, a scale, bolts counted, and a panel turned as a whole. */
static void every_picture_names_the_same_way(void **state)
{
    static const char *const scenarios[] = {"hut", "hut-scale", "hut-nudges", "panel"};
    static const struct {
        int rows, cols;
    } sizes[] = {{24, 80}, {40, 120}, {20, 40}};
    struct screen_room *room = *state;

    for (size_t i = 0; i < sizeof scenarios / sizeof *scenarios; i++) {
        record(room, scenarios[i]);
        for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++) {
            assert_true(compare_all(room, sizes[k].rows, sizes[k].cols) >= FEWEST_TURNS);
        }
    }
}

static bool begins_with(const struct tty *tty, int row, const char *want)
{
    char text[4 * TTY_MOST_COLS];

    tty_row_text(tty, row, text, sizeof text);
    return strncmp(text, want, strlen(want)) == 0;
}

/* Which edge and which way: above the large sign as in the coach's sentence, near and far. */
static void every_picture_names_the_same_edge(void **state)
{
    static const struct {
        const char *said, *above;
    } edges[] = {
        {"Push the right edge away", " The right edge, away from you"},
        {"Pull the right edge towards", " The right edge, towards you"},
        {"Push the upper edge away", " The upper edge, away from you"},
        {"Pull the upper edge towards", " The upper edge, towards you"},
    };
    static const int sizes[][2] = {{24, 80}, {40, 120}, {20, 40}, {12, 40}};
    struct screen_room *room = *state;
    const char *const argv[] = {PEAKWARD, "replay", room->log, "--paused", NULL};
    struct tty *tty = &room->tty;

    record(room, "hut-nudges");
    for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++) {
        tty_start(tty, &(struct tty_setup){.argv = argv, .rows = sizes[k][0], .cols = sizes[k][1]});
        tty_expect(tty, "q quit");
        tty_send(tty, ":seek step tighten\r");
        for (size_t i = 0; i < sizeof edges / sizeof *edges; i++) {
            for (int n = 0; n < MOST_ADVICE && !begins_with(tty, 1, edges[i].above); n++) {
                tty_send(tty, "a");
                tty_settle(tty, 15);
            }
            tty_expect(tty, edges[i].said);
            assert_true(begins_with(tty, 1, edges[i].above));
            tty_send(tty, "f");
            tty_expect(tty, "f near");
            tty_expect(tty, edges[i].said);
            assert_true(begins_with(tty, 0, edges[i].above));
            tty_send(tty, "f");
            tty_expect_gone(tty, "f near");
        }
        tty_send(tty, "qq");
        assert_int_equal(tty_expect_end(tty), 0);
        tty_finish(tty);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_picture_names_the_same_way, screen_room_set_up,
                                        screen_room_tear_down),
        cmocka_unit_test_setup_teardown(every_picture_names_the_same_edge, screen_room_set_up,
                                        screen_room_tear_down),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
