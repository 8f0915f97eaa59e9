/* screen.c - the curses face: keys in, panels out. */
#define NCURSES_NOMACROS
#include <curses.h>
#include <errno.h>
#include <langinfo.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>
#include <wchar.h>

#include "base/text.h"
#include "view/canvas.h"
#include "view/face.h"
#include "view/layout.h"
#include "view/screen_keys.h"

static const double redraw_s = 0.5; /* ages count on without a record */
static const double message_s = 6.0;
static const double zooms_s[] = {60.0, 300.0, 1200.0, 20.0};

struct screen {
    SCREEN *terminal; /* owned */
    bool utf8;
    enum canvas_dots dots;
    bool changed, help;
    double shown_t, message_t;
    size_t zoom;
    int previous; /* key that waits for a second press */
    char message[FACE_WORDS_SIZE];
    bool typing;
    char prompt[16];
    char typed[FACE_WORDS_SIZE - 32];
};

/* --- the terminal as it was, whatever happens ------------------------------------------------ */

static struct termios terminal_before;

/* Only what may be called in a signal handler. */
static void restore_and_die(int signal_number)
{
    static const char leave[] = "\033[0m\033[?1l\033[?25h\033[?1049l\r\n";
    ssize_t ignored = write(STDOUT_FILENO, leave, sizeof leave - 1);

    (void)ignored;
    tcsetattr(STDIN_FILENO, TCSANOW, &terminal_before);
    signal(signal_number, SIG_DFL);
    raise(signal_number);
}

static void guard_terminal(void)
{
    static const int crashes[] = {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT};
    struct sigaction action = {.sa_handler = restore_and_die, .sa_flags = (int)SA_RESETHAND};

    sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < sizeof crashes / sizeof *crashes; i++) {
        sigaction(crashes[i], &action, NULL);
    }
}

static void choose_dots(struct screen *screen)
{
    const char *term = getenv("TERM");

    screen->utf8 = strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
    screen->dots = !screen->utf8                            ? DOTS_ASCII
                   : term && strncmp(term, "linux", 5) == 0 ? DOTS_HALF
                                                            : DOTS_BRAILLE;
}

static int screen_open(void **ret_self, char why[RECORD_TEXT_SIZE])
{
    struct screen *screen;
    const char *term = getenv("TERM");

    if (!term || strcmp(term, "dumb") == 0) {
        text_copy(why, RECORD_TEXT_SIZE, "the terminal can't place text (TERM)");
        return -ENOTTY;
    }
    screen = calloc(1, sizeof *screen);
    if (!screen || tcgetattr(STDIN_FILENO, &terminal_before) < 0) {
        free(screen);
        text_copy(why, RECORD_TEXT_SIZE, "standard input is no terminal");
        return -ENOTTY;
    }
    screen->terminal = newterm(NULL, stdout, stdin);
    if (!screen->terminal) {
        free(screen);
        text_copy(why, RECORD_TEXT_SIZE, "the terminal of TERM is not known");
        return -ENOTTY;
    }
    guard_terminal();
    set_escdelay(25);
    cbreak();
    noecho();
    nonl();
    curs_set(0);
    keypad(stdscr, TRUE);
    nodelay(stdscr, TRUE);
    canvas_init_looks();
    choose_dots(screen);
    screen->changed = true;
    screen->shown_t = -INFINITY;
    *ret_self = screen;
    return 0;
}

static void screen_close(void *self)
{
    struct screen *screen = self;

    if (!screen) {
        return;
    }
    endwin();
    delscreen(screen->terminal);
    free(screen);
}

static int screen_fd(const void *self)
{
    (void)self;
    return STDIN_FILENO;
}

/* --- keys ----------------------------------------------------------------------------------- */

static int translate(int r, wint_t key)
{
    if (r == KEY_CODE_YES) {
        switch (key) {
        case KEY_LEFT:
            return KEYS_LEFT;
        case KEY_RIGHT:
            return KEYS_RIGHT;
        case KEY_UP:
            return KEYS_UP;
        case KEY_DOWN:
            return KEYS_DOWN;
        case KEY_ENTER:
            return KEYS_ENTER;
        case KEY_BACKSPACE:
            return KEYS_BACKSPACE;
        case KEY_F(1):
            return KEYS_HELP;
        default:
            return 0;
        }
    }
    switch (key) {
    case '\r':
    case '\n':
        return KEYS_ENTER;
    case 27:
        return KEYS_ESCAPE;
    case 8:
    case 127:
        return KEYS_BACKSPACE;
    default:
        return (int)key;
    }
}

static void type_character(struct screen *screen, int key)
{
    char bytes[8];
    mbstate_t shift = {0};
    size_t used = strlen(screen->typed), n;

    if (key < ' ' || key >= KEYS_LEFT) {
        return;
    }
    n = wcrtomb(bytes, (wchar_t)key, &shift);
    if (n != (size_t)-1 && used + n < sizeof screen->typed) {
        memcpy(screen->typed + used, bytes, n);
        screen->typed[used + n] = '\0';
    }
}

static void erase_character(struct screen *screen)
{
    size_t n = strlen(screen->typed);

    while (n > 0 && ((unsigned char)screen->typed[n - 1] & 0xc0) == 0x80) {
        n--;
    }
    screen->typed[n > 0 ? n - 1 : 0] = '\0';
}

