/*
 * quiz_score.h - answers to "which way, and how far?" against what the coach advised. Pure: no I/O,
 * no clock, no memory.
 */
#ifndef COMMAND_QUIZ_SCORE_H
#define COMMAND_QUIZ_SCORE_H

#include "session/record.h"

struct quiz_answer {
    enum axis axis; /* AXIS_NONE = no answer */
    int way;        /* +1 or -1: toward growing or falling angle */
    double deg;     /* how far, >= 0; NaN = not said */
};

enum quiz_miss {
    QUIZ_RIGHT,
    QUIZ_NO_ANSWER,
    QUIZ_WRONG_AXIS,
    QUIZ_WRONG_WAY,
    QUIZ_NO_DISTANCE,
    QUIZ_TOO_FAR,
    QUIZ_TOO_SHORT,
    QUIZ_MISSES
};

/* Of a whole quiz. */
struct quiz_tally {
    int asked;
    int misses[QUIZ_MISSES]; /* how often each; QUIZ_RIGHT too */
    int got, of;             /* points: axis, way and distance are one each */
};

/* True when the advice names a way to turn an axis. */
bool quiz_can_ask(const struct advice *advice);

/*
 * The first thing that is wrong with an answer. A distance is right within three tenths of the
 * advised one, or within a tenth of a degree where that is more: about what a practised hand turns.
 */
enum quiz_miss quiz_judge(const struct advice *advice, const struct quiz_answer *answer);

/* Count a judged answer in. */
void quiz_count(struct quiz_tally *tally, const struct advice *advice, enum quiz_miss miss);

/* 0 to 100; NaN when nothing was asked. */
double quiz_points(const struct quiz_tally *tally);

/* "the wrong way", ... */
const char *quiz_miss_text(enum quiz_miss miss);

/* The same in English, whatever is spoken: for objects. */
const char *quiz_miss_key(enum quiz_miss miss);

/* "Score: 82 of 100: 9 of 12 right. Missed: the wrong way (2 times), too far (1 time)." */
void quiz_tell(const struct quiz_tally *tally, char ret_sentence[RECORD_TEXT_SIZE]);

#endif
