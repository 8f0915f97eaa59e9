/* words_line.h - inside the grammar of the operator's words: a line taken apart word by word. Pure.
 */
#ifndef VIEW_WORDS_LINE_H
#define VIEW_WORDS_LINE_H

#include "view/words.h"

enum { WORDS_LINE_SIZE = 512 };

/* A line being read: `rest` is what no word has been taken from yet. */
struct words_line {
    char text[WORDS_LINE_SIZE];
    char *rest;
    enum level_unit unit; /* of a level that is said without one */
    char *why;            /* [RECORD_TEXT_SIZE] */
};

/* The next word, or "" when none is left. */
char *words_line_next(struct words_line *line);

/* The next word without taking it. */
void words_line_peek(const struct words_line *line, char word[WORDS_LINE_SIZE]);

/* What is left, without blanks around it. */
char *words_line_rest(struct words_line *line);

/* why = "'FOUND' WRONG: WANTED", or "WANTED" alone when nothing was found. -EINVAL. */
int words_line_refuse(struct words_line *line, const char *found, const char *wrong,
                      const char *wanted);

/* 0 when nothing is left; -EINVAL and why. */
int words_line_end(struct words_line *line, const char *after);

/* A number as people write it; a decimal comma is told apart so that the message can help. */
int words_line_number(struct words_line *line, const char *word, const char *wanted,
                      double *ret_number);

/* True when a word is one of a list that ends with NULL, in any case of letters. */
bool words_line_is_one_of(const char *word, const char *const *names);

/* Words that steer a replay; detail as in the table of words.c. 0, or -EINVAL and why. */
int words_take_speed(struct words_line *line, int unused, struct words *ret);
int words_take_seek(struct words_line *line, int unused, struct words *ret);
int words_take_jump(struct words_line *line, int sign, struct words *ret);
int words_take_one(struct words_line *line, int sign, struct words *ret);

#endif
