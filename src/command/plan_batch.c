#include "command/plan_batch.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/csv_row.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/csv_stream.h"
#include "command/plan_row.h"
#include "job/job_keys.h"
#include "sky/utc.h"

enum column { LAT, LON, HEIGHT, TARGET, POL, DATE, COLUMNS };

/* The columns that are read, and the job's key whose spelling each takes. */
static const struct {
    const char *name, *section, *key;
} columns[COLUMNS] = {
    [LAT] = {"lat", "site", "lat"},
    [LON] = {"lon", "site", "lon"},
    [HEIGHT] = {"height_m", "site", "height"},
    [TARGET] = {"target", "target", "longitude"},
    [POL] = {"pol", "target", "polarisation"},
    [DATE] = {"date", NULL, NULL},
};

enum { MOST_FIELDS = 256, MOST_TEXT = 128, MOST_WHY = 256 };

struct batch {
    const char *name; /* of the table, for complaints */
    struct csv_stream stream;
    unsigned long number; /* of the row; the head is 1 */
    size_t field_count;
    int at[COLUMNS]; /* which field; -1 = there is no such column */
    const struct job_key *keys[COLUMNS];

    const struct job *job;
    const struct magnetic_model *model;
    double unix_s;        /* of rows without a date */
    char date[MOST_TEXT]; /* what the moment below was made for */
    struct magnetic_moment moment;
    bool magnetic_known;
    unsigned long stale, refused; /* rows */
    FILE *out;
};

/* --- the head -----------------------------------------------------------------------------------
 */

static bool is_ours(const char *name)
{
    size_t n = strlen(name);

    for (const char *p = plan_row_columns; p; p = strchr(p, ',')) {
        p += *p == ',';
        if (strcspn(p, ",") == n && strncmp(p, name, n) == 0) {
            return true;
        }
    }
    return false;
}

static int refuse_head(const struct batch *batch, const char *why, const char *what_to_do)
{
    command_complain(batch->name, why, what_to_do);
    return -EINVAL;
}

/* One name of the head. 0 or -EINVAL. */
static int take_name(struct batch *batch, const struct csv_row_field *field, int at)
{
    char name[MOST_TEXT], why[MOST_WHY];

    if (csv_row_copy(field, name, sizeof name) < 0) {
        return 0; /* none of those that are read */
    }
    if (is_ours(name)) {
        snprintf(why, sizeof why, _("the column %s is there already"), name);
        return refuse_head(batch, why, _("take it out of the table, or rename it"));
    }
    for (int i = 0; i < COLUMNS; i++) {
        if (strcmp(name, columns[i].name) != 0) {
            continue;
        }
        if (batch->at[i] >= 0) {
            snprintf(why, sizeof why, _("two columns are called %s"), name);
            return refuse_head(batch, why, _("rename one of them"));
        }
        batch->at[i] = at;
    }
    return 0;
}

static int check_head(const struct batch *batch, const struct csv_stream_row *row)
{
    const char *const hint =
        memchr(row->text, ';', row->length) && !memchr(row->text, ',', row->length)
            ? _("part the columns by commas, not by semicolons")
            : _("the first row has to name the columns, lat and lon among them");

    if (batch->at[LAT] < 0 || batch->at[LON] < 0) {
        return refuse_head(
            batch, batch->at[LAT] < 0 ? _("there is no column lat") : _("there is no column lon"),
            hint);
    }
    if (batch->at[TARGET] < 0 && !batch->job->target.given) {
        return refuse_head(batch, _("no target"), _("give --target, --job or a column target"));
    }
    if (batch->at[POL] < 0 && !batch->job->target.polarisation_given) {
        return refuse_head(batch, _("no polarisation"), _("give --pol, --job or a column pol"));
    }
    return 0;
}

