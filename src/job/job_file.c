/* Reading a job file, and the kit file it may refer to. */
#include <errno.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/ini_file.h"
#include "job/job.h"

_Static_assert((int)INI_FILE_WHY == (int)JOB_ERROR_SIZE, "one size of error texts");

/* A section of the kit file on its way into a section of the job. */
struct kit {
    struct job *job;
    char wanted[2 * JOB_NAME_SIZE]; /* "meter NAME" in the kit file */
    const char *section;            /* "meter FINDER" in the job */
    bool found;
};

static int take_from_kit(void *self, int line, const char *section, const char *key,
                         const char *value, char why[INI_FILE_WHY])
{
    struct kit *kit = self;

    (void)line;
    if (strcmp(section, kit->wanted) != 0) {
        return 0;
    }
    kit->found = true;
    if (strcmp(key, "kit") == 0) {
        text_copy(why, INI_FILE_WHY, _("kit: a section of the kit file can't refer to another"));
        return -EINVAL;
    }
    return job_set(kit->job, kit->section, key, value, why);
}

/* 0, or -ENAMETOOLONG. */
static int kit_path(char *path, size_t size)
{
    const char *config = getenv("XDG_CONFIG_HOME"), *home = getenv("HOME");
    int n;

    if (config && config[0] == '/') {
        n = snprintf(path, size, "%s/peakward/kit", config);
    } else {
        n = snprintf(path, size, "%s/.config/peakward/kit", home ? home : "");
    }
    return n >= 0 && (size_t)n < size ? 0 : -ENAMETOOLONG;
}

/* The keys of a kit into a section of the job. */
static int take_kit(struct job *job, const char *section, const char *name, char why[INI_FILE_WHY])
{
    struct kit kit = {.job = job, .wanted = "", .section = section};
    char path[PATH_MAX];
    int r;

    if (strlen(name) >= JOB_NAME_SIZE) {
        text_copy(why, INI_FILE_WHY, _("kit: the name is too long, allowed are at most 63 bytes"));
        return -EINVAL;
    }
    if (kit_path(path, sizeof path) < 0) {
        text_copy(why, INI_FILE_WHY, _("kit: the path of the kit file is too long"));
        return -EINVAL;
    }
    text_append(kit.wanted, sizeof kit.wanted, "%.*s %s", (int)strcspn(section, " "), section,
                name);
    r = ini_file_read(path, take_from_kit, &kit, why);
    if (r == 0 && !kit.found) {
        why[0] = '\0';
        text_append(why, INI_FILE_WHY, _("kit = %s: %s has no section [%s]"), name, path,
                    kit.wanted);
        return -EINVAL;
    }
    return r;
}

static int take_key(void *self, int line, const char *section, const char *key, const char *value,
                    char why[INI_FILE_WHY])
{
    struct job *job = self;
    size_t before = job->setting_count;
    int r = job_set(job, section, key, value, why);

    (void)line;
    if (r < 0 || strcmp(key, "kit") != 0) {
        return r;
    }
    r = take_kit(job, section, value, why);
    /* the section's own keys win over the kit's, those before the kit as well */
    for (size_t i = 0; r == 0 && i < before; i++) {
        if (strcmp(job->settings[i].section, section) == 0) {
            r = job_set(job, section, job->settings[i].key, job->settings[i].value, why);
        }
    }
    return r;
}

int job_read(struct job *job, const char *path, char why[JOB_ERROR_SIZE])
{
    return ini_file_read(path, take_key, job, why);
}
