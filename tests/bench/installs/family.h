/*
 * family.h - kinds of installs: a scenario and its job, varied by a seed within what a family may
 * be. The world is varied and, apart from it, what the job says of it: nominal values of a data
 * sheet, which are off.
 */
#ifndef BENCH_FAMILY_H
#define BENCH_FAMILY_H

#include <stdint.h>

#include "job/job.h"
#include "sim/alone.h"
#include "sim/scenario.h"
#include "sim/technician.h"

enum { FAMILIES = 4, FAMILY_KIT_SIZE = 48 };

struct install {
    int family;
    uint64_t seed;
    char kit[FAMILY_KIT_SIZE]; /* what was drawn, in a word or two */
    struct scenario scenario;
    struct job job;
    enum technician_model hand;
    struct alone_sheet sheet; /* for one who works alone */
};

/* "easy", "narrow", "panel", "arc". */
const char *family_name(int family);
const char *family_title(int family);

/* Read the scenarios and jobs that they are made of. 0 or -1 after complaining. */
int family_read_all(void);

/* 0 or -1 after complaining. */
int family_make(int family, uint64_t seed, struct install *ret);

#endif
