#include "tty.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>
#include <utmp.h>

static const double patience_s = 20.0; /* sanitizers on a busy computer */

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static int on_property(VTermProp prop, VTermValue *value, void *user)
{
    struct tty *tty = user;

    if (prop == VTERM_PROP_ALTSCREEN) {
        tty->alternate = value->boolean;
    } else if (prop == VTERM_PROP_CURSORVISIBLE) {
        tty->cursor_visible = value->boolean;
    }
    return 1;
}

static const VTermScreenCallbacks callbacks = {.settermprop = on_property};

static void run_program(const struct tty_setup *setup, int slave)
{
    if (login_tty(slave) < 0 || (setup->directory && chdir(setup->directory) < 0)) {
        _exit(127);
    }
    /* a shell without job control starts what is in the background deaf to these */
    signal(SIGINT, SIG_DFL);
    signal(SIGQUIT, SIG_DFL);
    setenv("TERM", setup->term ? setup->term : "xterm-256color", 1);
    setenv("LC_ALL", setup->locale ? setup->locale : "C.UTF-8", 1);
    if (setup->home) {
        setenv("HOME", setup->home, 1);
    }
    if (setup->speech) {
        setenv("SPEECHD_ADDRESS", setup->speech, 1);
    }
    unsetenv("LINES");
    unsetenv("COLUMNS");
    unsetenv("NO_COLOR");
    unsetenv("LANGUAGE");
    if (setup->no_color) {
        setenv("NO_COLOR", "1", 1);
    }
    execv(setup->argv[0], (char *const *)setup->argv);
    _exit(127);
}

void tty_start(struct tty *tty, const struct tty_setup *setup)
{
    struct winsize size = {.ws_row = (unsigned short)setup->rows,
                           .ws_col = (unsigned short)setup->cols};

    *tty = (struct tty){.rows = setup->rows, .cols = setup->cols, .cursor_visible = true};
    assert_int_equal(openpty(&tty->fd, &tty->slave, NULL, NULL, &size), 0);
    fcntl(tty->fd, F_SETFD, FD_CLOEXEC);
    assert_int_equal(tcgetattr(tty->slave, &tty->found), 0);
    tty->vt = vterm_new(setup->rows, setup->cols);
    vterm_set_utf8(tty->vt, 1);
    tty->screen = vterm_obtain_screen(tty->vt);
    vterm_screen_set_callbacks(tty->screen, &callbacks, tty);
    vterm_screen_enable_altscreen(tty->screen, 1);
    vterm_screen_reset(tty->screen, 1);
    tty->pid = fork();
    assert_true(tty->pid >= 0);
    if (tty->pid == 0) {
        run_program(setup, tty->slave);
    }
}

void tty_finish(struct tty *tty)
{
    if (tty->pid > 0) {
        kill(tty->pid, SIGKILL);
        waitpid(tty->pid, NULL, 0);
    }
    if (tty->vt) {
        vterm_free(tty->vt);
        close(tty->fd);
        close(tty->slave);
    }
    *tty = (struct tty){.pid = 0};
}

/* What the emulator answers (keys, reports) goes to the program. */
static void pass_output(struct tty *tty)
{
    char bytes[256];
    size_t n;

    while ((n = vterm_output_read(tty->vt, bytes, sizeof bytes)) > 0) {
        ssize_t written = write(tty->fd, bytes, n);
        (void)written;
    }
}
/* Bytes at the end that begin a character of UTF-8 and do not finish it: the emulator drops one
 * that is cut in two. */
static size_t unfinished(const char *bytes, size_t count)
{
    for (size_t back = 1; back <= 3 && back <= count; back++) {
        unsigned char byte = (unsigned char)bytes[count - back];
        if (byte >= 0xc0) {
            size_t length = byte >= 0xf0 ? 4 : byte >= 0xe0 ? 3 : 2;
            return back < length ? back : 0;
        }
        if (byte < 0x80) {
            break;
        }
    }
    return 0;
}

bool tty_take_in(struct tty *tty, int ms)
{
    struct pollfd poller = {.fd = tty->fd, .events = POLLIN};
    char bytes[4096];
    size_t held = tty->held_count, count;
    ssize_t n;

    if (poll(&poller, 1, ms) <= 0 || (n = read(tty->fd, bytes + held, sizeof bytes - held)) <= 0) {
        return false;
    }
    memcpy(bytes, tty->held, held);
    count = held + (size_t)n;
    for (size_t i = held; i < count; i++) {
        tty->saw_high_bytes = tty->saw_high_bytes || (unsigned char)bytes[i] >= 0x80;
    }
    tty->bytes += (size_t)n;
    tty->held_count = unfinished(bytes, count);
    memcpy(tty->held, bytes + count - tty->held_count, tty->held_count);
    vterm_input_write(tty->vt, bytes, count - tty->held_count);
    pass_output(tty);
    return true;
}

void tty_settle(struct tty *tty, int quiet_ms)
{
    while (tty_take_in(tty, quiet_ms)) {
    }
}

/* --- reading the screen --------------------------------------------------------------------- */

static size_t put_utf8(char *s, uint32_t code)
{
    if (code < 0x80) {
        s[0] = (char)code;
        return 1;
    }
    if (code < 0x800) {
        s[0] = (char)(0xc0 | code >> 6);
        s[1] = (char)(0x80 | (code & 0x3f));
        return 2;
    }
    s[0] = (char)(0xe0 | code >> 12);
    s[1] = (char)(0x80 | (code >> 6 & 0x3f));
    s[2] = (char)(0x80 | (code & 0x3f));
    return 3;
}

