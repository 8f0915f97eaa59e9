/*
 * handover_csv.h - a handover as one row of a table of many jobs (RFC 4180, lines end in LF). What
 * is not known is an empty field.
 */
#ifndef RECORD_HANDOVER_CSV_H
#define RECORD_HANDOVER_CSV_H

#include <stdio.h>

#include "record/handover.h"

/* The columns' names, and the row. 0, or -EIO when the file can't be written. */
int handover_csv(const struct handover *handover, FILE *file);

/* The row alone, for a table that has its names already. */
int handover_csv_row(const struct handover *handover, FILE *file);

#endif
