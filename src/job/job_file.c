/* Reading a job file, and the kit file it may refer to. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "job/ini_file.h"
#include "job/job.h"

_Static_assert((int)INI_FILE_WHY == (int)JOB_ERROR_SIZE, "one size of error texts");

/* A section of the kit file on its way into a section of the job. */
struct kit {
    struct job *job;
    const char *wanted;  /* "meter NAME" in the kit file */
    const char *section; /* "meter FINDER" in the job */
    bool found;
};

static int take_from_kit(void *self, const char *section, const char *key, const char *value,
                         char why[INI_FILE_WHY])
{
    struct kit *kit = self;

    if (strcmp(section, kit->wanted) != 0) {
        return 0;
    }
    kit->found = true;
    return job_set(kit->job, kit->section, key, value, why);
}

static void kit_path(char *path, size_t size)
{
    const char *config = getenv("XDG_CONFIG_HOME"), *home = getenv("HOME");

    if (config && config[0] == '/') {
        snprintf(path, size, "%s/peakward/kit", config);
    } else {
        snprintf(path, size, "%s/.config/peakward/kit", home ? home : "");
    }
}

/* First pass over the job file: its kits, so that its own keys come later and win. */
static int take_kits(void *self, const char *section, const char *key, const char *value,
                     char why[INI_FILE_WHY])
{
    char path[512], wanted[2 * JOB_NAME_SIZE];
    struct kit kit = {.job = self, .wanted = wanted, .section = section};
    int r;

    if (strcmp(key, "kit") != 0) {
        return 0;
    }
    snprintf(wanted, sizeof wanted, "%.*s %s", (int)strcspn(section, " \t"), section, value);
    kit_path(path, sizeof path);
    r = ini_file_read(path, take_from_kit, &kit, why);
    if (r == 0 && !kit.found) {
        why[0] = '\0';
        text_append(why, INI_FILE_WHY, "kit = %s: %s has no section [%s]", value, path, wanted);
        return -EINVAL;
    }
    return r;
}

static int take_key(void *self, const char *section, const char *key, const char *value,
                    char why[INI_FILE_WHY])
{
    return job_set(self, section, key, value, why);
}

int job_read(struct job *job, const char *path, char why[JOB_ERROR_SIZE])
{
    int r = ini_file_read(path, take_kits, job, why);

    return r < 0 ? r : ini_file_read(path, take_key, job, why);
}
