#include "view/terminal.h"

#define NCURSES_NOMACROS
#include <curses.h>
#include <errno.h>
#include <langinfo.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <term.h>
#include <termios.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/keyboard.h"
#include "view/rescue.h"

struct terminal {
    SCREEN *screen;     /* owned */
    struct sheet next;  /* what is composed */
    struct sheet shown; /* what curses has */
    attr_t attributes[INK_COUNT];
    short pairs[INK_COUNT];
    int colours; /* that may be used */
    enum glyphs glyphs;
    struct sigaction stop_before, continue_before;
    bool redraw;
    int empty_reads; /* readable, but no key, so many times in a row */
};

enum { ESCAPE_MS = 25, MOST_EMPTY_READS = 16 };

/* --- signals -------------------------------------------------------------------------------- */

static volatile sig_atomic_t stop_wanted, continued;
static bool taken;

static void on_stop(int number)
{
    (void)number;
    stop_wanted = 1;
}

static void on_continue(int number)
{
    (void)number;
    continued = 1;
}

static void handle(int number, void (*handler)(int))
{
    struct sigaction action = {.sa_handler = handler};

    sigemptyset(&action.sa_mask);
    sigaction(number, &action, NULL);
}

/*
 * Before newterm(): curses then leaves SIGTSTP alone. Its own way is to ignore it while it draws,
 * which would lose a Ctrl-Z that comes just then. Where it is ignored already (no job control) it
 * stays so.
 */
static void catch_suspension(struct terminal *terminal)
{
    stop_wanted = continued = 0;
    sigaction(SIGTSTP, NULL, &terminal->stop_before);
    sigaction(SIGCONT, NULL, &terminal->continue_before);
    if (terminal->stop_before.sa_handler != SIG_IGN) {
        handle(SIGTSTP, on_stop);
    }
    handle(SIGCONT, on_continue);
}

static void release_suspension(const struct terminal *terminal)
{
    sigaction(SIGTSTP, &terminal->stop_before, NULL);
    sigaction(SIGCONT, &terminal->continue_before, NULL);
}

/* Ctrl-Z: give the terminal back, stop, take it again. */
static void suspend(struct terminal *terminal)
{
    sigset_t stop, before;

    stop_wanted = 0;
    endwin();
    handle(SIGTSTP, SIG_DFL);
    sigemptyset(&stop);
    sigaddset(&stop, SIGTSTP);
    raise(SIGTSTP);
    sigprocmask(SIG_UNBLOCK, &stop, &before);
    sigprocmask(SIG_SETMASK, &before, NULL);
    handle(SIGTSTP, on_stop);
    continued = 0;
    terminal_redraw(terminal);
}

/* --- looks ---------------------------------------------------------------------------------- */

/* How many colours may be used. */
static int count_colours(void)
{
    const char *no_color = getenv("NO_COLOR");

    if ((no_color && no_color[0]) || !has_colors() || start_color() != OK ||
        use_default_colors() != OK || COLOR_PAIRS <= INK_COUNT) {
        return 0;
    }
    return COLORS;
}

void terminal_set_look(struct terminal *terminal, enum looks look)
{
    for (int i = 0; i < INK_COUNT; i++) {
        struct looks_style style = looks_style(look, (enum ink)i, terminal->colours);
        bool coloured = style.text >= 0 || style.paper >= 0;
        short pair = (short)(coloured ? i + 1 : 0);
        terminal->attributes[i] = (style.bold ? A_BOLD : A_NORMAL) |
                                  (style.underlined ? A_UNDERLINE : A_NORMAL) |
                                  (style.reversed ? A_REVERSE : A_NORMAL);
        if (coloured && init_pair(pair, (short)style.text, (short)style.paper) != OK) {
            pair = 0;
        }
        terminal->pairs[i] = pair;
    }
    terminal->redraw = true;
}

/* --- open and close ------------------------------------------------------------------------- */

