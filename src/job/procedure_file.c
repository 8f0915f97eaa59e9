#include "job/procedure_file.h"

#include <assert.h>
#include <errno.h>
#include <string.h>

#include "base/text.h"
#include "job/ini_file.h"

extern const char procedure_linear[], procedure_linear_panel[], procedure_circular[],
    procedure_repeak[];

const char *const procedure_builtin_names[] = {"linear", "linear-panel", "circular", "repeak",
                                               NULL};

static const char *const texts[] = {procedure_linear, procedure_linear_panel, procedure_circular,
                                    procedure_repeak};

/* What is being read, and where each step begins. */
struct reading {
    struct procedure *procedure;
    int line[PROCEDURE_STEPS];
};

static int take_key(void *self, int line, const char *section, const char *key, const char *value,
                    char why[INI_FILE_WHY])
{
    struct reading *reading = self;
    size_t before = reading->procedure->step_count;
    int r = procedure_set(reading->procedure, section, key, value, why, INI_FILE_WHY);

    if (reading->procedure->step_count > before) {
        reading->line[before] = line;
    }
    return r;
}

int procedure_builtin(const char *name, struct procedure *ret_procedure)
{
    struct reading reading = {.procedure = ret_procedure};
    char why[JOB_ERROR_SIZE];

    for (int i = 0; procedure_builtin_names[i]; i++) {
        if (strcmp(name, procedure_builtin_names[i]) == 0) {
            procedure_init(ret_procedure, name);
            int r = ini_file_read_text(name, texts[i], strlen(texts[i]), take_key, &reading, why);
            assert(r == 0);
            return r;
        }
    }
    return -ENOENT;
}

/* "dir/mine.procedure" is called "mine". */
static void init_by_path(struct procedure *procedure, const char *path)
{
    static const char ending[] = ".procedure";
    const char *slash = strrchr(path, '/');
    size_t n;

    procedure_init(procedure, slash ? slash + 1 : path);
    n = strlen(procedure->name);
    if (n >= sizeof ending && strcmp(procedure->name + n - (sizeof ending - 1), ending) == 0) {
        procedure->name[n - (sizeof ending - 1)] = '\0';
    }
}

int procedure_read(struct procedure *ret_procedure, const char *path, char why[JOB_ERROR_SIZE])
{
    struct reading reading = {.procedure = ret_procedure};
    char phrase[JOB_ERROR_SIZE] = "";
    size_t step;
    int r;

    init_by_path(ret_procedure, path);
    r = ini_file_read(path, take_key, &reading, why);
    if (r == 0 && (r = procedure_check(ret_procedure, &step, phrase, sizeof phrase)) < 0) {
        why[0] = '\0';
        if (step < ret_procedure->step_count) {
            text_append(why, JOB_ERROR_SIZE, "%s:%d: %s", path, reading.line[step], phrase);
        } else {
            text_append(why, JOB_ERROR_SIZE, "%s: %s", path, phrase);
        }
    }
    return r;
}
