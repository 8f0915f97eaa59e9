/*
 * anonymise_job.h - a job and a procedure as they may be shown to strangers: names dropped or
 * replaced, the site and all satellites moved by the same longitude. No I/O.
 */
#ifndef COMMAND_ANONYMISE_JOB_H
#define COMMAND_ANONYMISE_JOB_H

#include "coach/procedure.h"
#include "command/alias.h"
#include "job/job.h"

struct anonymise_names {
    struct alias satellites, carriers;
    struct alias devices; /* meters and sources: their records are told apart by one name */
};

void anonymise_names_init(struct anonymise_names *names);

/* -180 to 180, rounded as a log keeps it. */
double anonymise_longitude(double lon_deg, double east_deg);

/*
 * What the job says in numbers and choices stays; longitudes move east. Of its texts only those are
 * kept that are listed in the source as telling of no place, maker or person.
 *
 *   returns  0; -EINVAL and why when the copy is no job any more
 */
int anonymise_job(const struct job *job, double east_deg, struct anonymise_names *names,
                  struct job *ret_job, char why[JOB_ERROR_SIZE]);

/* One that comes with the program stays as it is; of another its name and its own sentences go, its
 * steps and their names stay. As above. */
int anonymise_procedure(const struct procedure *procedure, struct procedure *ret_procedure,
                        char why[JOB_ERROR_SIZE]);

#endif
