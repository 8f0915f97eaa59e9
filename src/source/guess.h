/*
 * guess.h - from a line that a meter sent to the pattern that reads it, as a first proposal for a
 * person to look at. Pure.
 */
#ifndef SOURCE_GUESS_H
#define SOURCE_GUESS_H

#include "source/pattern.h"

/*
 * The first number is taken for the level, the word after "lock" for the lock; other numbers do not
 * matter; everything else stands for itself.
 *
 *   returns  0; -ENODATA the line has no number, -ENOSPC it is too long for a pattern
 */
int guess_pattern(const char *line, char ret_pattern[PATTERN_TEXT_SIZE]);

#endif