/* 0, or negative after complaining. */
static int read_head(struct batch *batch)
{
    static const char mark[] = "\xef\xbb\xbf"; /* some programs begin UTF-8 files with it */
    struct csv_row_field fields[MOST_FIELDS];
    struct csv_stream_row row;
    int r = csv_stream_next(&batch->stream, &row);
    size_t skip;

    if (r < 1) {
        return refuse_head(batch, r == 0 ? _("the table is empty") : fault_words(-r), NULL);
    }
    batch->number = 1;
    skip = row.length >= 3 && memcmp(row.text, mark, 3) == 0 ? 3 : 0;
    batch->field_count = csv_row_split(row.text + skip, row.length - skip, fields, MOST_FIELDS);
    for (size_t i = 0; i < batch->field_count && i < MOST_FIELDS; i++) {
        if (take_name(batch, &fields[i], (int)i) < 0) {
            return -EINVAL;
        }
    }
    r = check_head(batch, &row);
    if (r == 0) {
        fwrite(row.text, 1, row.length, batch->out);
        fprintf(batch->out, ",%s%s", plan_row_columns, row.line_end[0] ? row.line_end : "\n");
    }
    return r;
}

/* --- the rows -----------------------------------------------------------------------------------
 */

static int refuse(char why[MOST_WHY], const char *column, const char *text, const char *allowed)
{
    char shown[64];

    text_sanitize(shown, sizeof shown, text, strlen(text));
    snprintf(why, MOST_WHY, _("%s = %s: allowed is %s"), column, shown[0] ? shown : _("(nothing)"),
             allowed);
    return -EINVAL;
}

/* One column's value in the spelling of its key; left alone when empty or not there. */
static int read_column(const struct batch *batch, const struct csv_row_field *fields,
                       enum column column, void *place, bool needed, char why[MOST_WHY])
{
    char text[MOST_TEXT] = "", job_why[JOB_ERROR_SIZE], allowed[JOB_ALLOWED_SIZE];

    if (batch->at[column] >= 0 && csv_row_copy(&fields[batch->at[column]], text, sizeof text) < 0) {
        snprintf(why, MOST_WHY, _("%s is no such value"), columns[column].name);
        return -EINVAL;
    }
    if ((text[0] == '\0' && !needed) ||
        (text[0] != '\0' && job_key_set(batch->keys[column], place, text, job_why) == 0)) {
        return 0;
    }
    job_key_allowed(batch->keys[column], allowed);
    return refuse(why, columns[column].name, text, allowed);
}

static void set_moment(struct batch *batch, double unix_s)
{
    double year = utc_decimal_year(unix_s);

    magnetic_moment_make(batch->model, year, &batch->moment);
    batch->magnetic_known = plan_row_magnetic_known(batch->model, year);
}

/* The magnetic model at the row's day; made again only when the day changes. */
static int read_date(struct batch *batch, const struct csv_row_field *fields, char why[MOST_WHY])
{
    char text[MOST_TEXT] = "";
    double unix_s = batch->unix_s;

    if (batch->at[DATE] < 0) {
        return 0;
    }
    if (csv_row_copy(&fields[batch->at[DATE]], text, sizeof text) < 0 ||
        (text[0] != '\0' && utc_parse(text, &unix_s) < 0)) {
        return refuse(why, "date", text, _("a day such as 2026-11-25"));
    }
    if (strcmp(text, batch->date) != 0) {
        set_moment(batch, unix_s);
        text_copy(batch->date, sizeof batch->date, text);
    }
    return 0;
}

/* 0 or -EINVAL and why. */
static int read_row(struct batch *batch, const struct csv_stream_row *row,
                    struct plan_row_given *given, char why[MOST_WHY])
{
    struct csv_row_field fields[MOST_FIELDS];
    size_t n = csv_row_split(row->text, row->length, fields, MOST_FIELDS);
    const struct job *job = batch->job;

