/*
 * tty.h - a terminal for tests: a program runs under a pseudo-terminal, a terminal emulator keeps
 * its screen, keys are pressed, the window is resized, and the screen is read back as text.
 *
 * Every wait is for something that is seen, with a limit; nothing sleeps for a time.
 */
#ifndef TESTS_TTY_H
#define TESTS_TTY_H

#include "../unit/expect.h"

#include <stdbool.h>
#include <sys/types.h>
#include <termios.h>
#include <vterm.h>

enum { TTY_TEXT_SIZE = 65536, TTY_MOST_COLS = 600 };

struct tty_setup {
    const char *const *argv; /* argv[0] is the program's path */
    const char *term;        /* TERM; NULL = xterm-256color */
    const char *locale;      /* LC_ALL; NULL = C.UTF-8 */
    const char *home;        /* HOME; NULL = as it is */
    const char *speech;      /* where speech-dispatcher listens; NULL = as it is */
    const char *directory;   /* to run in; NULL = here */
    int rows, cols;
    bool no_color;
};

struct tty {
    int fd, slave; /* owned */
    pid_t pid;     /* 0 = reaped */
    int status;    /* as of waitpid, once reaped */
    VTerm *vt;
    VTermScreen *screen;
    int rows, cols;
    bool alternate, cursor_visible; /* as the program has set them */
    bool saw_high_bytes;            /* anything beyond ASCII was sent to the terminal */
    char held[4];                   /* begins a character whose rest is still to come */
    size_t held_count;
    size_t bytes;         /* sent to the terminal so far */
    struct termios found; /* the modes before the program ran */
};

/* Start; the test fails when that fails. */
void tty_start(struct tty *tty, const struct tty_setup *setup);

/* Kill what still runs, free all. Fine on one that was zeroed. */
void tty_finish(struct tty *tty);

/* Let the program run until the screen shows a text; the test fails, with the screen, if not. */
#define tty_expect(tty, text) tty_expect_at((tty), (text), true, __FILE__, __LINE__)
#define tty_expect_gone(tty, text) tty_expect_at((tty), (text), false, __FILE__, __LINE__)
void tty_expect_at(struct tty *tty, const char *text, bool there, const char *file, int line);

/* The program's end within some seconds; the test fails if it does not end. Its wait status. */
#define tty_expect_end(tty) tty_expect_end_at((tty), __FILE__, __LINE__)
int tty_expect_end_at(struct tty *tty, const char *file, int line);

/* The program stops (job control) within some seconds. */
#define tty_expect_stop(tty) tty_expect_stop_at((tty), __FILE__, __LINE__)
void tty_expect_stop_at(struct tty *tty, const char *file, int line);

/* The terminal is as it was found: modes, main screen, cursor. */
#define tty_expect_restored(tty) tty_expect_restored_at((tty), __FILE__, __LINE__)
void tty_expect_restored_at(struct tty *tty, const char *file, int line);

/* Take in what comes until nothing has come for so many milliseconds. */
void tty_settle(struct tty *tty, int quiet_ms);

/* Take in what comes within some milliseconds. True when something came. */
bool tty_take_in(struct tty *tty, int ms);

void tty_send(struct tty *tty, const char *bytes);
void tty_key(struct tty *tty, VTermKey key, VTermModifier modifier);
void tty_resize(struct tty *tty, int rows, int cols);

/* The screen: rows without blanks at their ends, a line's end each. */
void tty_text(const struct tty *tty, char text[TTY_TEXT_SIZE]);
void tty_row_text(const struct tty *tty, int row, char *text, size_t size);

/* The cell of a text's first character; the test fails when it is not on the screen. */
VTermScreenCell tty_cell_of(const struct tty *tty, const char *text);

#endif
