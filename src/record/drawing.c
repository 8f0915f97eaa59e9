#include "record/drawing.h"

#include <dlfcn.h>
#include <limits.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"

#ifdef DRAWING /* where the module is installed */

static const char module_name[] = "peakward-drawing.so";

/* Beside this program (a build that is not installed), else where it is installed. */
static void find_module(char path[PATH_MAX])
{
    ssize_t n = readlink("/proc/self/exe", path, PATH_MAX - sizeof module_name);
    char *slash;

    if (n > 0) {
        path[n] = '\0';
        slash = strrchr(path, '/');
        strcpy(slash ? slash + 1 : path, module_name);
        if (access(path, R_OK) == 0) {
            return;
        }
    }
    text_copy(path, PATH_MAX, DRAWING);
}

const struct drawing_ops *drawing_load(char why[DRAWING_WHY_SIZE])
{
    char path[PATH_MAX];
    const struct drawing_ops *ops;
    void *module; /* stays loaded: its libraries keep memory that they never give back */

    find_module(path);
    module = dlopen(path, RTLD_NOW | RTLD_LOCAL);
    ops = module ? dlsym(module, DRAWING_SYMBOL) : NULL;
    if (!ops) {
        why[0] = '\0';
        text_append(why, DRAWING_WHY_SIZE, _("%s: install peakward again, with its drawing part"),
                    dlerror());
    }
    return ops;
}

#else

const struct drawing_ops *drawing_load(char why[DRAWING_WHY_SIZE])
{
    text_copy(
        why, DRAWING_WHY_SIZE,
        _("this peakward was built without drawings (build option drawing): "
          "write text, JSON or CSV, or build it with libcairo2-dev and libpango1.0-dev there"));
    return NULL;
}

#endif
