/*
 * state.h - what is known now: a pure fold over the records. Only state_apply() writes it; a view
 * gets it const. Every value carries the time it was learned, so that an old one is shown as old.
 */
#ifndef SESSION_STATE_H
#define SESSION_STATE_H

#include <stdbool.h>
#include <stddef.h>

#include "job/job.h"
#include "peaking/level_filter.h"
#include "session/record.h"
#include "sky/look.h"
#include "sky/magnetic.h"

enum {
    STATE_TREND = 4096, /* readings kept for the graph */
    STATE_SOURCES = JOB_SOURCES + 1,
    STATE_NOTES = 64,
};

struct state_trend {
    double t;
    double level; /* NaN = a gap (source went down) */
    double filtered;
    float deg[AXIS_COUNT]; /* measured then, NaN = not known */
};

struct state_source {
    char name[RECORD_NAME_SIZE];
    enum record_source_status status;
    double t; /* of the last record about it */
    unsigned bad;
    unsigned long count; /* readings */
    double last_t;       /* of the last reading; NaN = none yet */
    char why[RECORD_TEXT_SIZE];
};

struct state {
    const struct job *job;                 /* borrowed from the command */
    const struct magnetic_model *magnetic; /* borrowed from the command */
    double t;

    struct look_site site;
    enum { SITE_NONE, SITE_JOB, SITE_FIX } site_from;
    struct record_fix fix;
    double fix_t;                /* NaN = none yet */
    double utc_s, utc_t;         /* UTC and the t it came with; NaN = none yet */
    struct magnetic_field field; /* valid when field_known */
    bool field_known;

    struct {
        bool known;
        double deg[AXIS_COUNT]; /* azimuth true, elevation apparent (refraction added), skew;
                                   skew NaN for circular polarisation */
        struct look look;
        double refraction_deg;
    } target;

    struct {
        double deg[AXIS_COUNT]; /* true angles; NaN = not known */
        double t[AXIS_COUNT];
        double nudged_deg[AXIS_COUNT];  /* sum of the operator's moves since the last reading */
        double counted_deg[AXIS_COUNT]; /* of all of them */
    } measured;

    struct {
        bool known;
        double value, t;
        enum level_unit unit;
        struct level_filter filter;
        double best, best_t;         /* best filtered level; NaN = none yet */
        double best_deg[AXIS_COUNT]; /* where it was; NaN = not known */
        double free_t; /* from then on no hand bends the antenna; INFINITY = one does now */
    } level;

    struct record_lock lock;
    double lock_t; /* NaN = not said yet */
    struct record_aux aux[8];
    size_t aux_count;

    struct state_source sources[STATE_SOURCES];
    size_t source_count;

    struct record_step step; /* the step at hand (event STEP_ENTER) */
    double step_t;
    struct advice advice; /* the last one */
    double advice_t;

    struct state_trend trend[STATE_TREND]; /* ring: the newest is (trend_next - 1) % STATE_TREND */
    size_t trend_next, trend_count;

    struct {
        double t;
        bool mark;
        char text[RECORD_TEXT_SIZE];
    } notes[STATE_NOTES]; /* the newest last; the oldest fall off */
    size_t note_count;
};

void state_init(struct state *state, const struct job *job, const struct magnetic_model *magnetic);

/* Fold one record in. Records come in the order of their time. */
void state_apply(struct state *state, const struct record *record);

/*
 * What is sure of the level of the antenna as it stands, in the meter's unit (level_filter_sure());
 * NaN while some of what goes into it was read with a hand bending the antenna.
 */
double state_sure_level(const struct state *state);

/* What the receiver says that it is locked to; "" = no lock, or it does not say. */
const char *state_carrier(const struct state *state);

/*
 * Where an axis stands, degrees: as it was measured, and turned by word since; an azimuth in
 * [0, 360). NaN when it was never measured.
 */
double state_stands_deg(const struct state *state, enum axis axis);

/* Target minus measured on an axis, the short way round, degrees; NaN when either is not known. */
double state_to_go_deg(const struct state *state, enum axis axis);

/* What the operator turned, in degrees; NaN when said in turns of a bolt that is not known. */
double state_move_deg(const struct state *state, const struct record_move *move);

/* Reading i of the trend, 0 = oldest kept, trend_count - 1 = newest. */
const struct state_trend *state_trend_at(const struct state *state, size_t i);

#endif
