/* The same bytes give the same lines, in one piece or two. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "source/line.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { ROOM = 24 };

/* A hash of all that comes out. */
static uint64_t feed(struct line *line, const uint8_t *data, size_t size, uint64_t hash)
{
    while (size > 0) {
        size_t used = 0;
        enum line_result result = line_feed(line, (const char *)data, size, &used);
        if (used == 0 || used > size || line->length >= ROOM) {
            abort();
        }
        if (result != LINE_MORE) {
            hash = hash * 31 + (uint64_t)result;
            for (size_t i = 0; i <= line->length; i++) {
                hash = hash * 31 + (unsigned char)line->text[i];
            }
        }
        data += used;
        size -= used;
    }
    return hash;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char room[ROOM];
    struct line line;
    uint64_t whole;
    size_t cut = size > 0 ? data[0] % (size + 1) : 0;

    line_init(&line, room, sizeof room);
    whole = feed(&line, data, size, 1);
    line_init(&line, room, sizeof room);
    if (feed(&line, data + cut, size - cut, feed(&line, data, cut, 1)) != whole) {
        abort();
    }
    return 0;
}
