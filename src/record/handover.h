/*
 * handover.h - the pointing record that is handed over: everything that a page about a finished
 * job shows, as plain data. handover_fold.h fills it from a log, handover_judge.h judges it, the
 * faces (handover_text.h and its like) only place it. Pure: no I/O, no clock, no memory.
 *
 * What was not measured is NaN or says so by its origin; a face shows it as not measured. Angles
 * are degrees, azimuth true and clockwise from north, elevation apparent (refraction added), skew
 * clockwise as seen from behind the antenna. `t` is seconds since the session's start.
 */
#ifndef RECORD_HANDOVER_H
#define RECORD_HANDOVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coach/procedure.h"
#include "job/job.h"
#include "radio/modcods.h"
#include "session/record.h"

enum {
    HANDOVER_PATH_SIZE = 512,
    HANDOVER_DIGEST_SIZE = 65, /* SHA-256 in hexadecimal, and its end */
    HANDOVER_SOFTWARE_SIZE = 48,
    HANDOVER_WORDS_SIZE = 240,
    HANDOVER_LOBE_POINTS = 240,
    HANDOVER_TREND = 512,
    HANDOVER_MARKS = 64,
    HANDOVER_CARRIERS = 24,
    HANDOVER_FASTENINGS = 16,
    HANDOVER_NOTES = 64,
    HANDOVER_FAULTS = 24,
    HANDOVER_SENTENCES = 24,
    HANDOVER_CHECKS = PROCEDURE_STEPS + 8,
};

/* Where a value comes from. Only the first three were ever looked at on the mount. */
enum handover_origin {
    HANDOVER_MEASURED, /* by a sensor or a meter */
    HANDOVER_READ,     /* off a scale or a display, and typed in by the operator */
    HANDOVER_COUNTED,  /* the operator's nudges of a bolt, added up */
    HANDOVER_IMPLIED,  /* follows from something else that was measured */
    HANDOVER_COMPUTED, /* from site and satellite */
    HANDOVER_GIVEN,    /* by the job file */
    HANDOVER_UNKNOWN,  /* not measured */
    HANDOVER_ORIGINS
};

/* What the log is of. */
enum handover_kind {
    HANDOVER_INSTALL,  /* a mount was pointed */
    HANDOVER_PRACTICE, /* the same on a simulated mount: a drill, or a job with a sim: source */
    HANDOVER_QUIZ,     /* questions about another session's recording */
};

/* --- the axes ------------------------------------------------------------------------------- */

struct handover_reading {
    float x_deg;
    float level;
    signed char way; /* +1, -1: swept toward growing, falling angle; 0 = read standing still */
};

enum handover_lobe_by {
    HANDOVER_LOBE_PASSES,   /* swept there and back */
    HANDOVER_LOBE_STATIONS, /* read at a few places */
    HANDOVER_LOBE_DROP,     /* skew: equal drops of the wanted polarisation's level */
    HANDOVER_LOBE_NULL,     /* skew: the level of the other polarisation around its null */
};

/* The level over one axis as it was read when the axis was peaked last. */
struct handover_lobe {
    bool known;
    double t; /* when it was complete */
    enum handover_lobe_by by;
    bool true_angles; /* x_deg are the angles that the mount shows, made true; azimuth goes on
                         beyond 360 or below 0 rather than jump. Else degrees of bolt turned since
                         the session's start */
    struct handover_reading readings[HANDOVER_LOBE_POINTS]; /* oldest first */
    int count;                                              /* kept */
    int read;                                               /* of so many */

    /* the top of the curve, on the same coordinate */
    bool fitted;
    double centre_deg, centre_error_deg; /* error NaN = not known */
    double top_level;                    /* for a null: its lowest level */
    double width_deg;                    /* half-power; NaN = not told (skew) */
    double expected_width_deg;           /* by the antenna's size; NaN = not known */
    bool bracket; /* from equal levels, not from a parabola: draw no curve through it */

    double stands_deg;     /* where the axis was left, same coordinate; NaN = not known */
    double level;          /* read there at the end; NaN = it was not */
    double level_error;    /* its standard error; NaN = not known */
    double below_top;      /* the top that it was brought to minus that, in the level's unit; NaN */
    bool by_operator_word; /* the operator ended it before the coach was through */
    char why_not[HANDOVER_WORDS_SIZE]; /* no lobe, for this reason; "" = none is known */
};