/* A key of a line being typed: true when the line is whole. */
static bool type_key(struct screen *screen, int key, char words[FACE_WORDS_SIZE])
{
    switch (key) {
    case KEYS_ESCAPE:
        screen->typing = false;
        return false;
    case KEYS_BACKSPACE:
        erase_character(screen);
        return false;
    case KEYS_ENTER:
        screen->typing = false;
        snprintf(words, FACE_WORDS_SIZE, "%s%s", screen->prompt, screen->typed);
        return screen->typed[0] != '\0';
    default:
        type_character(screen, key);
        return false;
    }
}

static void say(struct screen *screen, const char *text)
{
    text_copy(screen->message, sizeof screen->message, text);
    screen->message_t = NAN; /* from the next frame on */
}

static bool act(struct screen *screen, int key, const struct face_scene *scene,
                char words[FACE_WORDS_SIZE])
{
    int previous = screen->previous;

    screen->previous = 0;
    if (screen->help) {
        screen->help = false;
        return false;
    }
    screen->message[0] = '\0';
    switch (screen_keys_act(key, previous, scene, words)) {
    case SCREEN_WORDS:
        return true;
    case SCREEN_AGAIN:
        screen->previous = key;
        say(screen, words);
        return false;
    case SCREEN_TYPE:
        screen->typing = true;
        text_copy(screen->prompt, sizeof screen->prompt, words);
        screen->typed[0] = '\0';
        return false;
    case SCREEN_ZOOM:
        screen->zoom = (screen->zoom + 1) % (sizeof zooms_s / sizeof *zooms_s);
        return false;
    case SCREEN_SHOW_HELP:
        screen->help = true;
        return false;
    case SCREEN_NOTHING:
        break;
    }
    return false;
}

static int screen_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct screen *screen = self;
    wint_t key;
    int r;

    while ((r = get_wch(&key)) != ERR) {
        screen->changed = true;
        if (r == KEY_CODE_YES && key == KEY_RESIZE) {
            continue;
        }
        if (screen->typing ? type_key(screen, translate(r, key), words)
                           : act(screen, translate(r, key), scene, words)) {
            return 1;
        }
    }
    return 0;
}

/* --- frames --------------------------------------------------------------------------------- */

static void screen_record(void *self, const struct face_scene *scene, const struct record *record)
{
    struct screen *screen = self;

    (void)scene;
    (void)record;
    screen->changed = true;
}

static void screen_message(void *self, const char *text)
{
    struct screen *screen = self;
    char first[FACE_WORDS_SIZE];

    if (strchr(text, '\n')) {
        screen->help = true; /* a text of many lines is the help */
    } else {
        text_copy(first, sizeof first, text);
        say(screen, first);
    }
    screen->changed = true;
}

static void draw_help(const struct canvas *canvas)
{
    canvas_bar(canvas, 0, LOOK_BAR);
    canvas_text(canvas, 0, 1, LOOK_BAR, "keys");
    for (int i = 0, row = 2; screen_keys_help[i] && row < canvas->rows; i++) {
        row += canvas_paragraph(canvas, row, 1, canvas->rows - row, LOOK_PLAIN,
                                screen_keys_help[i]);
    }
}

static void draw(struct screen *screen, const struct face_scene *scene)
{
    struct layout_place places[LAYOUT_PANELS];
    struct canvas whole = {0, 0, getmaxy(stdscr), getmaxx(stdscr), screen->utf8, screen->dots};
    int count = layout_make(whole.rows, whole.cols, places);
    struct panel_view view = {
        .trend_s = zooms_s[screen->zoom],
        .message = screen->message,
        .typed = screen->typing ? screen->typed : NULL,
        .prompt = screen->prompt[0] ? screen->prompt : "say: ",
    };

    erase();
    if (screen->help) {
        draw_help(&whole);
    } else if (count == 0) {
        canvas_paragraph(&whole, 0, 0, whole.rows, LOOK_PLAIN,
                         "This screen is too small: 40 columns and 20 rows are needed.");
    }
    for (int i = 0; !screen->help && i < count; i++) {
        struct canvas part = whole;
        part.top = places[i].top;
        part.left = places[i].left;
        part.rows = places[i].rows;
        part.cols = places[i].cols;
        places[i].panel->draw(&part, scene, &view);
    }
    refresh();
}

static void screen_show(void *self, const struct face_scene *scene)
{
    struct screen *screen = self;

    if (screen->message[0] != '\0' && !isfinite(screen->message_t)) {
        screen->message_t = scene->t;
    }
    if (screen->message[0] != '\0' && scene->t > screen->message_t + message_s &&
        screen->previous == 0) {
        screen->message[0] = '\0';
        screen->changed = true;
    }
    if (!screen->changed && scene->t < screen->shown_t + redraw_s) {
        return;
    }
    screen->changed = false;
    screen->shown_t = scene->t;
    draw(screen, scene);
}

static double screen_wake(const void *self, double t)
{
    const struct screen *screen = self;

    return fmax(screen->shown_t + redraw_s, t);
}

const struct face_ops face_screen = {
    .name = "screen",
    .open = screen_open,
    .fd = screen_fd,
    .input = screen_input,
    .record = screen_record,
    .show = screen_show,
    .message = screen_message,
    .wake = screen_wake,
    .close = screen_close,
};
