/*
 * peak.h - bring one axis to the top of the lobe. Pure. Two ways, after what tells the angle:
 *
 *   passes     a sensor on the antenna does: slowly over the lobe and back. The meter's lag shifts
 *              the two against each other and so is known (peaking/two_way.h).
 *   stations   a scale or the count of nudges does: stop and read at a few places, all approached
 *              from the same side, so that neither lag nor backlash shifts the result; the last
 *              step goes by the level on the flank.
 *
 * Both end from below, hands off, with a look at the level. Where the beam lies askew the two axes
 * pull each other aside; two cuts through the lobe tell by how much (peak_join()).
 */
#ifndef COACH_PEAK_H
#define COACH_PEAK_H

#include <stdbool.h>

#include "coach/dwell.h"
#include "coach/travel.h"
#include "peaking/lobe.h"
#include "peaking/two_way.h"
#include "peaking/walk.h"
#include "radio/beam.h"

enum { PEAK_STATIONS = 24, PEAK_PASS = 240, PEAK_ROUNDS = 3, PEAK_EXTENSIONS = 6 };

enum peak_phase {
    PEAK_RUNUP,     /* below the first reading, so that the bolt's play is taken up */
    PEAK_PASS_UP,   /* passes: slowly over the lobe */
    PEAK_PASS_DOWN, /* and back */
    PEAK_STATION,   /* stations: to the next */
    PEAK_READ,      /* at it */
    PEAK_RETURN,    /* back below the centre */
    PEAK_APPROACH,  /* up to the flank, where the level says how far is left */
    PEAK_FLANK,     /* read the flank */
    PEAK_STROKE,    /* stations, the meter at its end: part of the way to the centre */
    PEAK_CENTRE,    /* to the centre */
    PEAK_VERIFY,    /* read the level there */
    PEAK_LOST,      /* there is no lobe here */
};

struct peak {
    enum peak_phase phase;
    enum axis axis;
    bool passes;
    double width_deg;     /* expected half-power width on this axis */
    bool width_known;     /* else it is a guess */
    double middle_x;      /* of the readings planned */
    double top_x, top;    /* passes: the highest reading of all, and where it was */
    double low_x, high_x; /* passes: where they turn */
    double rate;          /* passes: deg/s */
    union {
        struct two_way_reading pass[PEAK_PASS];     /* passes: the oldest first */
        struct lobe_reading station[PEAK_STATIONS]; /* stations */
    };
    int count;             /* of these */
    int too_fast;          /* passes: of these, left out of the fit */
    struct walk walk;      /* stations: every turn and what was read after it */
    double walk_x;         /* where it has come, as told */
    double walk_middle_x;  /* where the top was thought to be when it began, from there */
    enum travel_slip slip; /* of the last turn, by the level that was read after it */
    double flat_deg;       /* the meter at its end: half of the flat top */
    double deeper;         /* the flank is looked for so much further down, in widths */
    int climbed;           /* rungs of the flank that were read on this way up */
    double known_peak;     /* level at the top, known from elsewhere; NaN = is not */
    struct lobe_fit fit;
    double centre_x;
    double expected; /* level at the centre */
    int round, extensions, corrections;
    struct travel_other other;
    double before; /* level when the step before had peaked the other axis; NaN = it did not */
    double level;  /* verified */
    double loss; /* expected minus verified level; stations: by how far off the centre it stands */
};

/* A cut through the lobe: where its top was, and where the other axis stood meanwhile. */
struct peak_cut {
    bool known;
    double centre_deg, other_deg;
};

/* An axis is peaked when it is no further below the fitted top, or 3 standard errors of the level
 * that is read there where those are more. */
extern const double peak_good_enough_db;

/* Half-power width to expect on an axis now, degrees on its scale; NaN = the beam is not known. */
double peak_expected_width_deg(const struct state *state, enum axis axis);

/*
 * How much of the meter's unit a dB is worth near a level: 1 where the unit is logarithmic, else a
 * fifteenth of the level's rise over the floor that was seen. Rough; > 0.
 */
double peak_unit_per_db(const struct state *state, double level);

/*
 * The top of a tilted lobe from a cut in azimuth and one in elevation. Each cut's top lies on a
 * line through the lobe's middle, whose slope the beam tells; the two lines meet in it.
 *
 *   cos_elevation  azimuth counts so much less than cross-elevation
 *   returns        false when the lines are too nearly the same
 */
bool peak_join(const struct beam *beam, double cos_elevation, const struct peak_cut *azimuth,
               const struct peak_cut *elevation, double *ret_azimuth_deg,
               double *ret_elevation_deg);

#endif