struct handover_axis {
    double computed_deg; /* NaN = not known; skew of circular polarisation */
    double found_deg;    /* where it was left; NaN = nothing told it */
    double found_t;
    enum handover_origin found_by;
    double found_scale_deg; /* the same as the mount's scale has it; NaN where it has none */
    struct handover_lobe lobe;
};

/* A carrier that the search met. */
struct handover_met {
    double azimuth_deg; /* as the mount shows it, coordinate of the azimuth's lobe */
    double level;
    char name[JOB_NAME_SIZE]; /* the satellite it is taken for; "" = not known well enough */
    bool chosen, refused;
};

/* --- the level ------------------------------------------------------------------------------ */

struct handover_level {
    bool known; /* a meter said anything at all */
    enum level_unit unit;
    char quantity[JOB_NAME_SIZE]; /* "C/N"; "" = not said */
    double last;                  /* filtered level at the log's end, whatever it was then */

    /* by the step that measures, with nothing moved since */
    bool measured;
    double final, final_error; /* standard error; NaN = not known */
    double final_t;
    int final_readings;

    double best; /* what was surely reached since the search ended, in this unit; NaN = never */
    double best_t;
    double below_best; /* best minus final; NaN when either is not known */
    double expected;   /* by the job file; NaN = not given */
    double below_expected;
};

/* The level against time in equal pieces: the whole job, however long it took. */
struct handover_piece {
    float low, high; /* of the readings in it; NaN = none came */
    float filtered;  /* the newest filtered one */
};

struct handover_trend {
    double piece_s; /* piece i lies from i * piece_s to (i + 1) * piece_s */
    int count;
    struct handover_piece pieces[HANDOVER_TREND];
    struct {
        double t;
        int step;            /* index into steps */
    } marks[HANDOVER_MARKS]; /* a step began */
    int mark_count;
    int marks_lost; /* there was no room for so many */
};

/* --- the work ------------------------------------------------------------------------------- */

enum handover_ending {
    HANDOVER_NEVER,     /* not come to */
    HANDOVER_OPEN,      /* the log ends in the middle of it */
    HANDOVER_DONE,      /* by what the coach saw */
    HANDOVER_CONFIRMED, /* a caution or work that the operator said is done */
    HANDOVER_BY_WORD,   /* the operator said done where the coach would have measured on */
    HANDOVER_SKIPPED,   /* by the operator */
    HANDOVER_LEFT,      /* gone back from, by the operator or by the coach: see result */
    HANDOVER_AGAIN,     /* was ended, but then an earlier step was begun again */
    HANDOVER_ENDINGS
};

struct handover_step {
    enum handover_ending ending;
    int visits;
    double began_t, ended_t;       /* of the last visit; NaN = not */
    double ended_utc_s;            /* NaN = no clock */
    bool sure;                     /* identify: it was known to be the target then */
    char result[RECORD_TEXT_SIZE]; /* what the coach said of it then */
};

/* The bolts were fastened and the level was read again, or it fell meanwhile. */
struct handover_fastening {
    double t;
    int round;            /* 1 = the first */
    bool alarm;           /* the level fell while a bolt was turned */
    double before, after; /* levels */
    double loss_db;       /* > 0 = lost; a share of the rise where the unit has no decibels */
    double loss_error_db; /* NaN = not known */
    double drift_deg[2];  /* azimuth, elevation moved by, as sensors say; NaN = no sensor does */
    double off_deg[2];    /* off the top by, as pushing and pulling showed; NaN = it was not done */
    double off_error_deg[2];
};

enum handover_verdict { HANDOVER_MET, HANDOVER_NOT_MET, HANDOVER_NOT_MEASURED };

/* One line of the judgement. */
struct handover_check {
    char what[PROCEDURE_NAME_SIZE];
    int step;                        /* index into steps; -1 = a demand of the job */
    char limit[HANDOVER_WORDS_SIZE]; /* what is asked for */
    char found[HANDOVER_WORDS_SIZE]; /* what there is */
    double limit_value, found_value; /* the same as numbers, in `unit`; NaN = it is none */
    char unit[16];
    enum handover_verdict verdict;
};

