/*
 * record.h - everything that happens is a record with a time. Plain data; no I/O, no clock.
 *
 * Doubles that are "not known" are NaN. record_round() brings every number to the precision it is
 * logged with, so that what is read back is what was there: apply it before anything else sees a
 * record.
 */
#ifndef SESSION_RECORD_H
#define SESSION_RECORD_H

#include <stdbool.h>
#include <stddef.h>

#include "base/axis.h"
#include "peaking/level.h"

enum {
    RECORD_NAME_SIZE = 64,
    RECORD_TEXT_SIZE = 256,
};

/* No session is longer: thirty years. */
#define RECORD_LONGEST_S 1e9

/* No meter shows more, to either side; raw counts of 32 bits are within it. */
#define RECORD_HIGHEST_LEVEL 1e10

enum record_kind {
    RECORD_FIX,
    RECORD_UTC,
    RECORD_ANGLES,
    RECORD_LEVEL,
    RECORD_LOCK,
    RECORD_AUX,
    RECORD_MOVE,
    RECORD_NOTE,
    RECORD_SOURCE,
    RECORD_STEP,
    RECORD_ADVICE,
    RECORD_MARK,
    RECORD_KIND_COUNT
};

struct record_fix {
    double lat_deg, lon_deg;
    double height_m; /* above the WGS84 ellipsoid; NaN with a 2D fix */
    double error_m;  /* horizontal, as the receiver states it; NaN = not stated */
    int mode;        /* 0 or 1 none, 2 = 2D, 3 = 3D, as gpsd counts */
    int satellites;  /* used; -1 = not stated */
};

struct record_angles {
    double deg[AXIS_COUNT]; /* NaN = this record does not say */
    bool magnetic;          /* the azimuth counts from magnetic north */
    bool scale;             /* read off the mount's scales, not true angles */
    char from[RECORD_NAME_SIZE];
};

struct record_level {
    double value;
    enum level_unit unit;
    char meter[RECORD_NAME_SIZE]; /* the meter section of its profile */
};

struct record_lock {
    bool locked;
    char id[RECORD_NAME_SIZE]; /* what the receiver says it is locked to; "" = not said */
};

struct record_aux {
    char name[RECORD_NAME_SIZE];
    double value;
    char unit[16];
};

/* The operator says what was turned: positive = right, up, clockwise. */
struct record_move {
    enum axis axis;
    double deg;   /* NaN when said in turns */
    double turns; /* NaN when said in degrees */
};

enum record_source_status { SOURCE_UP, SOURCE_DOWN, SOURCE_SILENT, SOURCE_BAD };

struct record_source {
    char name[RECORD_NAME_SIZE];
    enum record_source_status status;
    unsigned bad; /* lines or values refused so far */
    char why[RECORD_TEXT_SIZE];
};

enum record_step_event {
    /* said by the operator */
    STEP_DONE,
    STEP_SKIP,
    STEP_BACK,
    STEP_REPEAT,
    /* said by the coach */
    STEP_ENTER,
    STEP_LEAVE,
};

struct record_step {
    enum record_step_event event;
    char name[RECORD_NAME_SIZE];   /* "" from the operator: the step at hand */
    int number, count;             /* 1-based; 0 from the operator */
    char result[RECORD_TEXT_SIZE]; /* STEP_LEAVE: what it ended with */
};

enum advice_move {
    ADVICE_LEFT,
    ADVICE_RIGHT,
    ADVICE_UP,
    ADVICE_DOWN,
    ADVICE_CLOCKWISE,
    ADVICE_ANTICLOCKWISE,
    ADVICE_HOLD,
    ADVICE_WAIT,
    ADVICE_TIGHTEN,
    ADVICE_PUSH,
    ADVICE_PULL,
    ADVICE_CONFIRM,
    ADVICE_DONE,
    ADVICE_MOVE_COUNT
};

enum advice_until {
    UNTIL_NONE,
    UNTIL_ARRIVED, /* the angle is reached */
    UNTIL_DWELL,   /* enough readings are in */
    UNTIL_CARRIER, /* a carrier is found or the far end is reached */
    UNTIL_ANSWER,  /* the operator answers */
    UNTIL_SOURCE,  /* a source comes (back) up */
    UNTIL_COUNT
};

struct advice {
    char step[RECORD_NAME_SIZE];
    enum axis axis; /* AXIS_NONE when it is about no axis */
    enum advice_move move;
    double deg;   /* how far, >= 0; NaN = no distance */
    double turns; /* of the bolt, >= 0; NaN = not known */
    double rate;  /* deg/s not to exceed; NaN = no matter */
    enum advice_until until;
    char say[RECORD_TEXT_SIZE]; /* one sentence */
    char why[RECORD_TEXT_SIZE]; /* the grounds; "" = none */
};

struct record {
    double t; /* seconds since the session's start, monotonic */
    enum record_kind kind;
    union {
        struct record_fix fix;
        struct {
            double unix_s;
        } utc;
        struct record_angles angles;
        struct record_level level;
        struct record_lock lock;
        struct record_aux aux;
        struct record_move move;
        struct {
            char text[RECORD_TEXT_SIZE];
        } note, mark;
        struct record_source source;
        struct record_step step;
        struct advice advice;
    };
};

/* The key of a kind in the log: "fix", "utc", ... */
const char *record_kind_name(enum record_kind kind);

/* The way of a move as the advice names it ("left", "hold", ...), and back (false = unknown). */
const char *advice_move_name(enum advice_move move);
bool advice_parse_move(const char *name, enum advice_move *ret_move);

/* The move that turns an axis toward growing (sign > 0) or falling angle. */
enum advice_move advice_move_toward(enum axis axis, double sign);

/* How far it asks to turn, signed as its axis counts; NaN = it is no turn, or no distance. */
double advice_signed_deg(const struct advice *advice);

/* A hand is to bend the antenna, and to let go at the next advice. */
bool advice_bends(enum advice_move move);

/* True when the coach made the record (it is made again on replay, not fed in). */
bool record_is_made(const struct record *record);

/*
 * What keeps a record from being one, as a phrase: a number that it needs is missing or out of any
 * range. NULL = nothing: it can be logged, and the log can be read.
 */
const char *record_wrong(const struct record *record);

/* Round every number to the digits it is logged with; one without an end is not known then. */
void record_round(struct record *record);

/*
 * One line of the log, without the line's end.
 *
 *   returns  the length; -ENOSPC when size is too small; -EINVAL when record_wrong() says why
 */
int record_format(const struct record *record, char *line, size_t size);

/*
 *   line     one JSON object; unknown keys are ignored
 *   why      on failure a phrase that is safe to show
 *   returns  0; -EINVAL not a record
 */
int record_parse(const char *line, struct record *ret_record, char why[RECORD_TEXT_SIZE]);

/*
 * The same of n bytes with a NUL behind them. One in the midst of them is refused. Lines as
 * record_format() writes them go a short way, all others that of record_parse_any(); what comes
 * out is the same.
 */
int record_parse_line(const char *text, size_t n, struct record *ret_record,
                      char why[RECORD_TEXT_SIZE]);
int record_parse_any(const char *text, size_t n, struct record *ret_record,
                     char why[RECORD_TEXT_SIZE]);

#endif
