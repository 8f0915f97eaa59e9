/* Whatever the row: its fields lie within it, in order, and what they say is bounded text. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/csv_row.h"

enum { FIELDS = 8 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct csv_row_field fields[FIELDS];
    char *row = malloc(size + 1), text[16]; /* its own block: a byte too far is noticed */
    const char *at = row;
    size_t n;

    if (!row) {
        return 0;
    }
    memcpy(row, data, size);
    n = csv_row_split(row, size, fields, FIELDS);
    for (size_t i = 0; i < n && i < FIELDS; i++) {
        if (fields[i].text != at || fields[i].length > (size_t)(row + size - at)) {
            abort();
        }
        at += fields[i].length;
        if (at < row + size && *at++ != ',') {
            abort();
        }
        if (csv_row_copy(&fields[i], text, sizeof text) == 0 && strlen(text) > fields[i].length) {
            abort();
        }
    }
    free(row);
    return 0;
}
