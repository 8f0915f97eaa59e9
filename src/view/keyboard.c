#include "view/keyboard.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/keyboard_inside.h"

/* A nudge with a key: an eighth of a bolt's turn, or this where turns are not known. */
static const double fine_deg[AXIS_COUNT] = {0.1, 0.1, 0.5};
static const double coarse_deg[AXIS_COUNT] = {1.0, 1.0, 5.0};

static const double least_speed = 0.25, most_speed = 16.0;

/* Nobody has read a caution in less, s. */
static const double least_reading_s = 1.0;

const double keyboard_windows_s[KEYBOARD_WINDOWS] = {30.0, 60.0, 120.0, 300.0, 900.0, 3600.0};

void keyboard_init(struct keyboard *keyboard)
{
    *keyboard = (struct keyboard){.mode = KEYBOARD_KEYS, .zoom = 1, .enter_t = -INFINITY};
}

static void hint(struct keyboard *keyboard, const char *text)
{
    text_copy(keyboard->hint, sizeof keyboard->hint, text);
}

static int say(char words[FACE_WORDS_SIZE], const char *text)
{
    text_copy(words, FACE_WORDS_SIZE, text);
    return 1;
}

/* --- what is for the screen alone ----------------------------------------------------------- */

static void zoom(struct keyboard *keyboard, int by)
{
    int zoom = keyboard->zoom + by;

    keyboard->zoom = zoom < 0 ? 0 : zoom >= KEYBOARD_WINDOWS ? KEYBOARD_WINDOWS - 1 : zoom;
}

void keyboard_act(struct keyboard *keyboard, enum palette_act act, int detail)
{
    switch (act) {
    case PALETTE_FAR:
        keyboard->far = !keyboard->far;
        break;
    case PALETTE_LOOK:
        keyboard->look = (enum looks)detail;
        snprintf(keyboard->hint, sizeof keyboard->hint, _("look: %s"), looks_name(keyboard->look));
        break;
    case PALETTE_GRAPH:
        keyboard->graph = (enum keyboard_graph)detail;
        break;
    case PALETTE_ZOOM:
        zoom(keyboard, detail);
        break;
    case PALETTE_REDRAW:
        keyboard->redraw = true;
        break;
    case PALETTE_AHEAD:
        keyboard->turn_ahead = !keyboard->turn_ahead;
        break;
    case PALETTE_SAYS:
        break;
    }
}

/* --- single keys ---------------------------------------------------------------------------- */

/* What would undo work, or end it, takes the same key twice. */
static const struct {
    char key;
    const char *words;
    unsigned where;
} twice[] = {
    {'q', "quit", PALETTE_ALWAYS},
    {'s', "skip", PALETTE_LIVE},
    {'b', "back", PALETTE_LIVE},
    {'r', "repeat", PALETTE_LIVE},
};

static bool begin_twice(struct keyboard *keyboard, unsigned where, uint32_t stroke)
{
    for (size_t i = 0; i < sizeof twice / sizeof *twice; i++) {
        if ((uint32_t)twice[i].key == stroke && (twice[i].where & where)) {
            keyboard->mode = KEYBOARD_CONFIRM;
            keyboard->confirm = twice[i].key;
            return true;
        }
    }
    return false;
}

/* Any other key is a no, and does nothing else. */
static int press_twice(struct keyboard *keyboard, uint32_t stroke, char words[FACE_WORDS_SIZE])
{
    keyboard->mode = KEYBOARD_KEYS;
    for (size_t i = 0; i < sizeof twice / sizeof *twice; i++) {
        if (twice[i].key == keyboard->confirm && (uint32_t)twice[i].key == stroke) {
            return say(words, twice[i].words);
        }
    }
    return 0;
}

/* Keys that stand for words, and keys that begin a line, which ends in a blank. */
struct key_words {
    uint32_t stroke;
    const char *words;
};

/* 1 = words are said, 0 = the key was for the screen, -1 = it is none of these. */
static int press_words(struct keyboard *keyboard, const struct key_words *keys, size_t count,
                       uint32_t stroke, char words[FACE_WORDS_SIZE])
{
    for (size_t i = 0; i < count; i++) {
        size_t size = strlen(keys[i].words);
        if (keys[i].stroke == stroke && keys[i].words[size - 1] == ' ') {
            keyboard_start_line(keyboard, keys[i].words);
            return 0;
        }
        if (keys[i].stroke == stroke) {
            return say(words, keys[i].words);
        }
    }
    return -1;
}

