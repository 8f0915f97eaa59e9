/* readout.h - what the panels say, as words. Pure: state in, text out. */
#ifndef VIEW_READOUT_H
#define VIEW_READOUT_H

#include <stdbool.h>
#include <stddef.h>

#include "view/face.h"

enum { READOUT_SIZE = 200 };

/* An arrow for a move: a triangle to the side it goes, a turning arrow for skew, "" for none. */
const char *readout_arrow(enum advice_move move);

/* "RIGHT 0.46°", "HOLD", "TIGHTEN": the move at hand, large in meaning. */
void readout_move(const struct advice *advice, char text[READOUT_SIZE]);

/* "1 1/4 turns"; "" when turns are not known. */
void readout_turns(double turns, char text[READOUT_SIZE]);

/* One axis: target, measured and what is to go, each as text; "-" what is not known. */
struct readout_axis {
    char target[24], measured[24], to_go[48], scale[24];
    enum advice_move way; /* ADVICE_HOLD = it is there */
    bool known, old;
};
void readout_axis(const struct face_scene *scene, enum axis axis, struct readout_axis *ret);

/* "13.92 dB"; "-" when not known. */
void readout_level(const struct state *state, double value, char text[READOUT_SIZE]);

/* "0.48 dB below best", "at best". */
void readout_below(const struct state *state, char text[READOUT_SIZE]);

/* "locked on LARCH-12", "no lock", "lock not known". */
void readout_lock(const struct state *state, char text[READOUT_SIZE]);

/* "gpsd up", "meter DOWN 12 s: unplugged", "meter up, 3 bad lines". */
void readout_source(const struct state_source *source, double t, char text[READOUT_SIZE]);

/* "fix 3D, 11 satellites, 3 m", "position from the job". */
void readout_fix(const struct state *state, double t, char text[READOUT_SIZE]);

/* "3:14", "1:02:07". */
void readout_time(double t, char text[READOUT_SIZE]);

#endif
