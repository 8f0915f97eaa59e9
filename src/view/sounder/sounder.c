/*
 * peakward-sound - plays what peakward sends on standard input; ends with it. Not for people.
 *
 *   peakward-sound tone     tone BELOW_DB 0|1 (at the best), quiet
 *   peakward-sound speech [LANGUAGE]   say SENTENCES
 *
 * It may wait for a device as long as it likes: it is a program of its own for that.
 */
#include <alsa/asoundlib.h>
#include <errno.h>
#include <libspeechd.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "view/sound.h"
#include "view/tone.h"

enum { CHUNK = TONE_RATE / 50, LATENCY_US = 60000 };

/* So much is made ahead of what is heard, s: a change is heard as soon. */
static const double ahead_s = 0.06;
/* Without a word for so long it is quiet, s. */
static const double patience_s = 4.0;

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* --- lines on standard input ---------------------------------------------------------------- */

struct input {
    char buffer[8 * SOUND_LINE_SIZE];
    size_t used;
};

/* Take in what is there within some ms. 1, 0 = nothing, -EPIPE = the end. */
static int fill(struct input *input, int ms)
{
    struct pollfd poller = {.fd = STDIN_FILENO, .events = POLLIN};
    ssize_t n;

    if (poll(&poller, 1, ms) <= 0) {
        return 0;
    }
    if (input->used == sizeof input->buffer) {
        input->used = 0; /* no line is so long */
    }
    n = read(STDIN_FILENO, input->buffer + input->used, sizeof input->buffer - input->used);
    if (n <= 0) {
        return n < 0 && errno == EINTR ? 0 : -EPIPE;
    }
    input->used += (size_t)n;
    return 1;
}

/* The newest whole line that is in; false = none. Older ones are past. */
static bool newest(struct input *input, char line[SOUND_LINE_SIZE])
{
    bool found = false;
    char *end;

    while ((end = memchr(input->buffer, '\n', input->used)) != NULL) {
        size_t n = (size_t)(end - input->buffer);
        if (n < SOUND_LINE_SIZE) {
            memcpy(line, input->buffer, n);
            line[n] = '\0';
            found = true;
        }
        input->used -= n + 1;
        memmove(input->buffer, end + 1, input->used);
    }
    return found;
}

/* --- the tone ------------------------------------------------------------------------------- */

static void obey(struct tone *tone, const char *line)
{
    double below = NAN;
    int at_best = 0;

    if (sscanf(line, "tone %lf %d", &below, &at_best) != 2) {
        below = NAN;
    }
    tone_set(tone, below, at_best != 0);
}

static int play_tone(void)
{
    struct input input = {.used = 0};
    char line[SOUND_LINE_SIZE];
    struct tone tone;
    snd_pcm_t *pcm;
    double begun, heard;
    long written = 0;

    tone_init(&tone);
    if (snd_pcm_open(&pcm, "default", SND_PCM_STREAM_PLAYBACK, 0) < 0) {
        return 1;
    }
    if (snd_pcm_set_params(pcm, SND_PCM_FORMAT_S16, SND_PCM_ACCESS_RW_INTERLEAVED, 1, TONE_RATE, 1,
                           LATENCY_US) < 0) {
        snd_pcm_close(pcm);
        return 1;
    }
    begun = heard = now_s();
    while (fill(&input, 10) >= 0) {
        int16_t samples[CHUNK];
        double now = now_s();
        if (newest(&input, line)) {
            obey(&tone, line);
            heard = now;
        } else if (now - heard > patience_s) {
            tone_set(&tone, NAN, false);
        }
        /* by the clock: a device that takes all at once must not be flooded */
        while (written < (long)((now - begun + ahead_s) * TONE_RATE)) {
            long n;
            tone_make(&tone, samples, CHUNK);
            n = snd_pcm_writei(pcm, samples, CHUNK);
            if (n < 0 && snd_pcm_recover(pcm, (int)n, 1) < 0) {
                snd_pcm_close(pcm);
                return 1;
            }
            written += CHUNK;
        }
    }
    snd_pcm_close(pcm);
    return 0;
}

/* --- speech --------------------------------------------------------------------------------- */

/* In a language, "de" or "pt_BR"; NULL = as the speech server is set up. */
static int speak(const char *language)
{
    SPDConnection *connection = spd_open("peakward", "coach", NULL, SPD_MODE_SINGLE);
    struct input input = {.used = 0};
    char line[SOUND_LINE_SIZE];

    if (!connection) {
        return 1;
    }
    if (language) {
        spd_set_language(connection, language);
    }
    while (fill(&input, -1) >= 0) {
        if (newest(&input, line) && strncmp(line, "say ", 4) == 0) {
            spd_cancel(connection);
            if (spd_say(connection, SPD_TEXT, line + 4) < 0) {
                spd_close(connection);
                return 1;
            }
        }
    }
    spd_close(connection);
    return 0;
}

int main(int argc, char **argv)
{
    signal(SIGPIPE, SIG_IGN);
    if ((argc == 2 || argc == 3) && strcmp(argv[1], "tone") == 0) {
        return play_tone();
    }
    if ((argc == 2 || argc == 3) && strcmp(argv[1], "speech") == 0) {
        return speak(argv[2]);
    }
    fprintf(stderr, "usage: peakward-sound tone|speech [LANGUAGE]\n");
    return 2;
}
