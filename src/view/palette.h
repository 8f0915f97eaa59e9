/*
 * palette.h - every action by its word: what can be typed after ':', what it does, and which words
 * begin as what has been typed so far. Pure.
 */
#ifndef VIEW_PALETTE_H
#define VIEW_PALETTE_H

#include <stdbool.h>
#include <stddef.h>

#include "view/face.h"

/* Where a word means something, or a key; bits. */
enum {
    PALETTE_LIVE = 1,
    PALETTE_ON_REQUEST = 2, /* live, with a coach that speaks when asked */
    PALETTE_REPLAY = 4,
    PALETTE_ASKING = 8, /* a replay that asks which way to turn */
    PALETTE_ALWAYS = PALETTE_LIVE | PALETTE_ON_REQUEST | PALETTE_REPLAY | PALETTE_ASKING,
};

/* What a word does to the screen alone; the others are of the grammar (words.h) or
 * of own_words.h. */
enum palette_act {
    PALETTE_SAYS, /* it is said, to the session or to the face */
    PALETTE_FAR,
    PALETTE_LOOK,  /* detail: enum looks */
    PALETTE_GRAPH, /* detail: enum keyboard_graph */
    PALETTE_ZOOM,  /* detail: +1 more time, -1 less */
    PALETTE_REDRAW,
    PALETTE_AHEAD,
};

struct palette_word {
    const char *word; /* ends in a blank when more has to follow */
    const char *more; /* what follows, for the eye: "DEG"; "" = nothing */
    const char *key;  /* the key that does the same; "" = none */
    const char *text;
    unsigned where;
    enum palette_act act;
    int detail;
};

enum { PALETTE_MOST = 80 };

/* Where a scene is. */
unsigned palette_where(const struct face_scene *scene);

/*
 * The words that what was typed may become; when it has grown past a word, that one.
 *
 *   typed     without blanks before it; "" = all words
 *   where     of palette_where()
 *   ret_list  ret_list[PALETTE_MOST], in the table's order
 *   returns   how many
 */
size_t palette_match(const char *typed, unsigned where,
                     const struct palette_word *ret_list[PALETTE_MOST]);

#endif
