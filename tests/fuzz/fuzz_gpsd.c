/* Whatever gpsd, or what sits at its port, says: no place and no angle that can't be. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "source/gpsd.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const struct record *record)
{
    if (record->kind == RECORD_FIX && record->fix.mode >= 2 &&
        !(fabs(record->fix.lat_deg) <= 90.0 && fabs(record->fix.lon_deg) <= 180.0)) {
        abort();
    }
    if (record->kind == RECORD_ANGLES &&
        (record->angles.deg[AXIS_AZIMUTH] < 0.0 || record->angles.deg[AXIS_AZIMUTH] >= 360.0)) {
        abort();
    }
}

static void parse(char *line)
{
    static struct gpsd_parser *parser;
    struct gpsd_report report;
    char why[RECORD_TEXT_SIZE];

    if (!parser) {
        parser = gpsd_parser_create("fuzz");
    }
    if (!parser) {
        abort();
    }
    if (gpsd_parse_line(parser, line, &report, why) == 0) {
        for (int i = 0; i < report.count; i++) {
            check(&report.records[i]);
        }
    }
}

#define TWENTY "01234567890123456789"
#define LONG_STRING "\"" TWENTY TWENTY TWENTY TWENTY TWENTY "\""

/* A whole object of what nobody sends: mutated text is seldom whole, and stops at the first check.
 */
static void parse_made_up(const uint8_t *data, size_t size)
{
    static const char *const classes[] = {"TPV", "ATT", "SKY", "DEVICES", "VERSION"};
    static const char *const keys[] = {"mode",    "time",  "lat",  "lon",    "altHAE",    "eph",
                                       "heading", "pitch", "roll", "mag_st", "device",    "uSat",
                                       "status",  "tag",   "",     "class2", "satellites"};
    static const char *const values[] = {"3",
                                         "-1",
                                         "1e400",
                                         "1e-400",
                                         "46.5",
                                         "\"x\"",
                                         "\"\"",
                                         "true",
                                         "null",
                                         "[1,{}]",
                                         "{}",
                                         "[[]]",
                                         "99999999999999999999",
                                         "\"2026-01-01T12:00:00.000Z\"",
                                         "\"\\u0000\\\"}\"",
                                         "{\"class\":\"TPV\"}",
                                         "\"{\\\"class\\\":\\\"ATT\\\",\"",
                                         "\"class\"",
                                         "\"\\\"class\\\":\\\"TPV\\\"\"",
                                         LONG_STRING};
    enum { CLASSES = sizeof classes / sizeof *classes };
    enum { KEYS = sizeof keys / sizeof *keys, VALUES = sizeof values / sizeof *values };
    char *line = malloc(64 + size * 128), *end = line;

    if (!line) {
        abort();
    }
    end += sprintf(end, "{\"class\":\"%s\"", classes[size > 0 ? data[0] % CLASSES : 0]);
    for (size_t i = 1; i + 1 < size && i < 64; i += 2) {
        end += sprintf(end, ",\"%s\":%s", keys[data[i] % KEYS], values[data[i + 1] % VALUES]);
    }
    strcpy(end, "}");
    parse(line);
    free(line);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *line = malloc(size + 1);

    if (!line) {
        abort();
    }
    memcpy(line, data, size);
    line[size] = '\0';
    parse(line);
    free(line);
    parse_made_up(data, size);
    return 0;
}
