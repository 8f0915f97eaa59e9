/*
 * drill_lesson.h - the scenarios that are meant for practice: those with a [lesson] section, each
 * with a job file of the same name beside it.
 */
#ifndef COMMAND_DRILL_LESSON_H
#define COMMAND_DRILL_LESSON_H

#include <stddef.h>

#include "coach/procedure.h"
#include "job/job.h"
#include "sim/scenario.h"

enum { DRILL_LESSONS = 64 };

struct drill_lesson {
    char name[SCENARIO_NAME_SIZE];
    char teaches[SCENARIO_LESSON_SIZE];
    double hard; /* 1 easy to 5 nasty */
};

/*
 * All that are in the folder of the scenarios that come with the program, the easy ones first.
 *
 *   returns  how many; -ENOENT there is no such folder
 */
int drill_lesson_list(struct drill_lesson ret_lessons[DRILL_LESSONS]);

/* The job file of a scenario's file; -ENAMETOOLONG. */
int drill_lesson_job_path(const char *scenario_path, char ret_path[SCENARIO_PATH_SIZE]);

/*
 * The procedure without its coach: cautions, position, bolts, measuring and closing stay; all that
 * finds and peaks becomes one step that the operator says is done.
 *
 *   returns  0; -EINVAL and why
 */
int drill_lesson_alone(const struct procedure *coached, const struct job *job,
                       struct procedure *ret_procedure, char *why, size_t why_size);

#endif
