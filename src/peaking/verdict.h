/*
 * verdict.h - what a peak is: the main lobe of the target, a side lobe, a neighbour, or noise.
 * Pure: no I/O, no memory.
 *
 * Each piece of evidence that there is multiplies the probability of each answer by how well that
 * answer explains it (Bayes' rule). No piece is needed; without a name or a place on the arc a
 * main lobe of the target looks like one of a neighbour, and the answer is "not sure".
 *
 *   Source of the side lobes' places and levels: Fourier transforms of the apertures (rows rect-sl1
 *   and circ-sl1 of rf-relations.csv); of the spreads: docs/peaking.md; the rest (how often a meter
 *   locks to what) is common practice, no source.
 */
#ifndef PEAKING_VERDICT_H
#define PEAKING_VERDICT_H

enum verdict_kind {
    VERDICT_TARGET,    /* main lobe of the target */
    VERDICT_SIDE_LOBE, /* of whichever satellite */
    VERDICT_NEIGHBOUR, /* main lobe of another satellite */
    VERDICT_NOISE,     /* nothing: noise, interference, a reflection */
    VERDICT_KINDS,
    VERDICT_UNSURE = VERDICT_KINDS,
};

/* Pieces of evidence. */
enum verdict_ground {
    GROUND_WIDTH,
    GROUND_LEVEL,
    GROUND_HEIGHT,
    GROUND_COMPANIONS,
    GROUND_LOCK,
    GROUND_NAME,
    GROUND_ARC,
    GROUND_COUNT
};

enum verdict_name { NAME_NONE, NAME_TARGET, NAME_OTHER };
enum verdict_lock { LOCK_UNKNOWN, LOCK_NO, LOCK_YES }; /* NO: after its usual time */

enum { VERDICT_COMPANIONS = 24 };

/* Another top met in the same sweep, seen from this one. */
struct verdict_companion {
    double offset_widths; /* how far, in expected half-power widths; sign: either side */
    double level_db;      /* its level minus this one's */
};

struct verdict_evidence {
    double width_ratio, width_error; /* as seen against expected, and its error; NaN = not known */
    double level_db;                 /* measured minus expected level; NaN = not known */
    double level_error_db;           /* of the expected one, > 0; NaN = 2 dB */
    double height_sd; /* how far it stands over the floor, in sd of its level; NaN = not known */
    int companion_count;
    struct verdict_companion companions[VERDICT_COMPANIONS];
    enum verdict_lock lock;
    enum verdict_name name; /* what the receiver says it is */
    double arc_probability; /* that it is the target's place on the arc (arc_match.h); NaN = not
                               known: half */
    double sure;            /* probability that is called sure, 0.5 to 1: 0.98, say */
};

struct verdict {
    enum verdict_kind kind;    /* VERDICT_UNSURE unless one is sure */
    enum verdict_kind nearest; /* the likeliest */
    double probability[VERDICT_KINDS];
    /* How much each piece speaks for the likeliest against the next: log10 of the ratio. 1 = ten
     * times. Negative: against it. */
    double grounds[GROUND_COUNT];
};

/* Never fails; with no evidence it is not sure. */
struct verdict verdict_of(const struct verdict_evidence *evidence);

/* Evidence with nothing known and sure at 0.98. */
struct verdict_evidence verdict_no_evidence(void);

#endif
