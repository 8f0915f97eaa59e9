/*
 * screen.c - the face that is looked at: composes the panels when something has changed, at most
 * some frames a second, and turns keys into words.
 */
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "view/ear.h"
#include "view/face.h"
#include "view/own_words.h"
#include "view/panel.h"
#include "view/terminal.h"

/*
 * No more frames than an eye can follow, on the whole; but two more at once, so that a reading
 * right after a frame need not wait for the next.
 */
static const double frame_s = 0.05, burst_s = 0.1;
/* A replay as fast as it goes is drawn as if it were so fast: the eye sees no more. */
static const double most_pace = 256.0;
static const double message_s = 8.0; /* a sentence stays so long */

struct screen {
    struct terminal *terminal; /* owned */
    struct keyboard keyboard;
    struct ear ear;
    enum looks look; /* as the terminal has it */
    char message[RECORD_TEXT_SIZE];
    double message_t;         /* when it came; NaN = not shown yet */
    bool changed;             /* something is to be shown */
    bool at_once;             /* and a hand is waiting for it */
    double shown_t, earned_t; /* when the last frame was; until when frames are used up */
    double pace;              /* session seconds per second */
    struct graph_point points[STATE_TREND];
    uint32_t *codes; /* owned: a cell each */
    int code_count;
};

static void screen_close(void *self)
{
    struct screen *screen = self;

    if (screen) {
        ear_finish(&screen->ear);
        terminal_close(screen->terminal);
        free(screen->codes);
        free(screen);
    }
}

static int screen_open(void **ret_self, char why[RECORD_TEXT_SIZE])
{
    struct screen *screen = calloc(1, sizeof *screen);
    int r;

    if (!screen) {
        text_copy(why, RECORD_TEXT_SIZE, fault_words(ENOMEM));
        return -ENOMEM;
    }
    ear_init(&screen->ear);
    r = terminal_open(&screen->terminal, why);
    if (r < 0) {
        screen_close(screen);
        return r;
    }
    keyboard_init(&screen->keyboard);
    looks_parse(getenv("PEAKWARD_LOOK") ? getenv("PEAKWARD_LOOK") : "", &screen->keyboard.look);
    screen->message_t = NAN;
    screen->shown_t = screen->earned_t = -INFINITY;
    screen->changed = screen->at_once = true;
    screen->pace = 1.0;
    *ret_self = screen;
    return 0;
}

static int screen_fd(const void *self)
{
    return terminal_fd(((const struct screen *)self)->terminal);
}

static void screen_message(void *self, const char *text)
{
    struct screen *screen = self;

    screen->changed = screen->at_once = true;
    if (strchr(text, '\n')) {
        /* a page of text: the help has it all */
        screen->keyboard.page = KEYBOARD_HELP;
        screen->keyboard.help_part = 0;
        return;
    }
    text_copy(screen->message, sizeof screen->message, text);
    screen->message_t = NAN;
}

/* Whether the words are for the screen itself. */
static bool obeys(struct screen *screen, const char *words)
{
    switch (own_word_find(words)) {
    case OWN_WORD_NOW:
        screen->keyboard.page = KEYBOARD_NOW;
        return true;
    case OWN_WORD_TONE:
        screen_message(screen, ear_toggle(&screen->ear, SOUND_TONE));
        return true;
    case OWN_WORD_ALOUD:
        screen_message(screen, ear_toggle(&screen->ear, SOUND_SPEECH));
        return true;
    default:
        return false;
    }
}

static int screen_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct screen *screen = self;
    uint32_t stroke;
    int r;

    while ((r = terminal_key(screen->terminal, &stroke)) == 1) {
        screen->changed = screen->at_once = true;
        screen->message[0] = '\0';
        if (keyboard_press(&screen->keyboard, scene, stroke, words) == 1 && !obeys(screen, words)) {
            return 1;
        }
    }
    return r;
}

static void screen_record(void *self, const struct face_scene *scene, const struct record *record)
{
    struct screen *screen = self;

    ear_record(&screen->ear, scene, record);
    screen->changed = true;
}

