/* quiz_face.h - inside the quiz: its state, and the face that asks. */
#ifndef COMMAND_QUIZ_FACE_H
#define COMMAND_QUIZ_FACE_H

#include "command/face_around.h"
#include "command/quiz.h"
#include "command/quiz_score.h"

struct quiz;

/* How the quiz speaks. */
struct quiz_voice {
    bool shows_session; /* the face behind shows the records, with what is asked about covered */
    bool hears_always;  /* keys count between questions, too; else what is typed is an answer */
    void (*begin)(struct quiz *quiz);
    void (*question)(struct quiz *quiz);
    void (*refuse)(struct quiz *quiz); /* what was typed is no answer */
    void (*verdict)(struct quiz *quiz, const char *said);
    void (*outcome)(struct quiz *quiz); /* of the newest answer */
    void (*score)(struct quiz *quiz);   /* at the end */
};
extern const struct quiz_voice quiz_on_screen, quiz_in_sentences, quiz_in_json;

struct quiz {
    struct face_around around; /* first; filled by quiz_face_put() */
    struct engine *engine;     /* borrowed */
    const struct quiz_voice *voice;
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

/* The level now; NaN = not known. */
double quiz_level(const struct quiz *quiz);

/* How far the technician turned the axis that was asked about; NaN = not known. */
double quiz_turned_deg(const struct quiz *quiz);

/* What an answer looks like. */
extern const char quiz_ways[];

#endif
