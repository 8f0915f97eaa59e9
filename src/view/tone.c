#include "view/tone.h"

#include <math.h>

static const double best_hz = 880.0, least_hz = 110.0, octave_db = 6.0;
static const double beat_hz = 7.0, loudness = 0.3;
static const double glide_s = 0.02;
static const double pi = 3.14159265358979323846;

void tone_init(struct tone *tone)
{
    *tone = (struct tone){.wanted_hz = best_hz, .hz = best_hz};
}

void tone_set(struct tone *tone, double below_db, bool at_best)
{
    tone->sounding = isfinite(below_db);
    tone->beating = at_best;
    if (tone->sounding) {
        double hz = best_hz * exp2(-fmax(below_db, 0.0) / octave_db);
        tone->wanted_hz = fmax(hz, least_hz);
    }
}

void tone_make(struct tone *tone, int16_t *ret_samples, size_t n)
{
    double glide = 1.0 - exp(-1.0 / (glide_s * TONE_RATE));

    for (size_t i = 0; i < n; i++) {
        double gain = tone->sounding ? loudness : 0.0;
        if (tone->beating) {
            gain *= 0.5 - 0.5 * cos(2.0 * pi * tone->beat_phase);
        }
        tone->hz += glide * (tone->wanted_hz - tone->hz);
        tone->gain += glide * (gain - tone->gain);
        tone->phase = fmod(tone->phase + tone->hz / TONE_RATE, 1.0);
        tone->beat_phase = fmod(tone->beat_phase + beat_hz / TONE_RATE, 1.0);
        ret_samples[i] = (int16_t)lrint(32767.0 * tone->gain * sin(2.0 * pi * tone->phase));
    }
}
