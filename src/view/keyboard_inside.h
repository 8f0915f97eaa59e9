/* keyboard_inside.h - what the files of the keyboard share. */
#ifndef VIEW_KEYBOARD_INSIDE_H
#define VIEW_KEYBOARD_INSIDE_H

#include "view/keyboard.h"
#include "view/palette.h"

/* What a key or a word does to the screen alone. */
void keyboard_act(struct keyboard *keyboard, enum palette_act act, int detail);

/* Begin to type, with this in the line. */
void keyboard_start_line(struct keyboard *keyboard, const char *text);

/* A key while words are typed; as keyboard_press(). */
int keyboard_press_in_line(struct keyboard *keyboard, unsigned where, uint32_t stroke,
                           char words[FACE_WORDS_SIZE]);

#endif