static int press_move(const struct face_scene *scene, enum axis axis, int sign, bool coarse,
                      char words[FACE_WORDS_SIZE])
{
    const char *way = axis_way(axis, sign);

    if (isfinite(scene->state->job->mount.axes[axis].turn_deg)) {
        snprintf(words, FACE_WORDS_SIZE, "moved %s %s turns", way, coarse ? "1" : "1/8");
    } else {
        snprintf(words, FACE_WORDS_SIZE, "moved %s %g deg", way,
                 coarse ? coarse_deg[axis] : fine_deg[axis]);
    }
    return 1;
}

/* Keys that turn the antenna, or say that it was turned. */
static const struct {
    uint32_t stroke;
    enum axis axis;
    int sign;
    bool coarse;
} moves[] = {
    {STROKE_LEFT, AXIS_AZIMUTH, -1, false},
    {'h', AXIS_AZIMUTH, -1, false},
    {STROKE_RIGHT, AXIS_AZIMUTH, 1, false},
    {'l', AXIS_AZIMUTH, 1, false},
    {STROKE_UP, AXIS_ELEVATION, 1, false},
    {'k', AXIS_ELEVATION, 1, false},
    {STROKE_DOWN, AXIS_ELEVATION, -1, false},
    {'j', AXIS_ELEVATION, -1, false},
    {STROKE_SHIFT_LEFT, AXIS_AZIMUTH, -1, true},
    {'H', AXIS_AZIMUTH, -1, true},
    {STROKE_SHIFT_RIGHT, AXIS_AZIMUTH, 1, true},
    {'L', AXIS_AZIMUTH, 1, true},
    {STROKE_SHIFT_UP, AXIS_ELEVATION, 1, true},
    {'K', AXIS_ELEVATION, 1, true},
    {STROKE_SHIFT_DOWN, AXIS_ELEVATION, -1, true},
    {'J', AXIS_ELEVATION, -1, true},
    {',', AXIS_SKEW, -1, false},
    {'.', AXIS_SKEW, 1, false},
    {'<', AXIS_SKEW, -1, true},
    {'>', AXIS_SKEW, 1, true},
};

/* A digit begins what the scale of this step's axis reads. */
static void start_number(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke)
{
    static const char *const words[AXIS_COUNT] = {"az ", "el ", "skew "};
    enum axis axis = scene->state->advice.axis;

    keyboard_start_line(keyboard,
                        isfinite(scene->state->advice_t) && axis < AXIS_COUNT ? words[axis] : "");
    editor_insert(&keyboard->editor, stroke);
}

static const struct key_words live_words[] = {
    {STROKE_ENTER, "done"}, {'m', "mark"},  {'n', "note "},  {'a', "az "},
    {'e', "el "},           {'w', "skew "}, {'v', "level "},
};

/* Enter to a caution or a question that has only just come up, or from a key that is held down or
 * hit again: it was meant for what stood there before. */
static bool is_unread(struct keyboard *keyboard, const struct face_scene *scene)
{
    const struct state *state = scene->state;
    double since = fmax(keyboard->enter_t, state->advice_t); /* no advice yet is NaN */

    keyboard->enter_t = scene->t;
    return isfinite(state->advice_t) && state->advice.move == ADVICE_CONFIRM &&
           state->advice.axis == AXIS_NONE && scene->t < since + least_reading_s;
}

static int press_live(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                      char words[FACE_WORDS_SIZE])
{
    int said;

    if (stroke == STROKE_ENTER && is_unread(keyboard, scene)) {
        hint(keyboard, _("Too soon: read what stands here first, then press Enter."));
        return 0;
    }
    said = press_words(keyboard, live_words, sizeof live_words / sizeof *live_words, stroke, words);

    if (said >= 0) {
        return said;
    }
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++) {
        if (moves[i].stroke == stroke) {
            return press_move(scene, moves[i].axis, moves[i].sign, moves[i].coarse, words);
        }
    }
    if ((stroke >= '0' && stroke <= '9') || stroke == '-') {
        start_number(keyboard, scene, stroke);
    } else if (stroke == 'p' && scene->on_request) {
        return say(words, "ask");
    } else if (stroke == ' ' || stroke == '[' || stroke == ']' || stroke == '+') {
        hint(keyboard, _("That key steers a replay; this is live."));
    } else {
        hint(keyboard, _("That key means nothing here: ? shows the keys."));
    }
    return 0;
}

/* Twice or half as fast; beyond the fastest, as fast as it goes, and back. */
static int press_speed(const struct face_scene *scene, double factor, char words[FACE_WORDS_SIZE])
{
    double speed = isfinite(scene->speed) ? scene->speed * factor
                   : factor < 1.0         ? most_speed
                                          : INFINITY;

    if (speed > most_speed) {
        return say(words, "speed max");
    }
    snprintf(words, FACE_WORDS_SIZE, "speed %g", fmax(speed, least_speed));
    return 1;
}

