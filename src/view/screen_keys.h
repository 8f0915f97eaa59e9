/* screen_keys.h - what a key means: words of the operator, or something for the screen. Pure. */
#ifndef VIEW_SCREEN_KEYS_H
#define VIEW_SCREEN_KEYS_H

#include "view/face.h"

/* Keys without a character, as numbers beyond any character. */
enum {
    KEYS_LEFT = 0x200000,
    KEYS_RIGHT,
    KEYS_UP,
    KEYS_DOWN,
    KEYS_ENTER,
    KEYS_ESCAPE,
    KEYS_BACKSPACE,
    KEYS_HELP,
};

enum screen_action {
    SCREEN_NOTHING,
    SCREEN_WORDS,  /* words are filled */
    SCREEN_AGAIN,  /* the same key must come a second time; words hold what to say about it */
    SCREEN_TYPE,   /* begin to type a line; words hold what goes before it */
    SCREEN_ZOOM,
    SCREEN_SHOW_HELP,
};

/*
 * What a key does.
 *
 *   key       a character or one of the above
 *   previous  the key before it, when that was answered by SCREEN_AGAIN; else 0
 *   words     FACE_WORDS_SIZE
 */
enum screen_action screen_keys_act(int key, int previous, const struct face_scene *scene,
                                   char *words);

/* The lines of the help panel; ended by NULL. */
extern const char *const screen_keys_help[];

#endif
