/* csv.h - the reference tables: one header line, commas, double quotes around fields with commas.
 */
#ifndef TESTS_CSV_H
#define TESTS_CSV_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CSV_FIELDS = 32, CSV_LINE = 4096 };

struct csv {
    FILE *file;
    char names_line[CSV_LINE], line[CSV_LINE];
    char *names[CSV_FIELDS], *fields[CSV_FIELDS];
    int name_count, field_count, row;
};

static inline int csv_split(char *line, char *fields[CSV_FIELDS])
{
    char *in = line, *out = line;
    int n = 0, quoted = 0;

    line[strcspn(line, "\r\n")] = '\0';
    fields[n++] = out;
    for (; *in; in++) {
        if (*in == '"' && quoted && in[1] == '"') {
            *out++ = *in++;
        } else if (*in == '"') {
            quoted = !quoted;
        } else if (*in == ',' && !quoted && n < CSV_FIELDS) {
            *out++ = '\0';
            fields[n++] = out;
        } else {
            *out++ = *in;
        }
    }
    *out = '\0';
    return n;
}

static inline int csv_open(struct csv *csv, const char *path)
{
    memset(csv, 0, sizeof *csv);
    csv->file = fopen(path, "r");
    if (!csv->file || !fgets(csv->names_line, sizeof csv->names_line, csv->file)) {
        return 0;
    }
    csv->name_count = csv_split(csv->names_line, csv->names);
    return 1;
}

static inline int csv_next(struct csv *csv)
{
    if (!fgets(csv->line, sizeof csv->line, csv->file)) {
        fclose(csv->file);
        return 0;
    }
    csv->field_count = csv_split(csv->line, csv->fields);
    csv->row++;
    return 1;
}

/* "" for a column that is not there. */
static inline const char *csv_text(const struct csv *csv, const char *name)
{
    for (int i = 0; i < csv->name_count && i < csv->field_count; i++) {
        if (strcmp(csv->names[i], name) == 0) {
            return csv->fields[i];
        }
    }
    return "";
}

/* NaN where the field is empty. */
static inline double csv_number(const struct csv *csv, const char *name)
{
    const char *text = csv_text(csv, name);

    return *text ? strtod(text, NULL) : (double)NAN;
}

#endif
