/*
 * palette.h - every action by its word: what can be typed after ':', what it does, and which words
 * begin as what has been typed so far. Pure.
 */
#ifndef VIEW_PALETTE_H
#define VIEW_PALETTE_H

#include <stdbool.h>
#include <stddef.h>

enum palette_when { PALETTE_ALWAYS, PALETTE_LIVE, PALETTE_REPLAY };

/* What a word does to the screen alone; the others are of the grammar (words.h). */
enum palette_act {
    PALETTE_SAYS, /* it is said to the session */
    PALETTE_FAR,
    PALETTE_LOOK,  /* detail: enum looks */
    PALETTE_GRAPH, /* detail: enum keyboard_graph */
    PALETTE_ZOOM,  /* detail: +1 more time, -1 less */
    PALETTE_REDRAW,
    PALETTE_AHEAD,
    PALETTE_TONE,
    PALETTE_ALOUD,
};

struct palette_word {
    const char *word; /* ends in a blank when more has to follow */
    const char *more; /* what follows, for the eye: "DEG"; "" = nothing */
    const char *key;  /* the key that does the same; "" = none */
    const char *text;
    enum palette_when when;
    enum palette_act act;
    int detail;
};

enum { PALETTE_MOST = 64 };

/*
 * The words that what was typed may become; when it has grown past a word, that one.
 *
 *   typed     without blanks before it; "" = all words
 *   ret_list  ret_list[PALETTE_MOST], in the table's order
 *   returns   how many
 */
size_t palette_match(const char *typed, bool replaying,
                     const struct palette_word *ret_list[PALETTE_MOST]);

#endif