int terminal_examine(char why[RECORD_TEXT_SIZE])
{
    const char *name = getenv("TERM");
    const char *place;
    int state;

    why[0] = '\0';
    if (!isatty(STDIN_FILENO) || !isatty(STDOUT_FILENO)) {
        text_append(why, RECORD_TEXT_SIZE, "%s", _("there is no terminal"));
        return -ENOTTY;
    }
    if (!name || setupterm(NULL, STDOUT_FILENO, &state) != OK) {
        text_append(why, RECORD_TEXT_SIZE, _("a terminal of the name TERM=%s is not known"),
                    name ? name : "");
        return -ENOTSUP;
    }
    place = tigetstr("cup");
    del_curterm(set_curterm(NULL));
    if (!place || place == (char *)-1) {
        text_append(why, RECORD_TEXT_SIZE, _("a terminal like TERM=%s can't place text"), name);
        return -ENOTSUP;
    }
    return 0;
}

static void prepare_terminal(void)
{
    set_escdelay(ESCAPE_MS);
    cbreak();
    noecho();
    nonl();
    nodelay(stdscr, TRUE);
    keypad(stdscr, TRUE);
    intrflush(stdscr, FALSE);
    curs_set(0);
}

int terminal_open(struct terminal **ret_terminal, char why[RECORD_TEXT_SIZE])
{
    struct terminal *terminal;
    struct termios found;
    int r;

    if (taken) {
        text_copy(why, RECORD_TEXT_SIZE, _("the terminal is taken already"));
        return -EBUSY;
    }
    r = terminal_examine(why);
    if (r < 0) {
        return r;
    }
    terminal = calloc(1, sizeof *terminal);
    if (!terminal || tcgetattr(STDIN_FILENO, &found) < 0) {
        free(terminal);
        text_copy(why, RECORD_TEXT_SIZE, _("no memory or no terminal"));
        return -ENOMEM;
    }
    /* what the environment says of the size may be older than the window */
    unsetenv("LINES");
    unsetenv("COLUMNS");
    catch_suspension(terminal);
    terminal->screen = newterm(NULL, stdout, stdin);
    if (!terminal->screen) {
        release_suspension(terminal);
        free(terminal);
        text_copy(why, RECORD_TEXT_SIZE, _("curses can't open it"));
        return -ENOTSUP;
    }
    terminal->glyphs = glyphs_choose(nl_langinfo(CODESET), getenv("TERM"));
    prepare_terminal();
    terminal->colours = count_colours();
    terminal_set_look(terminal, LOOK_OWN);
    rescue_arm(STDOUT_FILENO, &found);
    stop_wanted = continued = 0;
    handle(SIGTSTP, on_stop);
    handle(SIGCONT, on_continue);
    terminal->redraw = true;
    taken = true;
    *ret_terminal = terminal;
    return 0;
}

void terminal_close(struct terminal *terminal)
{
    if (!terminal) {
        return;
    }
    handle(SIGTSTP, SIG_DFL);
    handle(SIGCONT, SIG_DFL);
    handle(SIGWINCH, SIG_DFL);
    curs_set(1);
    endwin();
    rescue_disarm();
    delscreen(terminal->screen);
    sheet_finish(&terminal->next);
    sheet_finish(&terminal->shown);
    free(terminal);
    taken = false;
}

int terminal_fd(const struct terminal *terminal)
{
    (void)terminal;
    return STDIN_FILENO;
}

/* --- keys ----------------------------------------------------------------------------------- */

static const struct {
    wint_t key;
    uint32_t stroke;
} keys[] = {
    {KEY_LEFT, STROKE_LEFT},   {KEY_RIGHT, STROKE_RIGHT},      {KEY_UP, STROKE_UP},
    {KEY_DOWN, STROKE_DOWN},   {KEY_SLEFT, STROKE_SHIFT_LEFT}, {KEY_SRIGHT, STROKE_SHIFT_RIGHT},
    {KEY_SR, STROKE_SHIFT_UP}, {KEY_SF, STROKE_SHIFT_DOWN},    {KEY_BACKSPACE, STROKE_BACKSPACE},
    {KEY_DC, STROKE_DELETE},   {KEY_HOME, STROKE_HOME},        {KEY_END, STROKE_END},
    {KEY_F(1), STROKE_HELP},   {KEY_ENTER, STROKE_ENTER},
};

static uint32_t translate_key(wint_t key)
{
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        if (keys[i].key == key) {
            return keys[i].stroke;
        }
    }
    return STROKE_NONE;
}

