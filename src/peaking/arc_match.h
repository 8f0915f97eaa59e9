/*
 * arc_match.h - which satellite is which: peaks met in a long sweep against the predicted arc.
 * Pure: no I/O, no memory.
 *
 * A compass near steel is wrong by 5 to 10 degrees, all peaks by the same. So only the differences
 * of azimuth (and the elevations) count: for each possible bias every assignment in order along the
 * arc is weighed - a peak comes from a satellite with normal errors, or from nothing listed; a
 * satellite within the sweep was met, or missed - and the weights of all assignments and biases are
 * added up (the forward-backward sum over two sequences). The probability of an identity is its
 * share. An even arc leaves several about equal: then the answer is "not sure".
 *   Source: Bayes' rule; sum over monotone alignments as in Durbin et al., Biological Sequence
 *   Analysis (1998), chapter 4 (from memory). Figures: docs/peaking.md, tests/bench.
 */
#ifndef PEAKING_ARC_MATCH_H
#define PEAKING_ARC_MATCH_H

#include <stdbool.h>
#include <stddef.h>

enum { ARC_PEAKS = 24, ARC_SATELLITES = 64 };

struct arc_peak {
    double azimuth_deg;   /* as measured, bias included */
    double elevation_deg; /* NaN = not measured */
    double level;         /* dB; NaN = not comparable with what is expected */
    double width_ratio;   /* fitted width over the expected one; NaN = not known */
    int id;               /* index of the satellite that the receiver names here; -1 = none */
    bool not_target;      /* it was looked at, and it is not the target */
};

struct arc_satellite {
    double azimuth_deg, elevation_deg; /* predicted; apparent */
    double level;                      /* expected; NaN = not known */
    double hidden; /* chance that the sweep could not show it at all, 0 to 1: too far above or below
                      the line, of the other polarisation, behind a wall */
};

struct arc_prior {
    double bias_sd_deg;         /* of the compass, > 0 */
    double azimuth_error_deg;   /* sd of one peak against the others, > 0 */
    double elevation_error_deg; /* sd, > 0 */
    double level_error_db;      /* sd of measured against expected, > 0 */
    double missed;              /* chance that a satellite inside the sweep is not met, 0 to 1 */
    double low_deg, high_deg;   /* measured azimuths swept, clockwise from low to high; NaN = only
                                   what lies between the peaks counts as swept */
    double sure;                /* probability that is called sure: 0.98, say */
};

enum arc_doubt {
    ARC_SURE,
    ARC_MISSING,   /* the target is probably not among the peaks */
    ARC_AMBIGUOUS, /* another assignment is nearly as good */
    ARC_POOR_FIT,  /* the best one does not fit: wrong site, wrong list, or not satellites */
};

struct arc_match {
    int satellite[ARC_PEAKS];      /* of each peak, as given; -1 = none of the list */
    double probability[ARC_PEAKS]; /* of that */
    int target_peak;               /* likeliest peak of the target; -1 = it was not met */
    double target_probability;     /* that this peak is the target */
    double missing_probability;    /* that the target is none of them */
    double bias_deg; /* measured minus true azimuth: if target_peak is right, or by all peaks */
    double bias_error_deg;
    double misfit; /* root-mean-square of the matched peaks' errors, in their sd: near 1 is good */
    int strangers; /* peaks of nothing listed */
    enum arc_doubt doubt;
};

/*
 *   peaks       n of them, any order, at most ARC_PEAKS
 *   satellites  m of them, any order, at most ARC_SATELLITES, the target included; those below the
 *               horizon left out
 *   target      index of the target in satellites
 *   returns     0; -ENODATA no peaks or no satellites; -EINVAL too many, target not in the list, or
 *               an azimuth that is not finite; -EDOM nothing fits at all
 */
int arc_match(const struct arc_peak *peaks, size_t n, const struct arc_satellite *satellites,
              size_t m, int target, const struct arc_prior *prior, struct arc_match *ret);

#endif
