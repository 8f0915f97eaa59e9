/*
 * looks.h - how each ink looks on a terminal: in its own colours, dark, for sunlight, or without
 * colour; with as many colours as it has. Colour repeats what words and shapes say. Pure.
 */
#ifndef VIEW_LOOKS_H
#define VIEW_LOOKS_H

#include <stdbool.h>

#include "view/sheet.h"

enum looks {
    LOOK_OWN,      /* the terminal's own paper, and colours that show on white and on black */
    LOOK_DARK,     /* black paper, for eyes that are used to the night */
    LOOK_SUNLIGHT, /* black on white, bold */
    LOOK_MONO,     /* no colour: bold, underlined and reversed */
    LOOK_COUNT
};

struct looks_style {
    int text, paper; /* index into the terminal's colours; -1 = its own */
    bool bold, underlined, reversed;
};

/* "own", "dark", "sunlight", "mono", and back (false = unknown). */
const char *looks_name(enum looks look);
bool looks_parse(const char *name, enum looks *ret_look);

/*
 * The style of an ink.
 *
 *   colours  0 none (then all but sunlight look like mono, and sunlight is reversed as a whole),
 *            8, 16, or 256
 */
struct looks_style looks_style(enum looks look, enum ink ink, int colours);

#endif
