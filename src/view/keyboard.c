#include "view/keyboard.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/palette.h"

/* A nudge with a key: an eighth of a bolt's turn, or this where turns are not known. */
static const double fine_deg[AXIS_COUNT] = {0.1, 0.1, 0.5};
static const double coarse_deg[AXIS_COUNT] = {1.0, 1.0, 5.0};

static const double least_speed = 0.25, most_speed = 16.0;

const double keyboard_windows_s[KEYBOARD_WINDOWS] = {30.0, 60.0, 120.0, 300.0, 900.0, 3600.0};

void keyboard_init(struct keyboard *keyboard)
{
    *keyboard = (struct keyboard){.mode = KEYBOARD_KEYS, .zoom = 1};
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

static void start_line(struct keyboard *keyboard, const char *text)
{
    keyboard->mode = KEYBOARD_LINE;
    keyboard->chosen = -1;
    editor_start(&keyboard->editor, text);
}

static void zoom(struct keyboard *keyboard, int by)
{
    int zoom = keyboard->zoom + by;

    keyboard->zoom = zoom < 0 ? 0 : zoom >= KEYBOARD_WINDOWS ? KEYBOARD_WINDOWS - 1 : zoom;
}

static void set_look(struct keyboard *keyboard, enum looks look)
{
    keyboard->look = look;
    snprintf(keyboard->hint, sizeof keyboard->hint, _("look: %s"), looks_name(look));
}

static void hear_level(struct keyboard *keyboard)
{
    keyboard->hear_level = !keyboard->hear_level;
    hint(keyboard, keyboard->hear_level ? _("The level is to be heard: the higher the better.")
                                        : _("The level is not to be heard any more."));
}

static void hear_coach(struct keyboard *keyboard)
{
    keyboard->hear_coach = !keyboard->hear_coach;
    hint(keyboard, keyboard->hear_coach ? _("What the coach says is read aloud.")
                                        : _("Nothing is read aloud any more."));
}

/* --- typing words --------------------------------------------------------------------------- */

/* The word that is meant by what was typed: the chosen one, or the only one; NULL = as typed. */
static const struct palette_word *meant(const struct keyboard *keyboard,
                                        const struct palette_word *const *list, size_t count)
{
    if (keyboard->chosen >= 0 && keyboard->chosen < (int)count) {
        return list[keyboard->chosen];
    }
    for (size_t i = 0; i < count; i++) {
        if (strcasecmp(list[i]->word, keyboard->editor.text) == 0) {
            return list[i];
        }
    }
    return count == 1 && keyboard->editor.text[0] ? list[0] : NULL;
}

/* Take a word into the line as far as what was typed is not past it. */
static void complete(struct keyboard *keyboard, const struct palette_word *word)
{
    if (strlen(keyboard->editor.text) < strlen(word->word)) {
        editor_start(&keyboard->editor, word->word);
    }
    keyboard->chosen = -1;
}

static void act(struct keyboard *keyboard, const struct palette_word *word)
{
    switch (word->act) {
    case PALETTE_FAR:
        keyboard->far = !keyboard->far;
        break;
    case PALETTE_LOOK:
        set_look(keyboard, (enum looks)word->detail);
        break;
    case PALETTE_GRAPH:
        keyboard->graph = (enum keyboard_graph)word->detail;
        break;
    case PALETTE_ZOOM:
        zoom(keyboard, word->detail);
        break;
    case PALETTE_REDRAW:
        keyboard->redraw = true;
        break;
    case PALETTE_AHEAD:
        keyboard->turn_ahead = !keyboard->turn_ahead;
        break;
    case PALETTE_TONE:
        hear_level(keyboard);
        break;
    case PALETTE_ALOUD:
        hear_coach(keyboard);
        break;
    case PALETTE_SAYS:
        break;
    }
}

static int enter_line(struct keyboard *keyboard, bool replaying, char words[FACE_WORDS_SIZE])
{
    const struct palette_word *list[PALETTE_MOST], *word;
    size_t count = palette_match(keyboard->editor.text, replaying, list);

    word = meant(keyboard, list, count);
    if (!word && count > 1 && keyboard->editor.text[0]) {
        hint(keyboard, _("Several words begin like that: type more, or choose with the arrows."));
        return 0;
    }
    if (word) {
        size_t size = strlen(word->word);
        complete(keyboard, word);
        if (word->word[size - 1] == ' ' && strlen(keyboard->editor.text) == size) {
            return 0; /* what follows is still to be typed */
        }
    }
    keyboard->mode = KEYBOARD_KEYS;
    if (word && word->act != PALETTE_SAYS) {
        act(keyboard, word);
        return 0;
    }
    return say(words, keyboard->editor.text);
}

static void complete_line(struct keyboard *keyboard, bool replaying)
{
    const struct palette_word *list[PALETTE_MOST];
    size_t count = palette_match(keyboard->editor.text, replaying, list);

    if (count > 0) {
        complete(
            keyboard,
            list[keyboard->chosen >= 0 && keyboard->chosen < (int)count ? keyboard->chosen : 0]);
    }
}

static void choose(struct keyboard *keyboard, bool replaying, int by)
{
    const struct palette_word *list[PALETTE_MOST];
    int count = (int)palette_match(keyboard->editor.text, replaying, list);

    if (count > 0) {
        keyboard->chosen = keyboard->chosen < 0 ? (by > 0 ? 0 : count - 1)
                                                : (keyboard->chosen + by + count) % count;
    }
}

static int press_in_line(struct keyboard *keyboard, bool replaying, uint32_t stroke,
                         char words[FACE_WORDS_SIZE])
{
    struct editor *editor = &keyboard->editor;

    switch (stroke) {
    case STROKE_ENTER:
        return enter_line(keyboard, replaying, words);
    case STROKE_TAB:
        complete_line(keyboard, replaying);
        return 0;
    case STROKE_UP:
    case 'P' & 0x1f:
        choose(keyboard, replaying, -1);
        return 0;
    case STROKE_DOWN:
    case 'N' & 0x1f:
        choose(keyboard, replaying, 1);
        return 0;
    case STROKE_ESCAPE:
        keyboard->mode = KEYBOARD_KEYS;
        return 0;
    case STROKE_BACKSPACE:
        if (editor->text[0] == '\0') {
            keyboard->mode = KEYBOARD_KEYS;
        }
        keyboard->chosen = -1;
        editor_delete_before(editor);
        return 0;
    case STROKE_DELETE:
    case 'D' & 0x1f:
        editor_delete_at(editor);
        return 0;
    case STROKE_LEFT:
        editor_go(editor, -1);
        return 0;
    case STROKE_RIGHT:
        editor_go(editor, 1);
        return 0;
    case STROKE_HOME:
    case 'A' & 0x1f:
        editor_go_start(editor);
        return 0;
    case STROKE_END:
    case 'E' & 0x1f:
        editor_go_end(editor);
        return 0;
    case 'W' & 0x1f:
        editor_delete_word(editor);
        return 0;
    case 'U' & 0x1f:
        editor_delete_to_start(editor);
        return 0;
    case 'K' & 0x1f:
        editor_delete_to_end(editor);
        return 0;
    default:
        keyboard->chosen = -1;
        editor_insert(editor, stroke);
        return 0;
    }
}

/* --- single keys ---------------------------------------------------------------------------- */

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

    start_line(keyboard, isfinite(scene->state->advice_t) && axis < AXIS_COUNT ? words[axis] : "");
    editor_insert(&keyboard->editor, stroke);
}

