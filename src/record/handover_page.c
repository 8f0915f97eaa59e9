#include "record/handover_page.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/tongue.h"

enum { MOST_WORDS = 2048 };

/* How many places a text takes on a page: bytes that go on with a character take none. */
static int places(const char *text, size_t n)
{
    int count = 0;

    for (size_t i = 0; i < n; i++) {
        count += ((unsigned char)text[i] & 0xc0) != 0x80;
    }
    return count;
}

void handover_page_head(FILE *file, const char *head)
{
    fprintf(file, "\n%s\n", head);
    for (int i = places(head, strlen(head)); i > 0; i--) {
        putc('-', file);
    }
    putc('\n', file);
}

void handover_page_pad(FILE *file, const char *text, int columns)
{
    int missing = columns - places(text, strlen(text));

    fprintf(file, "%s%*s", text, missing > 0 ? missing : 0, "");
}

void handover_page_right(FILE *file, const char *text, int columns)
{
    int missing = columns - places(text, strlen(text));

    fprintf(file, "%*s%s", missing > 0 ? missing : 0, "", text);
}

static void put_words(FILE *file, char *rest)
{
    int column = HANDOVER_PAGE_LABEL;
    char *word;

    while ((word = strsep(&rest, " ")) != NULL) {
        int n = places(word, strlen(word));
        if (n == 0) {
            continue;
        }
        if (column > HANDOVER_PAGE_LABEL && column + 1 + n > HANDOVER_PAGE_WIDTH) {
            fprintf(file, "\n%*s", HANDOVER_PAGE_LABEL, "");
            column = HANDOVER_PAGE_LABEL;
        }
        fprintf(file, "%s%s", column > HANDOVER_PAGE_LABEL ? " " : "", word);
        column += n + (column > HANDOVER_PAGE_LABEL);
    }
    putc('\n', file);
}

void handover_page_row(FILE *file, const char *label, const char *format, ...)
{
    char text[MOST_WORDS];
    int pad = HANDOVER_PAGE_LABEL - 2 - places(label, strlen(label));
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    fprintf(file, "  %s", label);
    if (pad < 1) {
        /* a long label has a line of its own */
        putc('\n', file);
        pad = HANDOVER_PAGE_LABEL;
    }
    fprintf(file, "%*s", pad, "");
    put_words(file, text);
}

double handover_page_round(double value, int decimals)
{
    double unit = pow(10.0, decimals);

    return round(value * unit) / unit + 0.0;
}

const char *handover_page_number(double value, int decimals, char ret[32])
{
    if (isfinite(value)) {
        snprintf(ret, 32, "%.*f", decimals, handover_page_round(value, decimals));
    } else {
        snprintf(ret, 32, "%s", _("not measured"));
    }
    return ret;
}

const char *handover_page_clock(double t, char ret[32])
{
    long s = isfinite(t) && t < 1e9 ? (long)t : -1;

    if (s < 0) {
        snprintf(ret, 32, "-");
    } else if (s < 3600) {
        snprintf(ret, 32, "%ld:%02ld", s / 60, s % 60);
    } else {
        snprintf(ret, 32, "%ld:%02ld:%02ld", s / 3600, s / 60 % 60, s % 60);
    }
    return ret;
}
