/*
 * sweep.h - turn an axis slowly until a carrier is found: the tops in a level that rises and falls
 * along the way, and the search's working memory, apart from the words. Pure.
 */
#ifndef COACH_SWEEP_H
#define COACH_SWEEP_H

#include <stdbool.h>

#include "peaking/lobe.h"
#include "peaking/search_plan.h"
#include "peaking/two_way.h"
#include "session/record.h"

enum { SWEEP_PEAKS = 24, SWEEP_READINGS = 128 };

struct sweep_peak {
    double x;                /* azimuth coordinate of the top, the meter's lag taken off */
    double elevation;        /* elevation coordinate of the line */
    double level;            /* highest there */
    double width_deg;        /* half-power width of the pass on the azimuth scale; NaN = not told */
    double peaked_elevation; /* elevation coordinate of its centre, once peaked; NaN = not yet */
    char id[RECORD_NAME_SIZE]; /* what the receiver said while there */
    bool refused;              /* it was looked at, and it is not the target */
    bool half;                 /* the pass began on it: only one side of it was seen */
    bool told;                 /* its place hangs on what the operator will say was turned */
};

/* Finds tops in a level that rises and falls along the way. */
struct sweep_finder {
    double floor; /* lowest level so far */
    double rise;  /* a top stands this far above the floor */
    double drop;  /* and the level falls this far behind it */
    bool inside;  /* a top is in the making */
    bool first;   /* the floor was not seen yet: it may have begun on a carrier */
    struct sweep_peak top;
    struct lobe_prior prior;                         /* of the lobe's fit */
    double lag_s;                                    /* of what is shown behind where the axis is */
    struct two_way_reading readings[SWEEP_READINGS]; /* ring: the newest of this pass */
    int next, count;
    double before; /* the reading before: a spark alone makes no top */
};

enum sweep_phase {
    SWEEP_LISTEN,         /* the floor, before anything moves */
    SWEEP_TO_START,       /* to the end where a line begins */
    SWEEP_RUN,            /* along the line */
    SWEEP_READ,           /* stepped: at a station of the line */
    SWEEP_STOP,           /* told: the hand stops and says how far it came */
    SWEEP_NEXT_LINE,      /* elevation to the next line */
    SWEEP_BACK_ELEVATION, /* to the elevation of the place chosen */
    SWEEP_BACK,           /* to the place chosen */
    SWEEP_CHECK,          /* told: is the carrier there? */
    SWEEP_LOST,           /* everything searched, nothing found */
};

struct sweep {
    enum sweep_phase phase;
    enum axis axis;
    bool stepped;    /* no live level: station by station */
    bool told;       /* no sensor on the axis: time stands for the angle until the operator tells */
    bool fast_start; /* nothing has a name here: a whole line is wanted, so begin at its end */
    struct search_plan plan;
    double middle_x, span, step, rate;
    double whole_middle_x, whole_span; /* of a line before it was narrowed */
    bool pending;       /* a top was passed that may be a side lobe: what stands beside it? */
    bool nearby;        /* only looking about for a carrier that was lost */
    double elevation_x; /* of the first line */
    double width_deg;   /* expected on the azimuth scale */
    int line;           /* of the plan: 0 = the elevation it began at */
    bool strayed;       /* the elevation has left its line */
    int way;            /* +1 or -1 along the line */
    bool reached[2];    /* the line's end to the left, to the right */
    double station_x;
    struct sweep_finder finder;
    double goal_x, goal_elevation, goal_level; /* the place chosen; level NaN = as predicted */
    double turn_x, turn_t, turn_rate; /* told: where and when this turn began; deg/s of the hand */
    double check_t;                   /* until when the carrier may still show */
    double stop_t;                    /* told: when the hand was asked to stop */
};

/* How far a level must rise to be a carrier's and no noise: in the meter's unit. noise NaN = not
 * known. */
double sweep_rise(double noise, enum level_unit unit);

/*
 * Start listening.
 *
 *   width_deg  of the lobe to expect along the axis; lag_s of the meter
 *   noise      of one reading, NaN = not known yet; unit of the readings
 */
void sweep_finder_init(struct sweep_finder *finder, double width_deg, double lag_s, double noise,
                       enum level_unit unit);

/* The noise is known better now. */
void sweep_finder_hear(struct sweep_finder *finder, double noise, enum level_unit unit);

/* A level at a place: true when a top has just been passed, and *ret says where it was. */
bool sweep_finder_push(struct sweep_finder *finder, double t, double x, double elevation,
                       double level, const struct record_lock *lock, struct sweep_peak *ret);

/* The line ends here: true when it ends on a top. */
bool sweep_finder_end(struct sweep_finder *finder, struct sweep_peak *ret);

/* The axis turns along a line, and the level is watched. */
bool sweep_is_passing(const struct sweep *sweep);

/* The axis has come to now_x, not to where it was thought to be: what was read since the turn began
 * lies so many times as far from there as it was thought to. */
void sweep_finder_settle(struct sweep_finder *finder, double turn_t, double thought_x, double now_x,
                         double times);

/* Another pass: what was read before no longer counts as its flank. */
void sweep_finder_turn_round(struct sweep_finder *finder);

#endif
