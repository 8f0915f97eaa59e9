/* report.h - tables of how installs ended, and whether the targets are met. */
#ifndef BENCH_REPORT_H
#define BENCH_REPORT_H

#include <stdio.h>

#include "outcome.h"

struct report_row {
    int family;
    uint64_t seed;
    char kit[FAMILY_KIT_SIZE];
    enum technician_model hand;
    bool has_cross; /* the meter has a port for the other polarisation */
    struct outcome coached, alone;
    struct outcome_step steps[PROCEDURE_STEPS]; /* of the coached one */
};

/* All rows of one family, in any order. Returns how many targets are missed. */
int report_family(FILE *file, int family, const struct report_row *rows, size_t n);

/* Each word of the kits, and each hand, by itself. */
void report_kits(FILE *file, const struct report_row *rows, size_t n);

/* Each step of the procedure: its time, and the loss and where the antenna stood when it was left.
 */
void report_steps(FILE *file, const struct report_row *rows, size_t n);

/* One line an install. */
void report_line(FILE *file, const struct report_row *row);

#endif
