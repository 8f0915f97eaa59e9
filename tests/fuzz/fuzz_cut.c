/* Whatever the file: a cut that is taken ascends, peaks at 0 dB and has a width; else it says why.
 */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "job/cut_file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const struct radiation_cut *cut)
{
    struct radiation r = radiation_make(RADIATION_DISH, radiation_cut_width_deg(cut),
                                        radiation_cut_width_deg(cut), 30.0, 10.0, cut, NULL);
    double offset, level;

    if (!(r.width_deg > 0.0)) {
        abort();
    }
    for (size_t i = 0; i < cut->count; i++) {
        if (cut->level_db[i] > 0.0 || (i > 0 && cut->angle_deg[i] <= cut->angle_deg[i - 1])) {
            abort();
        }
    }
    radiation_side_lobe(&r, 90.0, &offset, &level);
    if (radiation_level_db(&r, 0.3 * r.width_deg, 0.1) > 0.0) {
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct radiation_cut cut;
    char why[JOB_ERROR_SIZE] = "", *text = malloc(size + 1);

    if (!text) {
        return 0;
    }
    memcpy(text, data, size);
    text[size] = '\0';
    if (cut_file_read_text("cut", text, &cut, why) == 0) {
        check(&cut);
    } else if (why[0] == '\0') {
        abort();
    }
    free(text);
    return 0;
}
