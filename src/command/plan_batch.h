/* plan_batch.h - the pointing of many sites: a table with commas in, the same with more columns
 * out. */
#ifndef COMMAND_PLAN_BATCH_H
#define COMMAND_PLAN_BATCH_H

#include <stdio.h>

#include "job/job.h"
#include "sky/magnetic.h"

/*
 * Read a table row by row and write each row with the columns of plan_row.h behind it. The columns
 * lat and lon are needed; height_m, target, pol and date may be there; all are passed through as
 * they stand. A row that can't be used is complained of by its number (the head is row 1, as a
 * spreadsheet counts) and left out.
 *
 *   job       the target and polarisation of rows that name none
 *   unix_s    the day of rows that name none
 *   path      "-" = standard input
 *   returns   the exit status: 0; 1 a row was left out, or the output could not be written; 2 there
 *             is no such table
 */
int plan_batch(const struct job *job, const struct magnetic_model *magnetic, double unix_s,
               const char *path, FILE *out);

#endif
