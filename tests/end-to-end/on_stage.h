/* on_stage.h - what tests of the screen share: the stage in a terminal, pictures to compare with.
 */
#ifndef TESTS_ON_STAGE_H
#define TESTS_ON_STAGE_H

#include "tty.h"

#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#define SCREEN_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

static inline int set_up(void **ret_tty)
{
    *ret_tty = calloc(1, sizeof(struct tty));
    return 0;
}

static inline int tear_down(void **tty)
{
    tty_finish(*tty);
    free(*tty);
    return 0;
}

static const char *const plain_stage[] = {STAGE, NULL};

static inline void start_stage(struct tty *tty, const char *const *argv, int rows, int cols)
{
    tty_start(tty, &(struct tty_setup){.argv = argv, .rows = rows, .cols = cols});
    tty_expect(tty, "q quit");
}

static inline void quit(struct tty *tty)
{
    tty_send(tty, "qq");
    assert_int_equal(tty_expect_end(tty), 0);
    tty_expect_restored(tty);
}

static inline void compare(const struct tty *tty, const char *name)
{
    static char text[TTY_TEXT_SIZE], want[TTY_TEXT_SIZE];
    char path[512];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s.txt", SCREENS, name);
    tty_text(tty, text);
    if (getenv("PEAKWARD_WRITE_SCREENS")) {
        file = fopen(path, "w");
        assert_non_null(file);
        fputs(text, file);
        fclose(file);
        return;
    }
    file = fopen(path, "r");
    if (!file) {
        fail_msg("%s is missing", path);
    }
    want[fread(want, 1, sizeof want - 1, file)] = '\0';
    fclose(file);
    if (strcmp(text, want) != 0) {
        fprintf(stderr, "%s: seen\n%swanted\n%s", name, text, want);
        fail();
    }
}

#endif
