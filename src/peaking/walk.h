/*
 * walk.h - where on the lobe a hand has come, whose turns are not quite what they are said to be.
 * Pure: no I/O, no memory.
 *
 * A bolt is turned a few times and the level read in between. How far each turn went is known to 10
 * or 20 per cent only, and the mount's play swallows part of a turn that goes back; but the lobe's
 * shape is known, so each level tells how far from its top it was read. walk_fit() finds the most
 * likely places of all stops together with the top:
 *
 *     place[i] = place[i-1] + told[i] + slip[i],   slip ~ N(0, error[i])
 *     level[i] = peak - 12 ((place[i] - centre) / w)^2 + noise
 *
 * with what is known of w and of the centre beforehand, by damped least squares over all unknowns
 * (the slips among them); a turn that went quite elsewhere loses its pull (Huber's weights). So the
 * last place is known better than any of the turns was, whatever the hand gives. In units that only
 * grow with the signal the curvature is free, or as another axis has shown it. A clipped reading
 * says no more than "at least".
 *
 *   Source: least squares with errors in both variables: Deming, Statistical Adjustment of Data
 *   (1943); damping: Marquardt, J. SIAM 11 (1963); the parabola: lobe.h. Accuracy: docs/peaking.md.
 */
#ifndef PEAKING_WALK_H
#define PEAKING_WALK_H

#include <stdbool.h>

enum { WALK_STOPS = 20 };

/* What a turn of this bolt by a hand is worth. */
struct walk_hand {
    double share;         /* of a turn's length, 1 sd */
    double step_deg;      /* whatever its length, 1 sd: how finely turns are told */
    double play_deg;      /* what a turn that goes back loses first */
    double play_share_sd; /* of the play, 1 sd */
};

struct walk_stop {
    double told_deg;      /* moved to here from the stop before, play taken off */
    double slip_variance; /* of that, degrees squared */
    double level;         /* NaN = nothing was read here */
    double level_error;   /* 1 sd, in the level's unit */
};

/* The stops, oldest first. The first one is where it began. */
struct walk {
    struct walk_stop stop[WALK_STOPS];
    int count;
    int way;             /* of the last turn: +1, -1; 0 = not known */
    double given_up_deg; /* from where it began to the oldest stop that is left, as told */
};

struct walk_prior {
    double width_deg;      /* half-power width, > 0 */
    double width_share_sd; /* how well it is known, 1 sd of its logarithm */
    double centre_deg;     /* from the first stop; NaN = not known */
    double centre_error_deg;
    double peak; /* level at the top where it is known beforehand; NaN = is not */
    double peak_error;
    double fall;          /* level lost at one width from the top: 12 in dB; NaN = not known,
                             then three levels are wanted */
    double fall_share_sd; /* how well that is known, 1 sd of its logarithm */
    double saturation;    /* levels at or above are clipped; NaN = none known */
};

struct walk_fit {
    double to_go_deg;             /* from the last stop to the top */
    double to_go_error_deg;       /* 1 sd */
    double peak, peak_error;      /* level at the top */
    double curve;                 /* level = peak - curve * off^2 */
    double place_deg[WALK_STOPS]; /* of each stop, from the top */
    double low_deg, high_deg;     /* the lowest and the highest place of an unclipped level */
    double worst;                 /* the largest misfit of a level, in its sd */
};

/* Begin where the antenna stands. */
void walk_begin(struct walk *walk);

/*
 * The hand has turned by so much (positive = growing angle). Turns one way with nothing read
 * between them count as one. When all stops are used up the oldest ones are given up.
 */
void walk_turn(struct walk *walk, double told_deg, const struct walk_hand *hand);

/* A level was read where it stands. error > 0. */
void walk_read(struct walk *walk, double level, double error);

/*
 * Where it stands now.
 *
 *   returns  0; -ENODATA fewer than two levels, the prior's peak counted in (three where the fall
 * is not known); -EDOM no top fits
 */
int walk_fit(const struct walk *walk, const struct walk_prior *prior, struct walk_fit *ret);

#endif