static int press_live(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                      char words[FACE_WORDS_SIZE])
{
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++) {
        if (moves[i].stroke == stroke) {
            return press_move(scene, moves[i].axis, moves[i].sign, moves[i].coarse, words);
        }
    }
    if ((stroke >= '0' && stroke <= '9') || stroke == '-') {
        start_number(keyboard, scene, stroke);
        return 0;
    }
    switch (stroke) {
    case STROKE_ENTER:
        return say(words, "done");
    case 's':
        keyboard->mode = KEYBOARD_CONFIRM_SKIP;
        return 0;
    case 'b':
        return say(words, "back");
    case 'r':
        return say(words, "repeat");
    case 'm':
        return say(words, "mark");
    case 'n':
        start_line(keyboard, "note ");
        return 0;
    case 'a':
        start_line(keyboard, "az ");
        return 0;
    case 'e':
        start_line(keyboard, "el ");
        return 0;
    case 'w':
        start_line(keyboard, "skew ");
        return 0;
    case 'v':
        start_line(keyboard, "level ");
        return 0;
    case ' ':
    case '[':
    case ']':
    case '+':
        hint(keyboard, _("That key steers a replay; this is live."));
        return 0;
    default:
        hint(keyboard, _("That key means nothing here: ? shows the keys."));
        return 0;
    }
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
static const struct {
    uint32_t stroke;
    const char *words;
} steers[] = {
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
};

