/* plan_stage.h - a job that is set key by key, and its pointing sheet as text. */
#ifndef TESTS_PLAN_STAGE_H
#define TESTS_PLAN_STAGE_H

#include "given.h"
#include "expect.h"

#include <stdbool.h>
#include <string.h>

#include "command/plan_sheet.h"

static struct job job;
static struct magnetic_model model;
static struct plan_files files;
static struct plan_sheet sheet;
static char text[PLAN_SHEET_SIZE];

static inline int set_up(void **state)
{
    (void)state;
    job_init(&job);
    magnetic_builtin(&model);
    memset(&files, 0, sizeof files);
    return 0;
}

static inline void set(const char *section, const char *key, const char *value)
{
    given_job(&job, section, key, value);
}

static inline void place(const char *lat, const char *lon, const char *target,
                         const char *polarisation)
{
    set("site", "lat", lat);
    set("site", "lon", lon);
    set("target", "longitude", target);
    set("target", "polarisation", polarisation);
}

static inline void make(double unix_s)
{
    plan_sheet_make(&job, &model, &files, unix_s, &sheet);
    plan_sheet_text(&job, &sheet, text, sizeof text);
}

/* Whether a part is in the text, also where the end of a line breaks it. */
static inline bool is_said(const char *part)
{
    static char flat[PLAN_SHEET_SIZE];
    size_t n = 0;

    for (const char *p = text; *p; p++) {
        if (*p == '\n' && p[1] == ' ' && p[2] == ' ') {
            p += 2;
        }
        flat[n++] = *p == '\n' ? ' ' : *p;
    }
    flat[n] = '\0';
    return strstr(text, part) || strstr(flat, part);
}

static inline void says(const char *part)
{
    if (!is_said(part)) {
        fail_msg("\"%s\" is not in:\n%s", part, text);
    }
}

static inline void says_not(const char *part)
{
    if (is_said(part)) {
        fail_msg("\"%s\" is in:\n%s", part, text);
    }
}

static inline void fits_80_columns(void)
{
    const char *line = text;

    while (*line) {
        size_t n = strcspn(line, "\n");
        if (n > 80 || (n > 0 && line[n - 1] == ' ')) {
            fail_msg("too long, or blanks at its end: \"%.*s\"", (int)n, line);
        }
        line += n + (line[n] == '\n');
    }
}

#endif
