#include "view/screen_keys.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"

const char *const screen_keys_help[] = {
    "Enter      this is done",
    "b  r       one step back; repeat the step",
    "s s        skip the step",
    "arrows     a nudge was made: 1/8 turn right, left, up, down (also h j k l);",
    "           on a simulated mount they turn it",
    "<  >       1/8 turn anticlockwise, clockwise",
    ":          say words, such as az 143.2, el 41, moved right 1 1/4 turns, level 12.1",
    "n  m       a note; a mark in the log",
    "z          zoom of the trend",
    "space      pause and play (a replay);  + - speed;  [ ] ten seconds back, forward",
    "?          this help;  any key closes it",
    "q q        quit; the log is kept",
    NULL,
};

/* Keys that turn an axis, as the word for the way. */
static const char *way_of(int key)
{
    static const struct {
        int key;
        const char *way;
    } ways[] = {{KEYS_LEFT, "left"}, {'h', "left"},   {KEYS_RIGHT, "right"}, {'l', "right"},
                {KEYS_UP, "up"},     {'k', "up"},     {KEYS_DOWN, "down"},   {'j', "down"},
                {'>', "clockwise"},  {'<', "anticlockwise"}};

    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        if (ways[i].key == key) {
            return ways[i].way;
        }
    }
    return NULL;
}

static enum screen_action nudge(const char *way, const struct face_scene *scene, char *words)
{
    enum axis axis;
    int sign;

    axis_parse_way(way, &axis, &sign);
    snprintf(words, FACE_WORDS_SIZE, "moved %s %s", way,
             isfinite(scene->state->job->mount.axes[axis].turn_deg) ? "1/8 turns"
             : axis == AXIS_SKEW                                    ? "1 deg"
                                                                    : "0.1 deg");
    return SCREEN_WORDS;
}

static enum screen_action say(char *words, const char *text)
{
    text_copy(words, FACE_WORDS_SIZE, text);
    return SCREEN_WORDS;
}

static enum screen_action steer_replay(int key, const struct face_scene *scene, char *words)
{
    switch (key) {
    case ' ':
        return say(words, scene->paused ? "play" : "pause");
    case '+':
    case '-':
        snprintf(words, FACE_WORDS_SIZE, "speed %g",
                 fmin(fmax((scene->speed > 0.0 ? scene->speed : 1.0) * (key == '+' ? 2.0 : 0.5), 0.125), 64.0));
        return SCREEN_WORDS;
    case '[':
        return say(words, "rewind");
    case ']':
        return say(words, "forward");
    default:
        return SCREEN_NOTHING;
    }
}

static enum screen_action answer(int key, int previous, const struct face_scene *scene, char *words)
{
    const char *way = way_of(key);

    if (way) {
        return nudge(way, scene, words);
    }
    switch (key) {
    case KEYS_ENTER:
        return say(words, "done");
    case 'b':
        return say(words, "back");
    case 'r':
        return say(words, "repeat");
    case 'm':
        return say(words, "mark");
    case 's':
        if (previous == 's') {
            return say(words, "skip");
        }
        text_copy(words, FACE_WORDS_SIZE, "s again skips this step; any other key: no");
        return SCREEN_AGAIN;
    case 'n':
        text_copy(words, FACE_WORDS_SIZE, "note ");
        return SCREEN_TYPE;
    case ':':
        words[0] = '\0';
        return SCREEN_TYPE;
    default:
        return SCREEN_NOTHING;
    }
}

enum screen_action screen_keys_act(int key, int previous, const struct face_scene *scene,
                                   char *words)
{
    switch (key) {
    case 'q':
        if (previous == 'q') {
            return say(words, "quit");
        }
        text_copy(words, FACE_WORDS_SIZE, "q again quits, the log is kept; any other key: no");
        return SCREEN_AGAIN;
    case '?':
    case KEYS_HELP:
        return SCREEN_SHOW_HELP;
    case 'z':
        return SCREEN_ZOOM;
    default:
        return scene->replaying ? steer_replay(key, scene, words)
                                : answer(key, previous, scene, words);
    }
}
