#include "view/palette.h"

#include <string.h>
#include <strings.h>

#include "base/tongue.h"
#include "view/keyboard.h"
#include "view/looks.h"

static const struct palette_word words[] = {
    {"done", "", N_("Enter"), N_("the step's work is done"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"skip", "", "s s", N_("skip this step"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"back", "", "b b", N_("to the step before"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"repeat", "", "r r", N_("this step anew"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"az ", N_("DEG"), "a", N_("azimuth read off the scale"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"el ", N_("DEG"), "e", N_("elevation read off the scale"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"skew ", N_("DEG"), "w", N_("skew read off the scale"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"ask", "", "p", N_("hear the coach for a while"), PALETTE_ON_REQUEST, PALETTE_SAYS, 0},
    {"moved right ", "1/4 turns", "l", N_("a bolt was turned"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved left ", "1/4 turns", "h", N_("a bolt was turned"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved up ", "1/4 turns", "k", N_("a bolt was turned"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved down ", "1/4 turns", "j", N_("a bolt was turned"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved clockwise ", "5 deg", ".", N_("the feed was turned"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"moved anticlockwise ", "5 deg", ",", N_("the feed was turned"), PALETTE_LIVE, PALETTE_SAYS,
     0},
    {"level ", N_("VALUE"), "v", N_("what a meter without a cable shows"), PALETTE_LIVE,
     PALETTE_SAYS, 0},
    {"lock yes", "", "", N_("the receiver has lock; its id may follow"), PALETTE_LIVE, PALETTE_SAYS,
     0},
    {"lock no", "", "", N_("the receiver has no lock"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"download ", "MBPS", "", N_("what a speed test came to"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"upload ", "MBPS", "", N_("what a speed test came to"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"isolation ", "DB", "", N_("as the network's operator has it"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"note ", N_("TEXT"), "n", N_("kept with the session"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"mark", "", "m", N_("a mark at this moment"), PALETTE_LIVE, PALETTE_SAYS, 0},
    {"right ", "0.4 deg", "l", N_("the answer"), PALETTE_ASKING, PALETTE_SAYS, 0},
    {"left ", "0.4 deg", "h", N_("the answer"), PALETTE_ASKING, PALETTE_SAYS, 0},
    {"up ", "1/4 turns", "k", N_("the answer"), PALETTE_ASKING, PALETTE_SAYS, 0},
    {"down ", "1/4 turns", "j", N_("the answer"), PALETTE_ASKING, PALETTE_SAYS, 0},
    {"clockwise ", "5 deg", ".", N_("the answer"), PALETTE_ASKING, PALETTE_SAYS, 0},
    {"anticlockwise ", "5 deg", ",", N_("the answer"), PALETTE_ASKING, PALETTE_SAYS, 0},
    {"pass", "", N_("Enter"), N_("no answer"), PALETTE_ASKING, PALETTE_SAYS, 0},
    {"pause", "", N_("space"), N_("stand still"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"play", "", N_("space"), N_("go on"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"speed ", "4", "+ -", N_("times as fast as it was; or max"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"next", "", ".", N_("one reading on"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"previous", "", ",", N_("one reading back"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek ", "4:10", "", N_("to a time since the start"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek start", "", N_("Home"), N_("to the beginning"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek end", "", N_("End"), N_("to the end"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek step ", N_("NAME"), "", N_("to a step by its name or number"), PALETTE_REPLAY,
     PALETTE_SAYS, 0},
    {"seek next step", "", "j", N_("the next step"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek previous step", "", "k", N_("the step before"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek next advice", "", "a", N_("the next advice"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek previous advice", "", "A", N_("the advice before"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek next mark", "", "m", N_("the next mark or note"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"seek previous mark", "", "M", N_("the mark before"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"forward", "", "]", N_("10 s on; seconds may follow"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"rewind", "", "[", N_("10 s back; seconds may follow"), PALETTE_REPLAY, PALETTE_SAYS, 0},
    {"far", "", "f", N_("large, to read from afar; again: all of it"), PALETTE_ALWAYS, PALETTE_FAR,
     0},
    {"look own", "", "c", N_("the terminal's colours"), PALETTE_ALWAYS, PALETTE_LOOK, LOOK_OWN},
    {"look dark", "", "c", N_("black paper"), PALETTE_ALWAYS, PALETTE_LOOK, LOOK_DARK},
    {"look sunlight", "", "c", N_("black on white, bold"), PALETTE_ALWAYS, PALETTE_LOOK,
     LOOK_SUNLIGHT},
    {"look mono", "", "c", N_("no colour"), PALETTE_ALWAYS, PALETTE_LOOK, LOOK_MONO},
    {"graph time", "", "g", N_("the level over time"), PALETTE_ALWAYS, PALETTE_GRAPH,
     KEYBOARD_TREND},
    {"graph angle", "", "g", N_("the level over the angle"), PALETTE_ALWAYS, PALETTE_GRAPH,
     KEYBOARD_LOBE},
    {"graph arc", "", "g", N_("the satellites along azimuth"), PALETTE_ALWAYS, PALETTE_GRAPH,
     KEYBOARD_ARC},
    {"zoom in", "", "z", N_("less time in the trend"), PALETTE_ALWAYS, PALETTE_ZOOM, -1},
    {"zoom out", "", "Z", N_("more time in the trend"), PALETTE_ALWAYS, PALETTE_ZOOM, 1},
    {"now", "", "i", N_("how all stands: steps, sources, notes"), PALETTE_ALWAYS, PALETTE_SAYS, 0},
    {"tone", "", "t", N_("hear the level, or be quiet"), PALETTE_ALWAYS, PALETTE_SAYS, 0},
    {"aloud", "", "o", N_("hear what the coach says, or be quiet"), PALETTE_ALWAYS, PALETTE_SAYS,
     0},
    {"note ", N_("TEXT"), "n", N_("kept in the copy that --notes names"), PALETTE_REPLAY,
     PALETTE_SAYS, 0},
    {"ahead", "", "u", N_("uncover, cover what is to come"), PALETTE_REPLAY, PALETTE_AHEAD, 0},
    {"redraw", "", N_("Ctrl-L"), N_("draw all anew"), PALETTE_ALWAYS, PALETTE_REDRAW, 0},
    {"help", "", "?", N_("all keys"), PALETTE_ALWAYS, PALETTE_SAYS, 0},
    {"quit", "", "q q", N_("the log is kept"), PALETTE_ALWAYS, PALETTE_SAYS, 0},
};

_Static_assert(sizeof words / sizeof *words <= PALETTE_MOST, "the list has room for all");

unsigned palette_where(const struct face_scene *scene)
{
    return scene->asking       ? PALETTE_ASKING
           : scene->replaying  ? PALETTE_REPLAY
           : scene->on_request ? PALETTE_LIVE | PALETTE_ON_REQUEST
                               : PALETTE_LIVE;
}

/* The longest word that what was typed has grown past; 0 = none. */
static size_t longest_past(const char *typed, unsigned where)
{
    size_t longest = 0, typed_size = strlen(typed);

    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        size_t size = strlen(words[i].word);
        if ((words[i].where & where) && size < typed_size &&
            (words[i].word[size - 1] == ' ' || typed[size] == ' ') && size > longest &&
            strncasecmp(typed, words[i].word, size) == 0) {
            longest = size;
        }
    }
    return longest;
}

size_t palette_match(const char *typed, unsigned where,
                     const struct palette_word *ret_list[PALETTE_MOST])
{
    size_t n = 0, typed_size = strlen(typed), longest = longest_past(typed, where);

    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        size_t size = strlen(words[i].word);
        size_t both = typed_size < size ? typed_size : size;
        /* a word that it has grown past counts when it has grown past no longer one */
        bool whole = typed_size <= size || size == longest;
        if ((words[i].where & where) && whole && strncasecmp(typed, words[i].word, both) == 0) {
            ret_list[n++] = &words[i];
        }
    }
    return n;
}
