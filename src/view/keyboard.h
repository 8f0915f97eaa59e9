/*
 * keyboard.h - from keys to words: few keys, the same everywhere, nothing destructive without a
 * second press. Pure.
 */
#ifndef VIEW_KEYBOARD_H
#define VIEW_KEYBOARD_H

#include <stdbool.h>
#include <stdint.h>

#include "view/editor.h"
#include "view/face.h"
#include "view/looks.h"

/* A key that is no character; characters are their code points. */
enum stroke {
    STROKE_NONE = 0x110000, /* past Unicode */
    STROKE_ENTER,
    STROKE_ESCAPE,
    STROKE_LEFT,
    STROKE_RIGHT,
    STROKE_UP,
    STROKE_DOWN,
    STROKE_SHIFT_LEFT,
    STROKE_SHIFT_RIGHT,
    STROKE_SHIFT_UP,
    STROKE_SHIFT_DOWN,
    STROKE_BACKSPACE,
    STROKE_DELETE,
    STROKE_HOME,
    STROKE_END,
    STROKE_HELP,
    STROKE_TAB,
};

enum keyboard_mode {
    KEYBOARD_KEYS,    /* each key means something */
    KEYBOARD_LINE,    /* words are being typed */
    KEYBOARD_CONFIRM, /* a key was pressed that takes a second press */
};

/* What the place for graphs shows. */
enum keyboard_graph { KEYBOARD_TREND, KEYBOARD_LOBE, KEYBOARD_ARC, KEYBOARD_GRAPHS };

/* What covers the screen until the next key. */
enum keyboard_page {
    KEYBOARD_NO_PAGE,
    KEYBOARD_HELP,
    KEYBOARD_NOW, /* steps, sources, notes */
};

enum { KEYBOARD_HINT_SIZE = 128 };

struct keyboard {
    enum keyboard_mode mode;
    char confirm; /* KEYBOARD_CONFIRM: the key, one of q s b r */
    struct editor editor;
    int chosen; /* of the words that match what is typed; -1 = none */
    enum keyboard_page page;
    int help_part; /* of the help: 0 = the first; whoever shows it closes it after the last */
    bool far;      /* the layout for reading from afar */
    enum keyboard_graph graph;
    enum looks look;               /* the colours */
    bool turn_ahead;               /* a replay: what is ahead is shown where it was covered, and
                                      the other way round */
    bool redraw;                   /* all is to be drawn anew; whoever does it clears this */
    int zoom;                      /* of the trend: index into keyboard_windows_s */
    double enter_t;                /* when Enter was pressed last, s; -INFINITY = never */
    char hint[KEYBOARD_HINT_SIZE]; /* a sentence about the last key; "" = none */
};

/* Spans of time that the trend can show, s. */
enum { KEYBOARD_WINDOWS = 6 };
extern const double keyboard_windows_s[KEYBOARD_WINDOWS];

void keyboard_init(struct keyboard *keyboard);

/*
 * One key.
 *
 *   stroke   a code point or one of the strokes
 *   returns  1 and words (words.h, own_words.h); 0 when it was for the screen alone
 */
int keyboard_press(struct keyboard *keyboard, const struct face_scene *scene, uint32_t stroke,
                   char words[FACE_WORDS_SIZE]);

/* Keys and what they do, for the help panel. */
struct keyboard_help {
    const char *keys, *text;
    unsigned where; /* bits of palette.h */
};
extern const struct keyboard_help keyboard_help[];
extern const size_t keyboard_help_count;

#endif
