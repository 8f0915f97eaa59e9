/*
 * Whatever the file: elements within their ranges, or a sentence that is safe to show. The
 * checksums of lines are mended first, or nothing gets far.
 */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "job/elements_file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const char *text, size_t n, const char *wanted)
{
    struct elements got;
    char why[ELEMENTS_WHY] = "";

    if (elements_file_read_text(text, n, wanted, &got, why) < 0) {
        if (*why == '\0' || !text_is_clean(why)) {
            abort();
        }
        return;
    }
    if (!isfinite(got.epoch_s) || !(got.mean_motion_rev_day > 0.0) || !isfinite(got.drag) ||
        !(got.eccentricity >= 0.0 && got.eccentricity < 1.0) ||
        !(got.inclination_deg >= 0.0 && got.inclination_deg <= 180.0) ||
        !(got.node_deg >= 0.0 && got.node_deg <= 360.0) ||
        !(got.perigee_deg >= 0.0 && got.perigee_deg <= 360.0) ||
        !(got.anomaly_deg >= 0.0 && got.anomaly_deg <= 360.0) || !text_is_clean(got.name) ||
        !text_is_clean(got.designator) || !text_is_clean(got.catalogue)) {
        abort();
    }
}

static void mend(char *text)
{
    for (char *line = text; *line; line += strcspn(line, "\n"), line += *line == '\n') {
        int sum = 0;
        if (strcspn(line, "\r\n") != 69) {
            continue;
        }
        for (int i = 0; i < 68; i++) {
            sum += line[i] >= '0' && line[i] <= '9' ? line[i] - '0' : line[i] == '-';
        }
        line[68] = (char)('0' + sum % 10);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);

    if (!text) {
        abort();
    }
    memcpy(text, data, size);
    text[size] = '\0';
    check(text, size, NULL);
    mend(text);
    check(text, size, NULL);
    check(text, size, "99001");
    free(text);
    return 0;
}
