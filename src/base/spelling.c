#include "base/spelling.h"

#include <limits.h>
#include <stddef.h>
#include <string.h>

enum { LONGEST = 47 };

/* Levenshtein, Soviet Physics Doklady 10(8), 1966; one row of the table at a time. */
static int distance(const char *a, const char *b)
{
    int row[LONGEST + 1];
    size_t n = strlen(b);

    if (n > LONGEST) {
        return INT_MAX;
    }
    for (size_t j = 0; j <= n; j++) {
        row[j] = (int)j;
    }
    for (size_t i = 1; a[i - 1] != '\0'; i++) {
        int diagonal = row[0];
        row[0] = (int)i;
        for (size_t j = 1; j <= n; j++) {
            int cost = diagonal + (a[i - 1] != b[j - 1]);
            diagonal = row[j];
            row[j] = row[j] + 1 < cost ? row[j] + 1 : cost;
            row[j] = row[j - 1] + 1 < row[j] ? row[j - 1] + 1 : row[j];
        }
    }
    return row[n];
}

void spelling_start(struct spelling *spelling, const char *word)
{
    *spelling = (struct spelling){.word = word, .nearest = NULL, .slips = INT_MAX};
}

void spelling_try(struct spelling *spelling, const char *candidate)
{
    size_t written = strlen(spelling->word), meant = strlen(candidate);
    size_t shorter = written < meant ? written : meant;
    int slips = distance(spelling->word, candidate);

    if (shorter >= 3 && strncmp(spelling->word, candidate, shorter) == 0) {
        slips = slips < 1 ? slips : 1;
    } else if (slips > ((int)meant + 2) / 3) {
        return;
    }
    if (slips < spelling->slips) {
        spelling->slips = slips;
        spelling->nearest = candidate;
    }
}
