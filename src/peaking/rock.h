/*
 * rock.h - how far off its top an antenna stands whose bolts are tight. Pure: no I/O, no memory.
 *
 * Pushed and pulled at its edge by a hand, it bends by as much either way, and the level falls
 * more on the side to which it is off already:
 *
 *     level = top - 12 (off + way * give)^2 + noise        all in half-power widths and dB
 *
 * With the same give both ways the difference of the two levels is 48 off give, whatever the top
 * is: at a give of 0.15 that is 7 dB a width, where a level at the top itself tells nothing. How
 * far it gives is known roughly beforehand, and by how far the level falls both ways. A hand is not
 * as firm each time, and now and then it does the other than was said; a clipped reading says no
 * more than "at least". So what comes out is the mean over all that could be (Bayes' rule, on a
 * grid).
 *
 *   Source: the parabola: lobe.h; trying an antenna so: common practice, no source. Accuracy:
 *   docs/peaking.md.
 */
#ifndef PEAKING_ROCK_H
#define PEAKING_ROCK_H

#include <stddef.h>

struct rock_reading {
    int way;         /* +1 pulled, -1 pushed, 0 left alone; pulling turns it to growing angles */
    double level_db; /* over any zero, the same for all */
    double error_db; /* 1 sd, > 0 */
};

struct rock_prior {
    double off_widths;    /* where it may stand, 1 sd, > 0 */
    double give_widths;   /* how far a firm hand bends it: median, > 0 */
    double give_spread;   /* 1 sd of its logarithm, > 0 */
    double force_share;   /* one push beside the others, 1 sd */
    double stiff;         /* share of antennas that no hand bends, or not the one asked: 0 to < 1 */
    double slip;          /* share of pushes that were pulls, and the other way round: 0 to 1 */
    double saturation_db; /* levels at or above are clipped; NaN = none */
};

struct rock_fit {
    double off_widths, off_error; /* from the top to where it stands, signed as its angle; 1 sd */
    double give_widths;
};

/* At least one reading each way, and one left alone, or the prior comes back. Beyond 0.45 widths
 * off it knows no more than that. */
void rock_fit(const struct rock_reading *readings, size_t count, const struct rock_prior *prior,
              struct rock_fit *ret);

#endif
