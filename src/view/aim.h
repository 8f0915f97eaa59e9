/*
 * aim.h - how far an axis still has to go, in one place: so that no panel and no sentence says
 * another way than the coach. Pure.
 */
#ifndef VIEW_AIM_H
#define VIEW_AIM_H

#include "view/face.h"

/* Older than this and a value is shown, and heard, as old, s. */
extern const double aim_old_s;

enum aim_kind {
    AIM_UNKNOWN,  /* nothing says where it is, or where it should be */
    AIM_OLD,      /* its sensor has fallen silent: `deg` is no number */
    AIM_THERE,    /* nothing is left that two decimals show */
    AIM_TURN,     /* `deg` to go: by the coach, else to its peak, else to the predicted angle */
    AIM_BY_LEVEL, /* it is turned by what the level does, the predicted angle is not the goal */
    AIM_PEAKED,   /* it stands where the level was found best */
    AIM_MISLED,   /* the receiver names the target: it is the sensor or the scale that is off */
};

struct aim {
    enum aim_kind kind;
    double deg; /* AIM_TURN: signed as the axis counts; AIM_MISLED: by how much, >= 0; else NaN */
};

enum { AIM_TEXT_SIZE = 160 };

/* t is now, s since the session's start. */
struct aim aim_of(const struct face_scene *scene, double t, enum axis axis);

/* How an axis stands, in a word or two: "at its peak"; "" where that takes a figure. */
const char *aim_words(enum aim_kind kind, enum axis axis);

/* The target's azimuth as a compass shows it away from steel, [0, 360); NaN = not known. */
double aim_magnetic_deg(const struct state *state);

/* The same as a sentence; false and "" when it is not known. */
bool aim_say_compass(const struct state *state, char ret_text[AIM_TEXT_SIZE]);

#endif
