/*
 * words.h - the operator's words: one grammar for keys, typed lines and other programs. Pure.
 *
 *   done | skip | back | repeat           answer the step
 *   az DEG | el DEG | skew DEG            read off the mount's scale
 *   moved WAY AMOUNT turns|deg            WAY right left up down clockwise anticlockwise;
 *                                         AMOUNT 1.25, 1/8, 1 1/4
 *   level VALUE [UNIT] | lock yes|no [ID] read off a meter without a cable
 *   download MBPS | upload MBPS | isolation DB
 *   note TEXT | mark [TEXT]
 *   quit | help
 * and for a replay:
 *   pause | play | speed X|max | forward [S] | rewind [S] | next | previous
 *   seek TIME|start|end                   TIME 250, 4:10, 1:02:30
 *   seek next|previous step|mark|advice | seek step NAME|NUMBER
 */
#ifndef VIEW_WORDS_H
#define VIEW_WORDS_H

#include "session/record.h"

enum words_kind {
    WORDS_RECORD, /* ret->record is filled, its t left 0 */
    WORDS_QUIT,
    WORDS_HELP,
    WORDS_PAUSE,
    WORDS_PLAY,
    WORDS_SPEED,   /* ret->number; INFINITY = as fast as it goes */
    WORDS_SEEK,    /* ret->place */
    WORDS_ONE,     /* ret->number: +1 to the next record, -1 to the one before */
    WORDS_NOTHING, /* an empty line */
};

/* Where to in a replay. */
enum words_place {
    PLACE_TIME,    /* ret->number: s since the start; INFINITY = the end */
    PLACE_AWAY,    /* ret->number: s forward or back */
    PLACE_STEP,    /* ret->number: +1 the next step of the procedure, -1 the one before */
    PLACE_MARK,    /* the same with what was noted or marked */
    PLACE_ADVICE,  /* the same with what the coach advised */
    PLACE_OF_STEP, /* ret->name: a step's name or number */
};

struct words {
    enum words_kind kind;
    enum words_place place;
    double number;
    char name[RECORD_NAME_SIZE];
    struct record record;
};

/*
 *   unit     the unit of a level that is said without one
 *   returns  0; -EINVAL and why: what was not understood and what would be
 */
int words_parse(const char *text, enum level_unit unit, struct words *ret_words,
                char why[RECORD_TEXT_SIZE]);

/* What can be said, a line each, for `help`: in a live session, in a replay. */
extern const char words_help[], words_help_replay[];

#endif
