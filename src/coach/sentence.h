/*
 * sentence.h - advice in words, in the language that is spoken. Whole sentences, not pieces: what a
 * sentence is put together from may stand in another order in another language.
 */
#ifndef COACH_SENTENCE_H
#define COACH_SENTENCE_H

#include "job/job.h"
#include "session/record.h"

/* Append a distance for a hand, with digits by size: "0.46°". */
void sentence_append_degrees(char *text, size_t size, double deg);

/*
 * Fill advice for turning an axis by a signed distance: move, deg, turns, and the sentence.
 *
 *   sentence  translated, with one %s for "Right 0.46°, one and a quarter turns": _("%s."),
 *             _("%s, slowly.")
 */
void sentence_turn(struct advice *advice, const struct job *job, enum axis axis, double signed_deg,
                   const char *sentence);

/* Fill advice that moves nothing: hold, wait, confirm, ... and its sentence, translated. */
void sentence_stay(struct advice *advice, enum advice_move move, enum advice_until until,
                   const char *format, ...) __attribute__((format(printf, 4, 5)));

/* The reason, translated. */
void sentence_why(struct advice *advice, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* A number as it is told with so many decimals, 0 to 3: never "-0.0". */
double sentence_number(double value, int decimals);

#endif
