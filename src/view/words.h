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
 *   pause | play | speed X | seek T | forward | rewind     (a replay)
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
    WORDS_SPEED,     /* ret->number */
    WORDS_SEEK,      /* ret->number: s since the start */
    WORDS_SKIP_TIME, /* ret->number: s forward or back */
    WORDS_NOTHING,   /* an empty line */
};

struct words {
    enum words_kind kind;
    double number;
    struct record record;
};

/*
 *   unit     the unit of a level that is said without one
 *   returns  0; -EINVAL and why: what was not understood and what would be
 */
int words_parse(const char *text, enum level_unit unit, struct words *ret_words,
                char why[RECORD_TEXT_SIZE]);

/* What can be said, a line each, for `help`. */
extern const char words_help[];

#endif