void tty_row_text(const struct tty *tty, int row, char *text, size_t size)
{
    size_t used = 0, end = 0;

    for (int col = 0; col < tty->cols && used + 5 < size; col++) {
        VTermPos at = {.row = row, .col = col};
        VTermScreenCell cell;
        vterm_screen_get_cell(tty->screen, at, &cell);
        if (cell.chars[0] == UINT32_MAX) {
            continue; /* the right half of a wide character */
        }
        used += put_utf8(text + used, cell.chars[0] ? cell.chars[0] : ' ');
        end = cell.chars[0] && cell.chars[0] != ' ' ? used : end;
    }
    text[end] = '\0';
}

void tty_text(const struct tty *tty, char text[TTY_TEXT_SIZE])
{
    size_t used = 0;

    for (int row = 0; row < tty->rows; row++) {
        tty_row_text(tty, row, text + used, TTY_TEXT_SIZE - used - 1);
        used += strlen(text + used);
        text[used++] = '\n';
    }
    text[used] = '\0';
}

VTermScreenCell tty_cell_of(const struct tty *tty, const char *text)
{
    for (int row = 0; row < tty->rows; row++) {
        char line[4 * TTY_MOST_COLS];
        const char *found;
        VTermScreenCell cell;
        VTermPos at = {.row = row};
        tty_row_text(tty, row, line, sizeof line);
        found = strstr(line, text);
        if (!found) {
            continue;
        }
        for (const char *p = line; p < found; p++) {
            at.col += ((unsigned char)*p & 0xc0) != 0x80; /* characters, not bytes */
        }
        vterm_screen_get_cell(tty->screen, at, &cell);
        return cell;
    }
    fail_msg("'%s' is not on the screen", text);
    return (VTermScreenCell){.width = 0};
}

/* --- waiting -------------------------------------------------------------------------------- */

static bool reap(struct tty *tty, int flags)
{
    if (tty->pid > 0 && waitpid(tty->pid, &tty->status, WNOHANG | flags) == tty->pid) {
        if (!WIFSTOPPED(tty->status) && !WIFCONTINUED(tty->status)) {
            tty->pid = 0;
        }
        return true;
    }
    return false;
}

static void fail_with_screen(const struct tty *tty, const char *what, const char *text,
                             const char *file, int line)
{
    char *shown = malloc(TTY_TEXT_SIZE);

    tty_text(tty, shown);
    fprintf(stderr, "%s '%s'; the screen (%d x %d), program %s:\n%s", what, text, tty->cols,
            tty->rows, tty->pid > 0 ? "running" : "ended", shown);
    free(shown);
    _fail(file, line);
}

static bool is_shown(const struct tty *tty, const char *text, char *room)
{
    tty_text(tty, room);
    return strstr(room, text) != NULL;
}

void tty_expect_at(struct tty *tty, const char *text, bool there, const char *file, int line)
{
    double until = now_s() + patience_s;
    char *room = malloc(TTY_TEXT_SIZE);
    bool good;

    while ((good = is_shown(tty, text, room) == there) == false && now_s() < until) {
        if (!tty_take_in(tty, 50) && reap(tty, 0)) {
            while (tty_take_in(tty, 0)) {
            }
            good = is_shown(tty, text, room) == there;
            break;
        }
    }
    free(room);
    if (!good) {
        fail_with_screen(tty, there ? "not seen:" : "still there:", text, file, line);
    }
}

int tty_expect_end_at(struct tty *tty, const char *file, int line)
{
    double until = now_s() + patience_s;

    while (tty->pid > 0 && now_s() < until) {
        reap(tty, 0);
        tty_take_in(tty, 20);
    }
    while (tty_take_in(tty, 0)) {
    }
    if (tty->pid > 0) {
        fail_with_screen(tty, "the program does not end", "", file, line);
    }
    return tty->status;
}

void tty_expect_stop_at(struct tty *tty, const char *file, int line)
{
    double until = now_s() + patience_s;

    while (now_s() < until) {
        tty_take_in(tty, 20);
        if (reap(tty, WUNTRACED) && WIFSTOPPED(tty->status)) {
            while (tty_take_in(tty, 0)) {
            }
            return;
        }
    }
    fail_with_screen(tty, "the program does not stop", "", file, line);
}

void tty_expect_restored_at(struct tty *tty, const char *file, int line)
{
    struct termios now;

    assert_int_equal(tcgetattr(tty->slave, &now), 0);
    if (now.c_iflag != tty->found.c_iflag || now.c_oflag != tty->found.c_oflag ||
        now.c_lflag != tty->found.c_lflag || now.c_cflag != tty->found.c_cflag) {
        fail_with_screen(tty, "the terminal's modes are left changed", "", file, line);
    }
    if (tty->alternate || !tty->cursor_visible) {
        fail_with_screen(
            tty, tty->alternate ? "the program's screen is left on" : "the cursor is left hidden",
            "", file, line);
    }
}

/* --- doing ---------------------------------------------------------------------------------- */

void tty_send(struct tty *tty, const char *bytes)
{
    assert_int_equal(write(tty->fd, bytes, strlen(bytes)), strlen(bytes));
}

void tty_key(struct tty *tty, VTermKey key, VTermModifier modifier)
{
    vterm_keyboard_key(tty->vt, key, modifier);
    pass_output(tty);
}

void tty_resize(struct tty *tty, int rows, int cols)
{
    struct winsize size = {.ws_row = (unsigned short)rows, .ws_col = (unsigned short)cols};

    tty->rows = rows;
    tty->cols = cols;
    vterm_set_size(tty->vt, rows, cols);
    assert_int_equal(ioctl(tty->fd, TIOCSWINSZ, &size), 0);
}