/* Keys that steer a replay, and the words they stand for. */
static const struct key_words steers[] = {
    {'[', "rewind 10"},
    {'h', "rewind 10"},
    {STROKE_LEFT, "rewind 10"},
    {']', "forward 10"},
    {'l', "forward 10"},
    {STROKE_RIGHT, "forward 10"},
    {',', "previous"},
    {'.', "next"},
    {'k', "seek previous step"},
    {STROKE_UP, "seek previous step"},
    {'j', "seek next step"},
    {STROKE_DOWN, "seek next step"},
    {'A', "seek previous advice"},
    {'a', "seek next advice"},
    {'M', "seek previous mark"},
    {'m', "seek next mark"},
    {STROKE_HOME, "seek start"},
    {STROKE_END, "seek end"},
    {'n', "note "},
};

/* An answer begins with its way; what is typed behind it is how far. */
static bool begin_answer(struct keyboard *keyboard, uint32_t stroke)
{
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++) {
        if (moves[i].stroke == stroke && !moves[i].coarse) {
            char text[32];
            snprintf(text, sizeof text, "%s ", axis_way(moves[i].axis, moves[i].sign));
            keyboard_start_line(keyboard, text);
            return true;
        }
    }
    return false;
}

/* A question is to be answered: time stands still, so there is nothing to steer. */
static int press_asked(struct keyboard *keyboard, uint32_t stroke, char words[FACE_WORDS_SIZE])
{
    if (stroke == STROKE_ENTER) {
        return say(words, "pass");
    }
    if (!begin_answer(keyboard, stroke)) {
        hint(keyboard, _("First the answer: an arrow begins it, Enter passes."));
    }
    return 0;
}

static int press_replay(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                        char words[FACE_WORDS_SIZE])
{
    int said = press_words(keyboard, steers, sizeof steers / sizeof *steers, stroke, words);

    if (said >= 0) {
        return said;
    }
    switch (stroke) {
    case ' ':
        return say(words, scene->paused ? "play" : "pause");
    case '+':
    case '=':
        return press_speed(scene, 2.0, words);
    case '-':
        return press_speed(scene, 0.5, words);
    case 'u':
        keyboard_act(keyboard, PALETTE_AHEAD, 0);
        return 0;
    default:
        hint(keyboard, _("That key means nothing in a replay: ? shows the keys."));
        return 0;
    }
}

static int press_key(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                     char words[FACE_WORDS_SIZE])
{
    if (begin_twice(keyboard, palette_where(scene), stroke)) {
        return 0;
    }
    switch (stroke) {
    case '?':
    case STROKE_HELP:
        keyboard->page = KEYBOARD_HELP;
        keyboard->help_part = 0;
        return 0;
    case 'i':
        return say(words, "now");
    case ':':
        keyboard_start_line(keyboard, "");
        return 0;
    case 'c':
        keyboard_act(keyboard, PALETTE_LOOK, (keyboard->look + 1) % LOOK_COUNT);
        return 0;
    case 'g':
        keyboard_act(keyboard, PALETTE_GRAPH, (keyboard->graph + 1) % KEYBOARD_GRAPHS);
        return 0;
    case 't':
        return say(words, "tone");
    case 'o':
        return say(words, "aloud");
    case 'f':
        keyboard_act(keyboard, PALETTE_FAR, 0);
        return 0;
    case 'z':
        keyboard_act(keyboard, PALETTE_ZOOM, -1);
        return 0;
    case 'Z':
        keyboard_act(keyboard, PALETTE_ZOOM, 1);
        return 0;
    case STROKE_ESCAPE:
    case STROKE_NONE:
        return 0;
    default:
        return scene->asking      ? press_asked(keyboard, stroke, words)
               : scene->replaying ? press_replay(keyboard, scene, stroke, words)
                                  : press_live(keyboard, scene, stroke, words);
    }
}

int keyboard_press(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                   char words[FACE_WORDS_SIZE])
{
    keyboard->hint[0] = '\0';
    if (keyboard->page == KEYBOARD_HELP && stroke == '?') {
        keyboard->help_part++;
        return 0;
    }
    if (keyboard->page != KEYBOARD_NO_PAGE) {
        keyboard->page = KEYBOARD_NO_PAGE;
        return 0;
    }
    switch (keyboard->mode) {
    case KEYBOARD_LINE:
        return keyboard_press_in_line(keyboard, palette_where(scene), stroke, words);
    case KEYBOARD_CONFIRM:
        return press_twice(keyboard, stroke, words);
    default:
        return press_key(keyboard, scene, stroke, words);
    }
}
