/* mend.h - what is wrong with a source, in words that say what to do about it. */
#ifndef COMMAND_MEND_H
#define COMMAND_MEND_H

#include <stdbool.h>

#include "job/job.h"
#include "session/record.h"

enum { MEND_SIZE = 320 };

/* What was heard of a source in some seconds. */
struct mend_heard {
    int counts[RECORD_KIND_COUNT];
    struct record last[RECORD_KIND_COUNT]; /* valid where something was counted */
    bool down;                             /* its last word: down or silent */
    unsigned bad;                          /* lines refused */
    char why[RECORD_TEXT_SIZE];            /* its last words */
};

/*
 *   address   as the job has it
 *   meter     the profile of its lines; NULL = none
 *   ret_mend  what to do; "" = nothing needs to be done
 *   returns   whether it works
 */
bool mend_find(const char *address, const struct job_meter *meter, const struct mend_heard *heard,
               char ret_mend[MEND_SIZE]);

/* A serial port that can't be opened: what to do. */
void mend_port(const char *device, char ret_mend[MEND_SIZE]);

#endif
