/*
 * tone.h - the level as a tone: the closer to the best the higher, an octave for 6 dB; at the best
 * it beats. Pure: samples are made, not played.
 */
#ifndef VIEW_TONE_H
#define VIEW_TONE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { TONE_RATE = 22050 }; /* samples a second */

struct tone {
    bool sounding, beating; /* as wanted */
    double wanted_hz;
    double hz, gain;          /* as they are: they glide, so that nothing clicks */
    double phase, beat_phase; /* turns */
};

void tone_init(struct tone *tone);

/*
 * What is to be heard.
 *
 *   below_db  how far below the best, >= 0; NaN = nothing is known: silence
 *   at_best   the best is reached as far as noise can tell
 */
void tone_set(struct tone *tone, double below_db, bool at_best);

/* The next n samples. */
void tone_make(struct tone *tone, int16_t *ret_samples, size_t n);

#endif