/* --- the whole ------------------------------------------------------------------------------ */

struct handover {
    const struct job *job;             /* borrowed: as the log's first line has it */
    const struct procedure *procedure; /* borrowed: same */

    struct {
        char path[HANDOVER_PATH_SIZE];
        uint64_t bytes;
        char sha256[HANDOVER_DIGEST_SIZE]; /* of all of them; "" = not computed */
        unsigned long records;
        char software[HANDOVER_SOFTWARE_SIZE]; /* that recorded it; "" = it does not say */
        unsigned long differs; /* places where this version would have advised otherwise */
    } log;
    char software[HANDOVER_SOFTWARE_SIZE]; /* that made this record */
    enum handover_kind kind;
    bool finished;      /* the procedure came to its end */
    double duration_s;  /* t of the last record */
    double begun_utc_s; /* of t = 0; NaN = no clock told */

    struct {
        enum handover_origin origin;       /* GIVEN, MEASURED by a receiver, or UNKNOWN */
        double lat_deg, lon_deg, height_m; /* used for the computed angles; NaN = not known */
        struct record_fix fix;             /* the receiver's last one that had a position */
        double fix_t;                      /* NaN = none came */
        unsigned long fixes;
    } site;

    struct handover_axis axes[AXIS_COUNT];
    double declination_deg; /* NaN = not known */
    double bias_deg; /* the mount's azimuth minus the true one, once the target was known; NaN */
    struct handover_met met[HANDOVER_CARRIERS];
    int met_count;

    struct {
        bool sure;
        char grounds[RECORD_TEXT_SIZE]; /* why it is, or is not, taken for the target; "" */
        char lock_id[RECORD_NAME_SIZE]; /* what the receiver named last; "" = nothing */
    } identity;

    struct handover_level level;

    struct {
        enum handover_origin origin; /* MEASURED by the meter, READ from the network operator,
                                        IMPLIED by skew's error, or UNKNOWN */
        double db;
        double skew_error_deg; /* that it is implied by; NaN = not known */
        double wanted_db;      /* NaN = nothing is demanded */
        char how[HANDOVER_WORDS_SIZE];
    } isolation;

    struct {
        enum handover_origin origin; /* of esn0_db: IMPLIED by the final level, or UNKNOWN */
        double esn0_db;
        struct modcods_choice choice;      /* best NULL = none holds, or Es/N0 is not known */
        double expected_mbps;              /* NaN = not known */
        char why_not[HANDOVER_WORDS_SIZE]; /* not known, for this reason */
    } link;

    struct {
        enum handover_origin origin; /* MEASURED (iperf3), READ (typed in), or UNKNOWN */
        double down_mbps, up_mbps;   /* NaN = not tested */
        char how[HANDOVER_WORDS_SIZE];
    } speed;

    struct handover_step steps[PROCEDURE_STEPS]; /* procedure->step_count of them */
    struct handover_fastening fastenings[HANDOVER_FASTENINGS];
    int fastening_count, fastenings_lost; /* lost: the oldest, for want of room */
    struct handover_trend trend;

    struct {
        double t, utc_s;
        bool mark;
        char text[RECORD_TEXT_SIZE];
    } notes[HANDOVER_NOTES];
    int note_count, notes_lost;

    struct {
        double t;
        struct record_source source;
    } faults[HANDOVER_FAULTS]; /* a source went down, fell silent or sent what can't be read */
    int fault_count, faults_lost;
    unsigned long refused; /* lines and values that the sources refused in all */

    struct {
        bool known;
        double points; /* of 100 */
        char sentences[HANDOVER_SENTENCES][RECORD_TEXT_SIZE];
        int count, lost;
    } score; /* of a practice or a quiz */

    struct handover_check checks[HANDOVER_CHECKS];
    int check_count;
};

const char *handover_origin_name(enum handover_origin origin);    /* "measured", ... */
const char *handover_ending_name(enum handover_ending ending);    /* "done", "skipped", ... */
const char *handover_verdict_name(enum handover_verdict verdict); /* "met", "not met", ... */
const char *handover_kind_name(enum handover_kind kind);          /* "install", ... */

#endif
