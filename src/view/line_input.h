/*
 * line_input.h - lines from a descriptor, without ever waiting and without changing its flags
 * (standard input is shared with whoever started us). A line that is too long is dropped whole:
 * half of one could mean something else.
 */
#ifndef VIEW_LINE_INPUT_H
#define VIEW_LINE_INPUT_H

#include <stdbool.h>
#include <stddef.h>

#include "view/face.h"

struct line_input {
    int fd; /* borrowed */
    bool ended, too_long;
    size_t used, taken; /* bytes in buffer: used in all, taken already given out */
    char buffer[2 * FACE_WORDS_SIZE];
};

void line_input_init(struct line_input *input, int fd);

/*
 * The next line, without its end. A NUL in it becomes '?'.
 *
 *   returns  1; 0 none now; -EMSGSIZE a line was too long and is gone; -EPIPE the input has ended
 */
int line_input_next(struct line_input *input, char line[FACE_WORDS_SIZE]);

#endif