    if (n != batch->field_count) {
        if (n == 0) {
            text_copy(why, MOST_WHY, _("a quote is out of its place"));
        } else {
            snprintf(why, MOST_WHY, _("it has %zu fields, the head has %zu"), n,
                     batch->field_count);
        }
        return -EINVAL;
    }
    *given = (struct plan_row_given){.target_lon_deg = job->target.satellite.lon_deg,
                                     .polarisation = job->target.polarisation,
                                     .skew_offset_deg = job->target.skew_offset_deg};
    if (read_column(batch, fields, LAT, &given->site.lat_deg, true, why) < 0 ||
        read_column(batch, fields, LON, &given->site.lon_deg, true, why) < 0 ||
        read_column(batch, fields, HEIGHT, &given->site.height_m, false, why) < 0 ||
        read_column(batch, fields, TARGET, &given->target_lon_deg, !job->target.given, why) < 0 ||
        read_column(batch, fields, POL, &given->polarisation, !job->target.polarisation_given,
                    why) < 0) {
        return -EINVAL;
    }
    return read_date(batch, fields, why);
}

static void write_row(struct batch *batch, const struct csv_stream_row *row,
                      const struct plan_row_given *given)
{
    struct plan_row plan;
    char text[PLAN_ROW_SIZE];
    size_t n;

    plan_row_make(given, &batch->moment, batch->magnetic_known, &plan);
    n = plan_row_csv(&plan, text);
    batch->stale += !batch->moment.in_date;
    fwrite(row->text, 1, row->length, batch->out);
    putc(',', batch->out);
    fwrite(text, 1, n, batch->out);
    fputs(row->line_end[0] ? row->line_end : "\n", batch->out);
}

static void refuse_row(struct batch *batch, const char *why)
{
    char what[PATH_MAX + 32];

    snprintf(what, sizeof what, _("%s, row %lu"), batch->name, batch->number);
    command_complain(what, why, NULL);
    batch->refused++;
}

/* 0 at the end of the table; negative after complaining. */
static int run(struct batch *batch)
{
    struct csv_stream_row row;
    struct plan_row_given given;
    char why[MOST_WHY];
    int r = 1;

    while (r > 0 && !ferror(batch->out)) {
        r = csv_stream_next(&batch->stream, &row);
        batch->number++;
        if (r == -EFBIG) {
            refuse_row(batch, _("it is too long"));
            r = 1;
        } else if (r == 1 && row.length > 0) {
            if (read_row(batch, &row, &given, why) == 0) {
                write_row(batch, &row, &given);
            } else {
                refuse_row(batch, why);
            }
        }
    }
    if (r < 0) {
        command_complain(batch->name, fault_words(-r), NULL);
    }
    return r < 0 ? r : 0;
}

static void warn_of_stale(const struct batch *batch)
{
    char why[MOST_WHY];

    if (batch->stale > 0) {
        snprintf(why, sizeof why, _("%lu rows lie outside of %.1f to %.1f, the years of %s"),
                 batch->stale, batch->model->valid_from, batch->model->valid_to,
                 batch->model->name);
        command_complain(_("warning: the magnetic declination is out of date"), why,
                         _("a newer .COF file goes into the job, [files] magnetic_model"));
    }
}

int plan_batch(const struct job *job, const struct magnetic_model *magnetic, double unix_s,
               const char *path, FILE *out)
{
    bool from_stdin = strcmp(path, "-") == 0;
    struct batch *batch = calloc(1, sizeof *batch);
    int fd = from_stdin ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    int status = EXIT_WRONG;

    if (!batch || fd < 0) {
        command_complain(path, fault_words(batch ? errno : ENOMEM), NULL);
        goto out;
    }
    batch->name = from_stdin ? _("standard input") : path;
    batch->job = job;
    batch->model = magnetic;
    batch->unix_s = unix_s;
    batch->out = out;
    csv_stream_init(&batch->stream, fd);
    for (int i = 0; i < COLUMNS; i++) {
        batch->at[i] = -1;
        batch->keys[i] =
            columns[i].section ? job_keys_find(columns[i].section, columns[i].key) : NULL;
    }
    set_moment(batch, unix_s);
    if (read_head(batch) < 0) {
        goto out;
    }
    status = run(batch) < 0 || batch->refused > 0 ? EXIT_NOT_DONE : EXIT_DONE;
    warn_of_stale(batch);
out:
    if (!from_stdin && fd >= 0) {
        close(fd);
    }
    free(batch);
    return status;
}
