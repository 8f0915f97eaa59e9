/* given.h - a job or a procedure for a test, key by key; the test fails on what is refused. */
#ifndef TESTS_GIVEN_H
#define TESTS_GIVEN_H

#include "expect.h"

#include "coach/procedure.h"
#include "job/job.h"

static inline void given_job(struct job *job, const char *section, const char *key,
                             const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    if (job_set(job, section, key, value, why) < 0) {
        fail_msg("%s", why);
    }
}

static inline void given_step(struct procedure *procedure, const char *section, const char *key,
                              const char *value)
{
    char why[JOB_ERROR_SIZE] = "";

    if (procedure_set(procedure, section, key, value, why, sizeof why) < 0) {
        fail_msg("%s", why);
    }
}

/* An invented hut and a satellite over it; the dish to see it with. */
static inline void given_hut(struct job *job)
{
    given_job(job, "site", "lat", "46.6");
    given_job(job, "site", "lon", "10.1");
    given_job(job, "site", "height", "2200");
    given_job(job, "target", "longitude", "22.4E");
    given_job(job, "target", "polarisation", "V");
}

static inline void given_dish(struct job *job)
{
    given_job(job, "antenna", "kind", "dish");
    given_job(job, "antenna", "diameter", "0.75");
    given_job(job, "antenna", "frequency", "11.7");
}

#endif
