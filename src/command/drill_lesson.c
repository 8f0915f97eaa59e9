#include "command/drill_lesson.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"

static const char first_lesson[] = "calm"; /* where it is are all the others */
static const char ending[] = ".scenario";

static int compare(const void *a, const void *b)
{
    const struct drill_lesson *x = a, *y = b;

    return x->hard != y->hard ? (x->hard > y->hard) - (x->hard < y->hard)
                              : strcmp(x->name, y->name);
}

static bool ends_in(const char *name, const char *tail)
{
    size_t n = strlen(name), m = strlen(tail);

    return n > m && strcmp(name + n - m, tail) == 0;
}

/* True when it is one. A scenario that can't be read is none; drill says why when it is named. */
static bool read_lesson(const char *path, struct drill_lesson *ret)
{
    struct scenario scenario;
    char why[SCENARIO_WHY_SIZE];

    if (scenario_read(path, &scenario, why) < 0 || scenario.lesson.teaches[0] == '\0') {
        return false;
    }
    text_copy(ret->name, sizeof ret->name, scenario.name);
    text_copy(ret->teaches, sizeof ret->teaches, scenario.lesson.teaches);
    ret->hard = scenario.lesson.hard;
    return true;
}

int drill_lesson_list(struct drill_lesson ret_lessons[DRILL_LESSONS])
{
    char folder[SCENARIO_PATH_SIZE], path[SCENARIO_PATH_SIZE + 256];
    const struct dirent *entry;
    int count = 0;
    DIR *dir;

    if (scenario_find(first_lesson, folder) < 0) {
        return -ENOENT;
    }
    *strrchr(folder, '/') = '\0';
    dir = opendir(folder);
    if (!dir) {
        return -ENOENT;
    }
    while (count < DRILL_LESSONS && (entry = readdir(dir)) != NULL) {
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (ends_in(entry->d_name, ending) && read_lesson(path, &ret_lessons[count])) {
            count++;
        }
    }
    closedir(dir);
    qsort(ret_lessons, (size_t)count, sizeof *ret_lessons, compare);
    return count;
}

int drill_lesson_job_path(const char *scenario_path, char ret_path[SCENARIO_PATH_SIZE])
{
    int stem = (int)strlen(scenario_path);

    if (ends_in(scenario_path, ending)) {
        stem -= (int)strlen(ending);
    }
    int n = snprintf(ret_path, SCENARIO_PATH_SIZE, "%.*s.job", stem, scenario_path);
    return n < SCENARIO_PATH_SIZE ? 0 : -ENAMETOOLONG;
}

/* --- without the coach ---------------------------------------------------------------------- */

static bool is_coached(enum procedure_do act)
{
    return act == DO_SET || act == DO_SWEEP || act == DO_IDENTIFY || act == DO_PEAK ||
           act == DO_NULL;
}

static const struct procedure_step *step_of(const struct procedure *procedure, const char *section)
{
    for (size_t i = 0; i < procedure->step_count; i++) {
        if (strncmp(section, "step ", 5) == 0 &&
            strcmp(section + 5, procedure->steps[i].name) == 0) {
            return &procedure->steps[i];
        }
    }
    return NULL;
}

static int set_own_step(struct procedure *procedure, const struct job *job, char *why, size_t size)
{
    static const char section[] = "step " N_("point by yourself");
    char text[PROCEDURE_TEXT_SIZE];

    snprintf(text, sizeof text,
             _("Find %s and bring every axis to its top by yourself; say done when it is there."),
             job_target_name(job));
    if (procedure_set(procedure, section, "do", "confirm", why, size) < 0) {
        return -EINVAL;
    }
    return procedure_set(procedure, section, "text", text, why, size);
}

int drill_lesson_alone(const struct procedure *coached, const struct job *job,
                       struct procedure *ret_procedure, char *why, size_t why_size)
{
    bool own = false;
    int r = 0;

    procedure_init(ret_procedure, "alone");
    for (size_t i = 0; r == 0 && i < coached->setting_count; i++) {
        const char *section = coached->settings[i].section;
        const struct procedure_step *step = step_of(coached, section);
        if (!step || !is_coached(step->act)) {
            r = procedure_set(ret_procedure, section, coached->settings[i].key,
                              coached->settings[i].value, why, why_size);
        } else if (!own) {
            own = true;
            r = set_own_step(ret_procedure, job, why, why_size);
        }
    }
    return r == 0 ? procedure_check(ret_procedure, NULL, why, why_size) : -EINVAL;
}
