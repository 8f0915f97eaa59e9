/*
 * history.h - what went by and the state does not keep, for the graphs: when steps began, which
 * levels were met at which angle while an axis was turned, how often sources speak. A fold beside
 * that of the state. Pure.
 */
#ifndef VIEW_HISTORY_H
#define VIEW_HISTORY_H

#include <stdbool.h>
#include <stddef.h>

#include "peaking/lobe.h"
#include "session/state.h"

enum {
    HISTORY_STEPS = 64,
    HISTORY_LEVELS = 3600, /* one a second at most: for when the state's trend is too short */
};

struct history {
    struct {
        double t; /* when it was entered */
        int number;
    } steps[HISTORY_STEPS]; /* the newest last; the oldest fall off */
    size_t step_count;

    struct history_level {
        double t, filtered;
    } levels[HISTORY_LEVELS]; /* ring: the newest of each second */
    size_t level_next, level_count;

    /* Levels over the axis that is being turned, from when the coach first spoke of it. */
    struct {
        enum axis axis;                              /* AXIS_NONE = none yet */
        int step;                                    /* in which: its number, 0 = none */
        struct lobe_reading readings[LOBE_READINGS]; /* ring; places as the coach counts them, see
                                                        travel_position() */
        signed char way[LOBE_READINGS]; /* the hand went: 1 to growing angle, -1, 0 = it stood */
        size_t next, count;
        bool over;      /* the next axis that is turned begins a new one */
        double stood_x; /* where it stands */
    } lobe;

    /* Readings a second of the state's sources, counted over some seconds; NaN = not yet known. */
    struct {
        unsigned long count; /* when the counting began */
        double rate;
    } sources[STATE_SOURCES];
    double counted_t;

    double t; /* of the newest record */
};

void history_init(struct history *history);

/* A record was applied to the state. */
void history_add(struct history *history, const struct state *state, const struct record *record);

/* Level i of those kept, 0 = oldest. */
const struct history_level *history_level(const struct history *history, size_t i);

/* Reading i of the lobe, 0 = oldest kept; its way. */
struct lobe_reading history_reading(const struct history *history, size_t i, int *ret_way);

#endif
