/*
 * sound.h - the level and the sentences to be heard, through a program of their own
 * (peakward-sound): whatever a sound card or a speech server does, the loop here never waits.
 */
#ifndef VIEW_SOUND_H
#define VIEW_SOUND_H

#include <stdbool.h>
#include <sys/types.h>

enum sound_part { SOUND_TONE, SOUND_SPEECH, SOUND_PARTS };

enum { SOUND_LINE_SIZE = 2048 };

struct sound {
    struct {
        int fd;    /* owned: to the program; -1 = it does not run */
        pid_t pid; /* 0 = none to be waited for */
    } parts[SOUND_PARTS];
};

void sound_init(struct sound *sound);
void sound_finish(struct sound *sound);

/*
 * Begin or end a part; nothing happens when it is as wanted already.
 *
 *   returns  0; -EPIPE it has ended by itself: no sound card, no speech server; other -errno when
 *            it can't be started. It is switched off then
 */
int sound_switch(struct sound *sound, enum sound_part part, bool on);

/*
 * The level against the best. To be said again once a second at least: after some seconds without,
 * silence falls.
 *
 *   below_db  NaN = not known
 */
void sound_level(struct sound *sound, double below_db, bool at_best);

/* Sentences; those that come while the last are spoken take their place. */
void sound_say(struct sound *sound, const char *sentences);

#endif
