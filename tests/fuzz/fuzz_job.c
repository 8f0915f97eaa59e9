/* Whatever the file: a job is read whole or refused with its line; what is read builds it again. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "job/ini_file.h"
#include "job/job.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static struct job job, again;

static int take_key(void *self, int line, const char *section, const char *key, const char *value,
                    char why[INI_FILE_WHY])
{
    (void)line;
    return job_set(self, section, key, value, why);
}

/* "job:LINE: what is wrong", safe to show. */
static void check_told(const char *why)
{
    char *end;

    if (strncmp(why, "job:", 4) != 0 || !text_is_clean(why)) {
        abort();
    }
    if (strtol(why + 4, &end, 10) < 1 || strncmp(end, ": ", 2) != 0 || strlen(end) < 8) {
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char why[JOB_ERROR_SIZE];

    job_init(&job);
    if (ini_file_read_text("job", (const char *)data, size, take_key, &job, why) < 0) {
        check_told(why);
        return 0;
    }
    job_init(&again);
    for (size_t i = 0; i < job.setting_count; i++) {
        if (!text_is_clean(job.settings[i].section) || !text_is_clean(job.settings[i].value) ||
            job_set(&again, job.settings[i].section, job.settings[i].key, job.settings[i].value,
                    why) < 0) {
            abort();
        }
    }
    if (again.setting_count != job.setting_count || again.meter_count != job.meter_count ||
        again.skyline_count != job.skyline_count || again.object_count != job.object_count ||
        job_check(&again, why) != job_check(&job, why) || !text_is_clean(why)) {
        abort();
    }
    return 0;
}
