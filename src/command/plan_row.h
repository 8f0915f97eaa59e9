/* plan_row.h - the pointing of one site as a row of a table with commas: the batch's arithmetic.
 * Pure. */
#ifndef COMMAND_PLAN_ROW_H
#define COMMAND_PLAN_ROW_H

#include <stdbool.h>
#include <stddef.h>

#include "radio/polarisation.h"
#include "sky/look.h"
#include "sky/magnetic.h"

struct plan_row {
    struct look look;
    double elevation_apparent_deg;
    double skew_deg;             /* NaN = circular */
    struct magnetic_field field; /* its declination NaN when not known for this time */
    double azimuth_magnetic_deg; /* likewise */
    bool visible;
};

struct plan_row_given {
    struct look_site site;
    double target_lon_deg;
    enum polarisation polarisation;
    double skew_offset_deg;
};

/*
 *   moment          the magnetic model at the row's time
 *   magnetic_known  that time is not too far out of the model's years
 */
void plan_row_make(const struct plan_row_given *given, const struct magnetic_moment *moment,
                   bool magnetic_known, struct plan_row *ret);

/* A time not so far out of the model's years that its numbers are fiction. */
bool plan_row_magnetic_known(const struct magnetic_model *model, double year);

/* How far to trust a compass in a field: "normal", "caution", "blackout". */
const char *plan_row_zone(const struct magnetic_field *field);

/* The columns' names, parted by commas; those of `plan --json`. */
extern const char plan_row_columns[];

enum { PLAN_ROW_SIZE = 256 };

/*
 * The columns' values: degrees to 7 decimals, km to 6, true or false; empty = not known.
 *
 *   returns  bytes written, terminated
 */
size_t plan_row_csv(const struct plan_row *row, char ret[PLAN_ROW_SIZE]);

#endif
