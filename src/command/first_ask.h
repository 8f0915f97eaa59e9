/* first_ask.h - inside the first run: one question at a time, and a way back to the one before. */
#ifndef COMMAND_FIRST_ASK_H
#define COMMAND_FIRST_ASK_H

#include "job/job.h"

enum { ANSWER_SIZE = JOB_TEXT_SIZE };

/* What a question came to, beside -EPIPE (the input has ended: give up). */
enum {
    ASK_DONE = 0,
    ASK_NOTHING, /* there was nothing to ask */
    ASK_BACK,    /* the question before is to be asked again */
};

/* The job that is asked for, and where it is. */
struct asking {
    struct job *job;
    struct look_site site; /* as gpsd or an answer says; valid when site_known */
    bool site_known;
};

/* One question, one key of the job. */
struct question {
    const char *section, *key;
    const char *text, *example;
    const char *otherwise; /* for an empty answer; NULL = it must be answered, "" = left out */
};

/*
 * A line without its end.
 *
 *   returns  ASK_DONE; ASK_BACK it says "back"; -EPIPE
 */
int first_hear(const char *prompt, char answer[ANSWER_SIZE]);

/* After a wait: what was typed meanwhile is an answer to nothing. */
void first_forget_typed(void);

/* Until the job takes the answer; an earlier answer is kept by an empty line. */
int first_question(struct job *job, const struct question *question);

/* A word of a few; the first for an empty answer. */
int first_choose(const char *prompt, const char *const *words, int n, int *ret_chosen);

/* Set a key; what is wrong with it is said. As job_set(). */
int first_set(struct job *job, const char *section, const char *key, const char *value);

/* The meter: its port, what it says, how that is read. One question each; what = NULL. */
int first_port(struct asking *asking, const void *what);
int first_speed(struct asking *asking, const void *what);
int first_pattern(struct asking *asking, const void *what);
int first_unit(struct asking *asking, const void *what);

#endif
