/* keyboard_help.c - the keys and what they do, for whoever asks. */
#include "base/tongue.h"
#include "view/keyboard.h"
#include "view/palette.h"

const struct keyboard_help keyboard_help[] = {
    {N_("Enter"), N_("done: the step's work is done, or the question is answered"), PALETTE_LIVE},
    {"s s", N_("skip this step (twice)"), PALETTE_LIVE},
    {"b b", N_("back to the step before (twice)"), PALETTE_LIVE},
    {"r r", N_("repeat this step (twice)"), PALETTE_LIVE},
    {N_("arrows, h j k l"), N_("moved: 1/8 turn of that bolt, or 0.1°"), PALETTE_LIVE},
    {N_("Shift, H J K L"), N_("moved: a whole turn, or 1°"), PALETTE_LIVE},
    {", . < >", N_("moved the feed: 1/8 turn, or 0.5°; a turn, or 5°"), PALETTE_LIVE},
    {N_("0 to 9"), N_("type what this step's scale reads"), PALETTE_LIVE},
    {"a e w v", N_("type azimuth, elevation, skew, a level"), PALETTE_LIVE},
    {"n", N_("type a note"), PALETTE_LIVE},
    {"m", N_("set a mark"), PALETTE_LIVE},
    {"p", N_("ask the coach; it speaks for a while"), PALETTE_ON_REQUEST},
    {N_("arrows, h j k l"), N_("the way to turn, then type how far"), PALETTE_ASKING},
    {", .", N_("the way to turn the feed, then type how far"), PALETTE_ASKING},
    {N_("Enter"), N_("pass: no answer"), PALETTE_ASKING},
    {N_("space"), N_("pause, play"), PALETTE_REPLAY},
    {N_("[ ]  left right"), N_("10 s back, forward"), PALETTE_REPLAY},
    {", .", N_("one reading back, forward"), PALETTE_REPLAY},
    {N_("up down, k j"), N_("the step before, the next step"), PALETTE_REPLAY},
    {"A a", N_("the advice before, the next advice"), PALETTE_REPLAY},
    {"M m", N_("the mark before, the next mark"), PALETTE_REPLAY},
    {"+ -", N_("twice, half as fast: 0.25 to 16 times, then max"), PALETTE_REPLAY},
    {"u", N_("uncover, cover what is ahead"), PALETTE_REPLAY},
    {"n", N_("type a note, for the copy that --notes names"), PALETTE_REPLAY},
    {":", N_("words: every action by its name; Tab completes"), PALETTE_ALWAYS},
    {"f", N_("large, to read from afar; f again: all of it"), PALETTE_ALWAYS},
    {"i", N_("how all stands: steps, sources, notes"), PALETTE_ALWAYS},
    {"c", N_("colours: the terminal's own, dark, sunlight, mono"), PALETTE_ALWAYS},
    {"t o", N_("hear the level; hear what the coach says"), PALETTE_ALWAYS},
    {"g", N_("graph: level over time, over angle, along the arc"), PALETTE_ALWAYS},
    {"z Z", N_("trend: less, more time"), PALETTE_ALWAYS},
    {"? F1", N_("this help; any key closes it (Ctrl-L draws anew)"), PALETTE_ALWAYS},
    {"q q", N_("quit (twice); the log is kept"), PALETTE_ALWAYS},
};
const size_t keyboard_help_count = sizeof keyboard_help / sizeof *keyboard_help;
