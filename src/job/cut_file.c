#include "job/cut_file.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/text_file.h"

enum { MOST_LINE = 120, MOST_BYTES = 1 << 20, LEAST_POINTS = 3 };

/* Further than this nothing is measured, and no level is meant. */
static const double most_deg = 180.0, most_db = 300.0;

static int refuse(char why[JOB_ERROR_SIZE], const char *name, int line, const char *phrase)
{
    why[0] = '\0';
    if (line > 0) {
        text_append(why, JOB_ERROR_SIZE, "%s:%d: %s", name, line, phrase);
    } else {
        text_append(why, JOB_ERROR_SIZE, "%s: %s", name, phrase);
    }
    return -EINVAL;
}

/* "-2.0, -14.1" or "-2.0 -14.1". NULL, or a phrase of what is wrong. */
static const char *take_line(struct radiation_cut *cut, char *line)
{
    double angle, level;
    char *behind;
    size_t n;

    line = line + strspn(line, " \t");
    n = strcspn(line, ", \t");
    if (line[n] == '\0') {
        return _("allowed are degrees and dB, such as -2.0, -14.1");
    }
    behind = line + n + strspn(line + n, " \t");
    behind += *behind == ',';
    line[n] = '\0';
    if (text_parse_double(line, &angle) < 0 || text_parse_double(behind, &level) < 0 ||
        fabs(angle) > most_deg || fabs(level) > most_db) {
        return _("allowed are degrees from -180 to 180 and dB from -300 to 300");
    }
    if (cut->count > 0 && angle <= cut->angle_deg[cut->count - 1]) {
        return _("the angle is not greater than the one before");
    }
    if (cut->count == RADIATION_POINTS) {
        return _("one reading too many: allowed are at most 1024");
    }
    cut->angle_deg[cut->count] = angle;
    cut->level_db[cut->count++] = level;
    return NULL;
}

static int take_lines(const char *name, const char *text, struct radiation_cut *cut,
                      char why[JOB_ERROR_SIZE])
{
    const char *phrase = NULL;
    char line[MOST_LINE];

    for (int number = 1; *text; number++) {
        size_t n = strcspn(text, "\n"), kept = n > 0 && text[n - 1] == '\r' ? n - 1 : n;
        const char *first = text + strspn(text, " \t");
        if (kept >= sizeof line) {
            return refuse(why, name, number, _("the line is too long"));
        }
        memcpy(line, text, kept);
        line[kept] = '\0';
        if (*first != '#' && *first != ';' && first < text + kept) {
            phrase = take_line(cut, line);
        }
        if (phrase) {
            return refuse(why, name, number, phrase);
        }
        text += n + (text[n] == '\n');
    }
    return 0;
}

int cut_file_read_text(const char *name, const char *text, struct radiation_cut *ret,
                       char why[JOB_ERROR_SIZE])
{
    struct radiation_cut *cut = calloc(1, sizeof *cut);
    int r;

    if (!cut) {
        refuse(why, name, 0, _("out of memory"));
        return -ENOMEM;
    }
    r = take_lines(name, text, cut, why);
    if (r == 0 && cut->count < LEAST_POINTS) {
        r = refuse(why, name, 0, _("fewer than 3 readings"));
    }
    if (r == 0 && radiation_cut_finish(cut) < 0) {
        r = refuse(why, name, 0, _("the level does not fall by 3 dB to both sides of its peak"));
    }
    if (r == 0) {
        *ret = *cut;
    }
    free(cut);
    return r;
}

int cut_file_read(const char *path, struct radiation_cut *ret, char why[JOB_ERROR_SIZE])
{
    char *text;
    size_t n;
    int r = text_file_read(path, MOST_BYTES, _("larger than 1 MiB, that is no pattern"), &text, &n,
                           why, JOB_ERROR_SIZE);

    if (r < 0) {
        return r;
    }
    r = strlen(text) < n ? refuse(why, path, 0, _("there is a NUL in it"))
                         : cut_file_read_text(path, text, ret, why);
    free(text);
    return r;
}
