#include "record/handover_csv.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "record/handover_judge.h"
#include "record/handover_page.h"
#include "sky/utc.h"

/* A row in the making: either the columns' names or their values, so that the two can't differ. */
struct row {
    FILE *file;
    bool names;
    bool begun;
};

static void put_quoted(FILE *file, const char *text)
{
    putc('"', file);
    for (; *text; text++) {
        if (*text == '"') {
            putc('"', file);
        }
        putc(*text, file);
    }
    putc('"', file);
}

static void put_text(struct row *row, const char *name, const char *value)
{
    const char *text = row->names ? name : value;

    if (row->begun) {
        putc(',', row->file);
    }
    row->begun = true;
    if (text[strcspn(text, ",\"\r\n")] != '\0') {
        put_quoted(row->file, text);
    } else {
        fputs(text, row->file);
    }
}

static void put_number(struct row *row, const char *name, double value, int decimals)
{
    char text[32];

    put_text(row, name, isfinite(value) ? handover_page_number(value, decimals, text) : "");
}

static void put_count(struct row *row, const char *name, int count)
{
    put_number(row, name, count, 0);
}

static void put_time(struct row *row, const char *name, double unix_s)
{
    char text[UTC_TEXT_SIZE];

    put_text(row, name, utc_format(unix_s, 0, text));
}

/* --- the columns ------------------------------------------------------------------------------ */

static int count_endings(const struct handover *h, enum handover_ending ending)
{
    int n = 0;

    for (size_t i = 0; i < h->procedure->step_count; i++) {
        n += h->steps[i].ending == ending;
    }
    return n;
}

static int count_unconfirmed(const struct handover *h)
{
    int n = 0;

    for (size_t i = 0; i < h->procedure->step_count; i++) {
        n += h->procedure->steps[i].act == DO_CONFIRM && h->steps[i].ending != HANDOVER_CONFIRMED;
    }
    return n;
}

static double last_loss_db(const struct handover *h)
{
    for (int i = h->fastening_count; i-- > 0;) {
        if (!h->fastenings[i].alarm) {
            return h->fastenings[i].loss_db;
        }
    }
    return NAN;
}

static void put_job(struct row *row, const struct handover *h)
{
    put_text(row, "log", h->log.path);
    put_text(row, "sha256", h->log.sha256);
    put_text(row, "kind", handover_kind_name(h->kind));
    put_text(row, "finished", h->finished ? "yes" : "no");
    put_time(row, "begun_utc", h->begun_utc_s);
    put_number(row, "duration_s", h->duration_s, 3);
    put_text(row, "site", h->job->site.name);
    put_number(row, "latitude_deg", h->site.lat_deg, 6);
    put_number(row, "longitude_deg", h->site.lon_deg, 6);
    put_number(row, "height_m", h->site.height_m, 1);
    put_text(row, "target", h->job->target.satellite.name);
    put_number(row, "target_longitude_deg", h->job->target.satellite.lon_deg, 4);
    put_text(row, "polarisation", polarisation_name(h->job->target.polarisation));
    put_text(row, "procedure", h->procedure->name);
}

static void put_antenna(struct row *row, const struct handover *h)
{
    static const char *const names[AXIS_COUNT][2] = {
        {"azimuth_computed_deg", "azimuth_found_deg"},
        {"elevation_computed_deg", "elevation_found_deg"},
        {"skew_computed_deg", "skew_found_deg"}};

    for (int i = 0; i < AXIS_COUNT; i++) {
        put_number(row, names[i][0], h->axes[i].computed_deg, 3);
        put_number(row, names[i][1], h->axes[i].found_deg, 3);
    }
    put_number(row, "azimuth_bias_deg", h->bias_deg, 3);
    put_text(row, "target_sure", h->identity.sure ? "yes" : "no");
    put_text(row, "level_unit", level_unit_name(h->level.unit));
    put_number(row, "final", h->level.final, 3);
    put_number(row, "final_error", h->level.final_error, 3);
    put_number(row, "best", h->level.best, 3);
    put_number(row, "below_best", h->level.below_best, 3);
    put_number(row, "expected", h->level.expected, 3);
    put_number(row, "below_expected", h->level.below_expected, 3);
    put_text(row, "isolation_origin", handover_origin_name(h->isolation.origin));
    put_number(row, "isolation_db", h->isolation.db, 1);
    put_number(row, "esn0_db", h->link.esn0_db, 2);
    put_text(row, "modulation", h->link.choice.best ? h->link.choice.best->name : "");
    put_number(row, "expected_mbps", h->link.expected_mbps, 2);
    put_number(row, "down_mbps", h->speed.down_mbps, 2);
    put_number(row, "up_mbps", h->speed.up_mbps, 2);
}

static void put_work(struct row *row, const struct handover *h)
{
    put_number(row, "tighten_loss_db", last_loss_db(h), 3);
    put_count(row, "steps_skipped", count_endings(h, HANDOVER_SKIPPED));
    put_count(row, "not_confirmed", count_unconfirmed(h));
    put_count(row, "faults", h->fault_count + h->faults_lost);
    put_count(row, "met", handover_judge_count(h, HANDOVER_MET));
    put_count(row, "not_met", handover_judge_count(h, HANDOVER_NOT_MET));
    put_count(row, "not_measured", handover_judge_count(h, HANDOVER_NOT_MEASURED));
    put_number(row, "score", h->score.known ? h->score.points : NAN, 0);
    put_text(row, "recorded_by", h->log.software);
    put_text(row, "software", h->software);
}

static int put_row(const struct handover *handover, FILE *file, bool names)
{
    struct row row = {.file = file, .names = names};

    put_job(&row, handover);
    put_antenna(&row, handover);
    put_work(&row, handover);
    return putc('\n', file) == EOF || ferror(file) ? -EIO : 0;
}

int handover_csv_row(const struct handover *handover, FILE *file)
{
    return put_row(handover, file, false);
}

int handover_csv(const struct handover *handover, FILE *file)
{
    int r = put_row(handover, file, true);

    return r < 0 ? r : put_row(handover, file, false);
}