static void screen_steered(void *self, const struct face_scene *scene, bool sought)
{
    struct screen *screen = self;

    if (sought) {
        ear_steered(&screen->ear, scene, sought);
    }
    screen->changed = screen->at_once = true;
}

/* The scratch that the graph needs for a sheet of this size. */
static bool make_room(struct screen *screen, const struct sheet *sheet)
{
    int cells = sheet->rows * sheet->cols;
    uint32_t *codes;

    if (cells <= screen->code_count) {
        return true;
    }
    codes = realloc(screen->codes, (size_t)cells * sizeof *codes);
    if (!codes) {
        return false;
    }
    screen->codes = codes;
    screen->code_count = cells;
    return true;
}

/* A sentence goes after its time. */
static void age_message(struct screen *screen, double t)
{
    if (screen->message[0] == '\0') {
        return;
    }
    if (isnan(screen->message_t) || t < screen->message_t) {
        screen->message_t = t;
    } else if (t - screen->message_t > message_s * screen->pace) {
        screen->message[0] = '\0';
    }
}

/* The earliest time of another frame. */
static double next_frame(const struct screen *screen)
{
    return screen->earned_t - burst_s * screen->pace;
}

/* What is to be heard; what can't be says so. */
static void show_to_the_ear(struct screen *screen, const struct state *state, double t)
{
    const char *why = ear_show(&screen->ear, state, t);

    if (why) {
        screen_message(screen, why);
    }
}

static void compose(struct screen *screen, struct sheet *sheet, const struct face_scene *scene,
                    double t)
{
    struct keyboard *keyboard = &screen->keyboard;
    struct pane whole = pane_whole(sheet);
    struct panel_view view = {.scene = scene,
                              .t = t,
                              .keyboard = keyboard,
                              .message = screen->message,
                              .points = screen->points,
                              .codes = screen->codes};

    if (keyboard->page == KEYBOARD_HELP && keyboard->help_part >= panel_help_parts(&whole, &view)) {
        keyboard->page = KEYBOARD_NO_PAGE; /* it has been read to its end */
    }
    panels_compose(sheet, &view);
}

static void screen_show(void *self, const struct face_scene *scene)
{
    struct screen *screen = self;
    double t = fmax(scene->t, scene->state->t);
    struct sheet *sheet;

    screen->pace = fmin(scene->speed, most_pace);
    screen->changed = screen->changed || floor(t) != floor(screen->shown_t);
    if (terminal_wants_redraw(screen->terminal) || t < screen->shown_t) {
        screen->at_once = true;
        screen->earned_t = fmin(screen->earned_t, t);
    }
    if (!screen->at_once && (!screen->changed || t < next_frame(screen))) {
        return;
    }
    if (screen->look != screen->keyboard.look) {
        screen->look = screen->keyboard.look;
        terminal_set_look(screen->terminal, screen->look);
    }
    if (screen->keyboard.redraw) {
        screen->keyboard.redraw = false;
        terminal_redraw(screen->terminal);
    }
    sheet = terminal_sheet(screen->terminal);
    if (!sheet || !make_room(screen, sheet)) {
        return;
    }
    show_to_the_ear(screen, scene->state, t);
    age_message(screen, t);
    compose(screen, sheet, scene, t);
    terminal_show(screen->terminal);
    screen->changed = screen->at_once = false;
    screen->shown_t = t;
    screen->earned_t = fmax(screen->earned_t, t) + frame_s * screen->pace;
}

static double screen_wake(const void *self, double t)
{
    const struct screen *screen = self;

    /* clocks and ages count whole seconds */
    return screen->changed ? fmax(t, next_frame(screen)) : floor(t) + 1.0;
}

const struct face_ops face_screen = {
    .name = "screen",
    .open = screen_open,
    .fd = screen_fd,
    .input = screen_input,
    .record = screen_record,
    .steered = screen_steered,
    .show = screen_show,
    .message = screen_message,
    .wake = screen_wake,
    .close = screen_close,
};
