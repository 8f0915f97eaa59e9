#include "source/line.h"

void line_init(struct line *line, char *room, size_t size)
{
    *line = (struct line){.text = room, .size = size};
    room[0] = '\0';
}

void line_restart(struct line *line)
{
    unsigned long refused = line->refused;

    line_init(line, line->text, line->size);
    line->refused = refused;
}

static enum line_result hand_out(struct line *line, enum line_result result)
{
    line->text[line->length] = '\0';
    line->handed = true;
    if (result == LINE_REFUSED) {
        line->refused++;
    }
    return result;
}

/* The line's end: what it makes of the line so far. */
static enum line_result end_line(struct line *line)
{
    if (line->skipping) {
        line->skipping = false;
        return LINE_MORE;
    }
    if (line->length == 0) {
        return LINE_MORE;
    }
    return hand_out(line, line->nul ? LINE_REFUSED : LINE_WHOLE);
}

static enum line_result take_byte(struct line *line, char byte)
{
    bool second_of_crlf = line->after_cr && byte == '\n';

    line->after_cr = byte == '\r';
    if (second_of_crlf) {
        return LINE_MORE;
    }
    if (line->handed) {
        line->handed = false;
        line->nul = false;
        line->length = 0;
    }
    if (byte == '\n' || byte == '\r') {
        return end_line(line);
    }
    if (line->skipping) {
        return LINE_MORE;
    }
    if (line->length + 1 == line->size) {
        line->skipping = true;
        return hand_out(line, LINE_REFUSED);
    }
    line->nul = line->nul || byte == '\0';
    line->text[line->length++] = byte;
    return LINE_MORE;
}

enum line_result line_feed(struct line *line, const char *bytes, size_t n, size_t *ret_used)
{
    for (size_t i = 0; i < n; i++) {
        enum line_result result = take_byte(line, bytes[i]);
        if (result != LINE_MORE) {
            *ret_used = i + 1;
            return result;
        }
    }
    *ret_used = n;
    return LINE_MORE;
}
