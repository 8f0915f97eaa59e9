/*
 * drill_score.h - what a practice session was worth: a fold over its records and over how the mount
 * really stood, which only a simulation knows. Pure: no I/O, no clock, no memory.
 *
 * A turn is wrong
 *   - against advice that was shown: on the advised axis the other way, or on another axis, by more
 *     than a tenth of a beamwidth (a quarter on the other axis);
 *   - with nothing shown: away from the satellite, without having crossed it, by more than a
 *     beamwidth, ending more than one and a half off. A turn that goes the way of advice that was
 *     not shown is never wrong.
 * One that was under way when the advice came is not counted. The bounds are this program's own.
 */
#ifndef COMMAND_DRILL_SCORE_H
#define COMMAND_DRILL_SCORE_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

#include "coach/procedure.h"
#include "session/record.h"

/* How the mount really stands at a moment. */
struct drill_stand {
    double deg[AXIS_COUNT];     /* the mount's own angles */
    double off_deg[AXIS_COUNT]; /* and off the target: positive = turned too far right, up, ... */
};

/* A turn in one direction. */
struct drill_leg {
    double from_deg, from_off_deg; /* where it began */
    double last_deg;
    int way;       /* +1, -1; 0 = not turned yet */
    bool moving;   /* at the last record */
    bool carried;  /* was under way when the advice came */
    bool told;     /* counted as wrong already */
    double word_t; /* when the operator last said to turn it */
};

enum drill_judging {
    DRILL_JUDGES_NOTHING, /* hands off, bolts being fastened */
    DRILL_JUDGES_ADVICE,  /* the advice that is shown names a way */
    DRILL_JUDGES_TARGET,  /* nothing does */
};

struct drill_score {
    const struct procedure *procedure; /* borrowed */
    double beam_deg[AXIS_COUNT];       /* what counts as a beamwidth on each axis */
    enum drill_judging judging;
    enum axis axis; /* advised, shown or not; AXIS_NONE = no turn */
    int way;
    struct drill_leg legs[AXIS_COUNT];
    bool standing; /* legs are begun */

    int wrong_turns;
    double first_wrong_t;           /* NaN = none */
    size_t at;                      /* step at hand */
    size_t cautions;                /* the confirm steps that stand first */
    bool answered[PROCEDURE_STEPS]; /* cautions */
    bool tightening, fastened;
    bool finished;
    int asked;
    double t; /* of the last record */
};

/* How it ended, by the simulation. */
struct drill_ending {
    char target[RECORD_NAME_SIZE];
    char nearest[RECORD_NAME_SIZE]; /* the satellite nearest to the boresight; "" = none at all */
    bool on_target;                 /* it is the target */
    double nearest_beams;           /* how far that is off, half-power widths */
    double target_beams;            /* and the target */
    double pointing_loss_db, skew_loss_db, skew_error_deg;
    double allowed_s; /* a practised hand's time */
};

/* What it comes to. */
struct drill_result {
    bool finished, on_target; /* within half a beamwidth of the target, nearer than to any other */
    double loss_db, t;
    int wrong_turns;
    int cautions_skipped; /* or never reached */
    bool fastened;
    int points; /* 0 to 100; 0 when it was not finished or is not on the target */
};

/*
 *   procedure  outlives the score
 *   beam_deg   the half-power width on each axis, on the bearing for azimuth; what counts as such
 *              for skew
 */
void drill_score_init(struct drill_score *score, const struct procedure *procedure,
                      const double beam_deg[AXIS_COUNT]);

/* The mark by which an operator's asking is kept in the log, in the language of the session. */
extern const char drill_asked_mark[]; /* to be said by _() */

/*
 * One more record of the session.
 *
 *   shown  of advice: whether the operator got to see it
 *   stand  at that time
 */
void drill_score_add(struct drill_score *score, const struct record *record, bool shown,
                     const struct drill_stand *stand);

/* Advice that was hidden at first is shown from now on. */
void drill_score_reveal(struct drill_score *score);

struct drill_result drill_score_end(const struct drill_score *score,
                                    const struct drill_ending *ending);

enum { DRILL_SENTENCES = 8 };

/* The same in sentences; returns how many. */
size_t drill_score_tell(const struct drill_score *score, const struct drill_ending *ending,
                        char ret_sentences[DRILL_SENTENCES][RECORD_TEXT_SIZE]);

/* The same as an object; the keys are explained in peakward(1). The caller's reference. */
json_t *drill_score_json(const struct drill_score *score, const struct drill_ending *ending);

#endif
