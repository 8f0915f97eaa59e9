/*
 * sweep.h - turn an axis slowly until a carrier is found: working memory and the search itself,
 * apart from the words. Pure.
 */
#ifndef COACH_SWEEP_H
#define COACH_SWEEP_H

#include <stdbool.h>

#include "peaking/search_plan.h"
#include "session/record.h"
#include "session/state.h"

enum { SWEEP_PEAKS = 24 };

struct sweep_peak {
    double x;         /* axis coordinate of the top */
    double elevation; /* elevation coordinate of the line */
    double level;
    char id[RECORD_NAME_SIZE]; /* what the receiver said while there */
};

/* Finds tops in a level that rises and falls along the way. */
struct sweep_finder {
    double floor; /* lowest filtered level so far */
    double rise;  /* a top stands this far above the floor */
    double drop;  /* and the level falls this far behind it */
    bool inside;  /* a top is in the making */
    struct sweep_peak top;
};

enum sweep_phase {
    SWEEP_LISTEN,         /* the floor, before anything moves */
    SWEEP_TO_START,       /* to the end where a line begins, watching on the way */
    SWEEP_RUN,            /* along the line */
    SWEEP_READ,           /* stepped: at a station of the line */
    SWEEP_NEXT_LINE,      /* elevation to the next line */
    SWEEP_BACK_ELEVATION, /* to the line of the top chosen */
    SWEEP_BACK,           /* to the top chosen */
    SWEEP_LOST,           /* everything searched, nothing found */
};

struct sweep {
    enum sweep_phase phase;
    enum axis axis;
    bool stepped; /* no sensor on the axis: station by station */
    struct search_plan plan;
    double middle_x, span, step, rate;
    double elevation_x;
    int line; /* of the plan: 0 = the elevation it began at */
    int way;  /* +1 or -1 along the line */
    double station_x;
    struct sweep_finder finder;
    struct sweep_peak peaks[SWEEP_PEAKS];
    int peak_count;
    int chosen;
    double newest[3];             /* levels, for a median that does not lag */
    double last_x, last_t, speed; /* of the hand, deg/s */
};

/* Start listening: rise and drop from the meter's noise and unit. */
void sweep_finder_init(struct sweep_finder *finder, double noise, bool is_db);

/* A level at a place: true when a top has just been passed, and *ret says where it was. */
bool sweep_finder_push(struct sweep_finder *finder, double x, double elevation, double level,
                       const struct record_lock *lock, struct sweep_peak *ret);

/*
 * Which top to go to: the one that the receiver names as the target; else the strongest.
 *
 *   returns  an index, or -1 with no tops
 */
int sweep_choose(const struct sweep_peak *peaks, int count, const char *target_id);

#endif
