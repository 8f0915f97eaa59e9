/*
 * lobe.h - from readings along one axis to the top of the lobe. Pure: no I/O, no memory.
 *
 * Near its top a lobe in dB is a parabola, w being the half-power (3 dB) width:
 *
 *     level(x) = peak - 12 ((x - centre) / w)^2
 *
 * lobe_fit() finds it in dB by robust least squares (Huber's weights), from the top 5 dB only; from
 * more where the parabola holds further down. The curvature is free, because a lobe seen over a
 * noise floor is wider than the antenna's: within 0.6 to 1.4 of the expected one where the width is
 * known, and held at that bound where the readings ask for more. With few readings it is drawn to
 * the expected one (as if that were known to 25 %), so that three stations will do.
 *
 * lobe_bracket() needs no scale at all: of any monotone unit it takes the places to the left and
 * right that have the same level, and the middle between them, at many levels.
 *
 *   Source: parabola: Rec. ITU-R S.672 writes the same law, 3 (psi / psi_0)^2 with psi_0 half the
 *   width; Huber, Ann. Math. Statist. 35 (1964); monotone curves by pooling adjacent violators:
 *   Ayer et al., Ann. Math. Statist. 26 (1955). Accuracy: docs/peaking.md and tests/bench.
 */
#ifndef PEAKING_LOBE_H
#define PEAKING_LOBE_H

#include <stdbool.h>
#include <stddef.h>

enum { LOBE_READINGS = 512, LOBE_NEIGHBOURS = 2 };

struct lobe_reading {
    double x_deg, level;
};

/* Where a neighbour stands from the lobe's middle, half-power widths: along the axis that is swept,
 * to growing x, and across it. */
struct lobe_neighbour {
    double along, across;
};

struct lobe_prior {
    double width_deg;  /* expected half-power width, > 0; a rough scale where not known */
    bool width_known;  /* it is computed from the antenna, not guessed */
    bool width_fixed;  /* take it as exact: no floor under the lobe (a C/N meter, a known dish) */
    double noise;      /* sd of one reading in the level's unit; NaN = from the residuals */
    bool is_db;        /* else only monotone (percent, volts, raw): lobe_fit() brackets */
    double saturation; /* readings at or above are clipped; NaN = none known */
    bool uneven;       /* the flanks may differ (carrier over neighbours' carriers): look for it */
    int near_count;    /* neighbours that may steepen a flank, where it is known where they stand */
    struct lobe_neighbour near[LOBE_NEIGHBOURS];
    double unit_per_db; /* with neighbours: of the level's unit make about a dB; > 0 */
};

struct lobe_fit {
    double centre_deg;
    double centre_error_deg; /* standard error; NaN when the noise can't be known */
    double peak;             /* level at the centre */
    double peak_error;       /* its standard error; NaN as above */
    double width_deg;        /* half-power width of the curve; the expected one when not in dB */
    double width_seen_deg;   /* as the readings alone say, without the bounds; NaN = they do not */
    double width_seen_error_deg;
    double residual;                  /* sd of one reading about the curve */
    bool width_free;                  /* the curvature came from the readings */
    bool bracket;                     /* from equal levels, not from a parabola */
    bool left_reached, right_reached; /* readings past 0.15 width on that side of the centre: the
                                         top is certain only with both */
    int used, rejected;               /* readings of the top; those of them that do not fit */
    int clipped;                      /* readings left out as clipped */
};

/*
 * The top of the lobe.
 *
 *   readings  any order (the newest LOBE_READINGS of them are used); places or levels that are not
 *             finite are left out, and so are clipped ones: at or above prior->saturation, or a run
 *             of equal readings on top of finely graded ones
 *   returns   0. The centre may lie up to 0.6 width beyond the readings: see left_reached and
 *             right_reached.
 *             -ENODATA: fewer than 3 usable readings, or fewer than 2 places (3 when the width is
 *             neither known nor fixed).
 *             -EDOM: no top: the level does not change, only slopes, or the top lies too far beyond
 *             the readings to be told.
 */
int lobe_fit(const struct lobe_reading *readings, size_t n, const struct lobe_prior *prior,
             struct lobe_fit *ret);

/*
 * The middle between equal levels: for any unit that grows with the signal, and for a flat top (a
 * meter at its end): its middle. Its error is about twice that of a parabola's fit.
 *
 *   returns  as lobe_fit(); -EDOM also when only one side was reached, or the level falls by less
 *            than 4 sd to one side
 */
int lobe_bracket(const struct lobe_reading *readings, size_t n, const struct lobe_prior *prior,
                 struct lobe_fit *ret);

#endif