static uint32_t translate_character(wint_t character)
{
    switch (character) {
    case '\r':
    case '\n':
        return STROKE_ENTER;
    case 0x1b:
        return STROKE_ESCAPE;
    case '\t':
        return STROKE_TAB;
    case 0x7f:
    case '\b':
        return STROKE_BACKSPACE;
    default:
        return character;
    }
}

/* Nothing to read: is it that the terminal has gone? A dead one polls ready for ever. */
static bool is_gone(struct terminal *terminal)
{
    struct pollfd poller = {.fd = STDIN_FILENO, .events = POLLIN};

    if (poll(&poller, 1, 0) <= 0) {
        terminal->empty_reads = 0;
        return false;
    }
    if (poller.revents & (POLLHUP | POLLERR | POLLNVAL)) {
        return true;
    }
    return ++terminal->empty_reads >= MOST_EMPTY_READS;
}

int terminal_key(struct terminal *terminal, uint32_t *ret_stroke)
{
    wint_t key;
    int r;

    if (stop_wanted) {
        suspend(terminal);
    }
    if (continued) {
        /* whoever had the terminal meanwhile has changed its ways */
        continued = 0;
        reset_prog_mode();
        terminal_redraw(terminal);
    }
    while ((r = get_wch(&key)) != ERR) {
        terminal->empty_reads = 0;
        if (r == KEY_CODE_YES && key == KEY_RESIZE) {
            terminal_redraw(terminal);
        } else if (r == OK && key == ('L' & 0x1f)) {
            terminal_redraw(terminal);
        } else {
            *ret_stroke = r == KEY_CODE_YES ? translate_key(key) : translate_character(key);
            return 1;
        }
    }
    return is_gone(terminal) ? -EPIPE : 0;
}

/* --- drawing -------------------------------------------------------------------------------- */

void terminal_redraw(struct terminal *terminal)
{
    terminal->redraw = true;
}

bool terminal_wants_redraw(struct terminal *terminal)
{
    return terminal->redraw;
}

/* Follow the window's size: it may have changed while nobody told us. */
static void follow_size(void)
{
    struct winsize size;

    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0 && size.ws_col > 0 &&
        (size.ws_row != getmaxy(stdscr) || size.ws_col != getmaxx(stdscr))) {
        resizeterm(size.ws_row, size.ws_col);
    }
}

struct sheet *terminal_sheet(struct terminal *terminal)
{
    int rows, cols;

    if (terminal->redraw) {
        follow_size();
    }
    rows = getmaxy(stdscr);
    cols = getmaxx(stdscr);
    if (!terminal->next.cells || terminal->next.rows != rows || terminal->next.cols != cols) {
        sheet_finish(&terminal->next);
        sheet_finish(&terminal->shown);
        if (sheet_init(&terminal->next, rows, cols, terminal->glyphs) < 0 ||
            sheet_init(&terminal->shown, rows, cols, terminal->glyphs) < 0) {
            return NULL;
        }
        terminal->redraw = true;
    }
    return &terminal->next;
}

static void put_cell(const struct terminal *terminal, int row, int col,
                     const struct sheet_cell *cell)
{
    wchar_t text[2] = {(wchar_t)cell->code, L'\0'};
    cchar_t c;

    if (cell->code != SHEET_TAIL && setcchar(&c, text, terminal->attributes[cell->ink],
                                             terminal->pairs[cell->ink], NULL) == OK) {
        mvadd_wch(row, col, &c);
    }
}

static void put_row(struct terminal *terminal, int row)
{
    const struct sheet *next = &terminal->next;
    struct sheet *shown = &terminal->shown;

    for (int col = 0; col < next->cols; col++) {
        int i = row * next->cols + col;
        if (terminal->redraw || next->cells[i].code != shown->cells[i].code ||
            next->cells[i].ink != shown->cells[i].ink) {
            put_cell(terminal, row, col, &next->cells[i]);
            shown->cells[i] = next->cells[i];
        }
    }
}

void terminal_show(struct terminal *terminal)
{
    const struct sheet *next = &terminal->next;

    if (terminal->redraw) {
        erase();
        clearok(stdscr, TRUE);
    }
    for (int row = 0; row < next->rows; row++) {
        put_row(terminal, row);
    }
    terminal->redraw = false;
    if (next->cursor_row >= 0) {
        move(next->cursor_row, next->cursor_col);
    }
    curs_set(next->cursor_row >= 0);
    refresh();
}
