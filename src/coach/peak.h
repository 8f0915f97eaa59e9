/*
 * peak.h - bring one axis to the top of the lobe by stop-and-read stations, all approached from the
 * same side: so neither the meter's lag nor the mount's backlash shifts the result. Pure.
 */
#ifndef COACH_PEAK_H
#define COACH_PEAK_H

#include <stdbool.h>

#include "coach/dwell.h"
#include "coach/travel.h"
#include "peaking/lobe.h"

enum { PEAK_STATIONS = 24, PEAK_ROUNDS = 3, PEAK_EXTENSIONS = 6 };

enum peak_phase {
    PEAK_RUNUP,    /* below the first station, so that the bolt's play is taken up */
    PEAK_STATION,  /* to a station */
    PEAK_READ,     /* at a station */
    PEAK_RETURN,   /* back below the centre */
    PEAK_APPROACH, /* up to the flank, where the level says how far is left */
    PEAK_FLANK,    /* read the flank */
    PEAK_CENTRE,   /* to the centre */
    PEAK_VERIFY,   /* read the level there */
};

struct peak {
    enum peak_phase phase;
    enum axis axis;
    double width_deg; /* expected half-power width on this axis */
    bool width_known; /* else it is a guess */
    double spacing_deg;
    double next_x, last_x; /* station to go to, and the last one planned */
    struct lobe_reading readings[PEAK_STATIONS];
    int count;
    struct lobe_fit fit;
    double centre_x;
    int round, extensions;
    double level; /* verified */
    double loss;  /* fitted peak minus verified level */
};

/* Half-power width to expect on an axis now, degrees on its scale; NaN = the beam is not known. */
double peak_expected_width_deg(const struct state *state, enum axis axis);

#endif
