/* Whatever the line: no angle that can't be. The checksum is mended first, or nothing gets far. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "source/nmea.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const char *line)
{
    struct nmea_attitude attitude;
    struct record_angles angles;

    if (nmea_parse(line, &attitude) != 1) {
        return;
    }
    if (attitude.true_deg < 0.0 || attitude.true_deg >= 360.0 || attitude.magnetic_deg < 0.0 ||
        attitude.magnetic_deg >= 360.0 || fabs(attitude.pitch_deg) > 180.0 ||
        fabs(attitude.roll_deg) > 180.0) {
        abort();
    }
    nmea_to_angles(&attitude, "fuzz", &angles);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *line = malloc(size + 8);
    unsigned sum = 0;

    if (!line) {
        abort();
    }
    memcpy(line, data, size);
    line[size] = '\0';
    check(line);
    line[strcspn(line, "*")] = '\0';
    for (const char *p = line + (line[0] != '\0'); *p; p++) {
        sum ^= (unsigned char)*p;
    }
    snprintf(line + strlen(line), 4, "*%02X", sum & 0xffu);
    check(line);
    free(line);
    return 0;
}
