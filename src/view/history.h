/*
 * history.h - what a face remembers of the records that went by, for its graphs: when steps began,
 * which level was met at which angle, what the receiver named where. Pure.
 */
#ifndef VIEW_HISTORY_H
#define VIEW_HISTORY_H

#include <stdbool.h>
#include <stddef.h>

#include "peaking/lobe.h"
#include "session/state.h"

enum { HISTORY_STEPS = 64, HISTORY_NAMED = 32 };

struct history {
    struct {
        double t; /* when it was entered */
        int number;
    } steps[HISTORY_STEPS]; /* the newest last; the oldest fall off */
    size_t step_count;

    /* Levels over the axis that is being turned, from when the coach first spoke of it. */
    struct {
        enum axis axis;                              /* AXIS_NONE = none yet */
        struct lobe_reading readings[LOBE_READINGS]; /* ring; angles go on past north */
        signed char way[LOBE_READINGS]; /* the hand went: 1 to growing angle, -1, 0 = it stood */
        bool settled[LOBE_READINGS];    /* it stood, and the meter has had time to follow */
        size_t next, count;
        bool over; /* the next axis that is turned begins a new one */
        double x;               /* of the newest */
        double stood_x, stood_t; /* where it stands, since when */
        double fit_t;
        bool fitted;
        bool rough;          /* from readings of a hand in motion: shifted by the meter's lag */
        struct lobe_fit fit; /* valid when fitted */
    } lobe;

    /* What the receiver was locked on, where it was strongest. */
    struct {
        char id[RECORD_NAME_SIZE];
        double azimuth_deg, level;
    } named[HISTORY_NAMED];
    size_t named_count;

    /* Readings a second of the state's sources, counted over some seconds; NaN = not yet known. */
    struct {
        unsigned long count; /* when the counting began */
        double rate;
    } sources[STATE_SOURCES];
    double counted_t;

    double t; /* of the newest record */
};

void history_init(struct history *history);

/*
 * A record was applied to the state. One from before the newest means that a replay went back: what
 * came later is forgotten.
 */
void history_add(struct history *history, const struct state *state, const struct record *record);

/* Reading i of the lobe, 0 = oldest kept; its way. */
struct lobe_reading history_reading(const struct history *history, size_t i, int *ret_way);

#endif
