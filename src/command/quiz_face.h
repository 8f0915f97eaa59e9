/* quiz_face.h - inside the quiz: its state, and the face that asks. */
#ifndef COMMAND_QUIZ_FACE_H
#define COMMAND_QUIZ_FACE_H

#include "command/face_around.h"
#include "command/quiz.h"
#include "command/quiz_score.h"

enum quiz_how {
    QUIZ_ON_SCREEN,    /* the session is shown, with what is asked about covered */
    QUIZ_IN_SENTENCES, /* questions and answers line by line, and nothing else */
    QUIZ_IN_JSON,      /* the session's records, questions and answers as objects between them */
};

struct quiz {
    struct face_around around; /* first; filled by quiz_face_put() */
    struct engine *engine;     /* borrowed */
    enum quiz_how how;
    struct log_writer log;
    char log_path[512];
    struct quiz_tally tally;

    struct advice last; /* the newest that came; step "" = none yet */
    bool asking;        /* time stands still until there is an answer */
    bool open;          /* it was answered; what came of it is not known yet */
    struct record asked;
    double level, deg; /* when it was asked: the level, the axis's angle */
    double told_deg;   /* said to have been turned since */
    bool told;
    enum quiz_miss miss;            /* of the newest answer */
    char outcome[RECORD_TEXT_SIZE]; /* what came of that; "" = not known */

    bool over; /* the score is known */
    char score[RECORD_TEXT_SIZE];
    bool left; /* the trainee has had enough */
};

/* A note in the quiz's log; it begins with "quiz: ". */
void quiz_keep(struct quiz *quiz, const char *text);

/* Put the asking face in front of the engine's open one; closing the engine's then closes both. */
void quiz_face_put(struct quiz *quiz);

/* What came of the last question, and the score, once. */
void quiz_sum_up(struct quiz *quiz);

#endif
