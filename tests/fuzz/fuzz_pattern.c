/* The first line of the input is a pattern, the rest a line to match. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "source/pattern.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1), *line, why[RECORD_TEXT_SIZE] = "";
    struct pattern pattern;
    struct pattern_reading reading;
    size_t position = SIZE_MAX;

    if (!text) {
        abort();
    }
    memcpy(text, data, size);
    text[size] = '\0';
    line = text + strcspn(text, "\n");
    if (*line) {
        *line++ = '\0';
    }
    if (pattern_compile(&pattern, text, &position, why) < 0) {
        if (position > strlen(text) || why[0] == '\0' || pattern.count != 0) {
            abort();
        }
    } else if (pattern_match(&pattern, line, &reading) && reading.aux_count > PATTERN_AUX) {
        abort();
    }
    pattern_starts_with(&pattern, '$');
    free(text);
    return 0;
}