/* An answer begins with its way; what is typed behind it is how far. */
static bool press_answer(struct keyboard *keyboard, uint32_t stroke)
{
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++) {
        if (moves[i].stroke == stroke && !moves[i].coarse) {
            char text[32];
            snprintf(text, sizeof text, "%s ", axis_way(moves[i].axis, moves[i].sign));
            start_line(keyboard, text);
            return true;
        }
    }
    return false;
}

static int press_replay(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                        char words[FACE_WORDS_SIZE])
{
    if (scene->asking && press_answer(keyboard, stroke)) {
        return 0;
    }
    if (scene->asking && stroke == STROKE_ENTER) {
        return say(words, "pass");
    }
    for (size_t i = 0; i < sizeof steers / sizeof *steers; i++) {
        if (steers[i].stroke == stroke) {
            return say(words, steers[i].words);
        }
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
        keyboard->turn_ahead = !keyboard->turn_ahead;
        return 0;
    case 'n':
        start_line(keyboard, "note ");
        return 0;
    default:
        hint(keyboard, _("That key means nothing in a replay: ? shows the keys."));
        return 0;
    }
}

static int press_key(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                     char words[FACE_WORDS_SIZE])
{
    switch (stroke) {
    case '?':
    case STROKE_HELP:
        keyboard->help = true;
        return 0;
    case ':':
        start_line(keyboard, "");
        return 0;
    case 'q':
        keyboard->mode = KEYBOARD_CONFIRM_QUIT;
        return 0;
    case 'c':
        set_look(keyboard, (enum looks)((keyboard->look + 1) % LOOK_COUNT));
        return 0;
    case 'g':
        keyboard->graph = (enum keyboard_graph)((keyboard->graph + 1) % KEYBOARD_GRAPHS);
        return 0;
    case 't':
        hear_level(keyboard);
        return 0;
    case 'o':
        hear_coach(keyboard);
        return 0;
    case 'f':
        keyboard->far = !keyboard->far;
        return 0;
    case 'z':
        zoom(keyboard, -1);
        return 0;
    case 'Z':
        zoom(keyboard, 1);
        return 0;
    case STROKE_ESCAPE:
    case STROKE_NONE:
        return 0;
    default:
        return scene->replaying ? press_replay(keyboard, scene, stroke, words)
                                : press_live(keyboard, scene, stroke, words);
    }
}

int keyboard_press(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                   char words[FACE_WORDS_SIZE])
{
    enum keyboard_mode mode = keyboard->mode;

    keyboard->hint[0] = '\0';
    if (keyboard->help) {
        keyboard->help = false;
        return 0;
    }
    switch (mode) {
    case KEYBOARD_LINE:
        return press_in_line(keyboard, scene->replaying, stroke, words);
    case KEYBOARD_CONFIRM_QUIT:
    case KEYBOARD_CONFIRM_SKIP:
        /* any other key is a no, and does nothing else */
        keyboard->mode = KEYBOARD_KEYS;
        if (mode == KEYBOARD_CONFIRM_QUIT && stroke == 'q') {
            return say(words, "quit");
        }
        return mode == KEYBOARD_CONFIRM_SKIP && stroke == 's' ? say(words, "skip") : 0;
    default:
        return press_key(keyboard, scene, stroke, words);
    }
}
