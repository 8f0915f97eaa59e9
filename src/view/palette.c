#include "view/palette.h"

#include <string.h>
#include <strings.h>

#include "view/keyboard.h"
#include "view/looks.h"

static const struct palette_word words[] = {
    {"done", "", "Enter", "the step's work is done", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"skip", "", "s s", "skip this step", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"back", "", "b", "to the step before", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"repeat", "", "r", "this step anew", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"az ", "DEG", "a", "azimuth read off the scale", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"el ", "DEG", "e", "elevation read off the scale", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"skew ", "DEG", "w", "skew read off the scale", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved right ", "1/4 turns", "l", "a bolt was turned", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved left ", "1/4 turns", "h", "a bolt was turned", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved up ", "1/4 turns", "k", "a bolt was turned", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved down ", "1/4 turns", "j", "a bolt was turned", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved clockwise ", "5 deg", ".", "the feed was turned", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved anticlockwise ", "5 deg", ",", "the feed was turned", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"level ", "VALUE", "v", "what a meter without a cable shows", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"lock yes", "", "", "the receiver has lock; its id may follow", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"lock no", "", "", "the receiver has no lock", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"note ", "TEXT", "n", "kept with the session", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"mark", "", "m", "a mark at this moment", PALETTE_LIVE, PALETTE_SAYS, 0},
    {"pause", "", "space", "stand still", PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"play", "", "space", "go on", PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"speed ", "4", "+ -", "times as fast as it was", PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek ", "SECONDS", "", "to a time since the start", PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"forward", "", "]", "10 s on; seconds may follow", PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"rewind", "", "[", "10 s back; seconds may follow", PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"far", "", "f", "large, to read from afar; again: all of it", PALETTE_ALWAYS, PALETTE_FAR, 0},
    {"look own", "", "c", "the terminal's colours", PALETTE_ALWAYS, PALETTE_LOOK, LOOK_OWN},
    {"look dark", "", "c", "black paper", PALETTE_ALWAYS, PALETTE_LOOK, LOOK_DARK},
    {"look sunlight", "", "c", "black on white, bold", PALETTE_ALWAYS, PALETTE_LOOK, LOOK_SUNLIGHT},
    {"look mono", "", "c", "no colour", PALETTE_ALWAYS, PALETTE_LOOK, LOOK_MONO},
    {"graph time", "", "g", "the level over time", PALETTE_ALWAYS, PALETTE_GRAPH, KEYBOARD_TREND},
    {"graph angle", "", "g", "the level over the angle", PALETTE_ALWAYS, PALETTE_GRAPH,
     KEYBOARD_LOBE},
    {"graph arc", "", "g", "the satellites along azimuth", PALETTE_ALWAYS, PALETTE_GRAPH,
     KEYBOARD_ARC},
    {"zoom in", "", "z", "less time in the trend", PALETTE_ALWAYS, PALETTE_ZOOM, -1},
    {"zoom out", "", "Z", "more time in the trend", PALETTE_ALWAYS, PALETTE_ZOOM, 1},
    {"tone", "", "t", "hear the level, or be quiet", PALETTE_ALWAYS, PALETTE_TONE, 0},
    {"aloud", "", "o", "hear what the coach says, or be quiet", PALETTE_ALWAYS, PALETTE_ALOUD, 0},
    {"redraw", "", "Ctrl-L", "draw all anew", PALETTE_ALWAYS, PALETTE_REDRAW, 0},
    {"help", "", "?", "all keys", PALETTE_ALWAYS, PALETTE_SAYS, 0},
    {"quit", "", "q q", "the log is kept", PALETTE_ALWAYS, PALETTE_SAYS, 0},
};

_Static_assert(sizeof words / sizeof *words <= PALETTE_MOST, "the list has room for all");

size_t palette_match(const char *typed, bool replaying,
                     const struct palette_word *ret_list[PALETTE_MOST])
{
    size_t n = 0, typed_size = strlen(typed);

    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        size_t size = strlen(words[i].word);
        size_t both = typed_size < size ? typed_size : size;
        bool whole = typed_size <= size || words[i].word[size - 1] == ' ' || typed[size] == ' ';
        if (words[i].when != (replaying ? PALETTE_LIVE : PALETTE_REPLAY) && whole &&
            strncasecmp(typed, words[i].word, both) == 0) {
            ret_list[n++] = &words[i];
        }
    }
    return n;
}
