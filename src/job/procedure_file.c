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

static int take_key(void *self, const char *section, const char *key, const char *value,
                    char why[INI_FILE_WHY])
{
    return procedure_set(self, section, key, value, why, INI_FILE_WHY);
}

int procedure_builtin(const char *name, struct procedure *ret_procedure)
{
    char why[JOB_ERROR_SIZE];

    for (int i = 0; procedure_builtin_names[i]; i++) {
        if (strcmp(name, procedure_builtin_names[i]) == 0) {
            procedure_init(ret_procedure, name);
            int r =
                ini_file_read_text(name, texts[i], strlen(texts[i]), take_key, ret_procedure, why);
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
    char phrase[JOB_ERROR_SIZE] = "";
    int r;

    init_by_path(ret_procedure, path);
    r = ini_file_read(path, take_key, ret_procedure, why);
    if (r == 0 && (r = procedure_check(ret_procedure, phrase, sizeof phrase)) < 0) {
        why[0] = '\0';
        text_append(why, JOB_ERROR_SIZE, "%s: %s", path, phrase);
    }
    return r;
}
