/* keyboard_help.c - the keys and what they do, for whoever asks. */
#include "base/tongue.h"
#include "view/keyboard.h"

const struct keyboard_help keyboard_help[] = {
    {N_("Enter"), N_("done: the step's work is done, or the question is answered"), KEYS_LIVE},
    {"s s", N_("skip this step (twice)"), KEYS_LIVE},
    {"b", N_("back to the step before"), KEYS_LIVE},
    {"r", N_("repeat this step"), KEYS_LIVE},
    {N_("arrows, h j k l"), N_("moved: 1/8 turn of that bolt, or 0.1°"), KEYS_LIVE},
    {N_("Shift, H J K L"), N_("moved: a whole turn, or 1°"), KEYS_LIVE},
    {", .  < >", N_("moved the feed: 1/8 turn, or 0.5°; a turn, or 5°"), KEYS_LIVE},
    {N_("0 to 9"), N_("type what this step's scale reads"), KEYS_LIVE},
    {"a e w v", N_("type azimuth, elevation, skew, a level"), KEYS_LIVE},
    {"n", N_("type a note"), KEYS_LIVE},
    {"m", N_("set a mark"), KEYS_LIVE},
    {N_("space"), N_("pause, play"), KEYS_REPLAY},
    {N_("[ ]  left right"), N_("10 s back, forward"), KEYS_REPLAY},
    {", .", N_("one reading back, forward"), KEYS_REPLAY},
    {N_("up down, k j"), N_("the step before, the next step"), KEYS_REPLAY},
    {"A a", N_("the advice before, the next advice"), KEYS_REPLAY},
    {"M m", N_("the mark before, the next mark"), KEYS_REPLAY},
    {"+ -", N_("twice, half as fast: 0.25 to 16 times, then max"), KEYS_REPLAY},
    {"u", N_("uncover, cover what is ahead"), KEYS_REPLAY},
    {"n", N_("type a note, for the copy that --notes names"), KEYS_REPLAY},
    {":", N_("words: every action by its name; Tab completes"), KEYS_ALWAYS},
    {"f", N_("large, to read from afar; f again: all of it"), KEYS_ALWAYS},
    {"c", N_("colours: the terminal's own, dark, sunlight, mono"), KEYS_ALWAYS},
    {"t o", N_("hear the level; hear what the coach says"), KEYS_ALWAYS},
    {"g", N_("graph: level over time, over angle, along the arc"), KEYS_ALWAYS},
    {"z Z", N_("trend: less, more time"), KEYS_ALWAYS},
    {"? F1", N_("this help; any key closes it (Ctrl-L draws anew)"), KEYS_ALWAYS},
    {"q q", N_("quit (twice); the log is kept"), KEYS_ALWAYS},
};
const size_t keyboard_help_count = sizeof keyboard_help / sizeof *keyboard_help;
