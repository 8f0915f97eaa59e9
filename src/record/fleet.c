#include "record/fleet.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/handover_judge.h"
#include "record/handover_page.h"

static const double a_step_db = 0.01;
static const double fence = 1.5; /* distances of the quartiles */
enum { BAR = 40 };

void fleet_init(struct fleet *fleet)
{
    *fleet = (struct fleet){.jobs = 0};
}

/* --- a row each --------------------------------------------------------------------------------
 */

/* A text cut or padded to a number of places. */
static void put_cell(FILE *file, const char *text, int width)
{
    int places = 0;

    for (; *text && places < width; places++) {
        size_t n = text_utf8_length(text, strlen(text));
        n = n > 0 ? n : 1;
        fwrite(text, 1, n, file);
        text += n;
    }
    fprintf(file, "%*s", width - places + 1, "");
}

static const char *name_of(const struct handover *h)
{
    const char *slash = strrchr(h->log.path, '/');

    return slash ? slash + 1 : h->log.path;
}

static double loss_db(const struct handover *h)
{
    return h->level.measured && level_unit_is_db(h->level.unit) ? h->level.below_best : NAN;
}

void fleet_begin(FILE *file)
{
    fprintf(file, "%s\n\n", _("MANY JOBS"));
    put_cell(file, _("log"), 24);
    put_cell(file, _("target"), 16);
    handover_page_right(file, _("final"), 12);
    /* TRANSLATORS: the level, how far it ended below the best; a column of 11 characters */
    handover_page_right(file, _("below best"), 12);
    fprintf(file, "  %s\n", _("met, not met, not measured"));
}

static void put_row(const struct handover *h, FILE *file)
{
    char number[32], level[48] = "";
    const char *remark = h->kind == HANDOVER_QUIZ       ? _("quiz")
                         : !h->finished                 ? _("not finished")
                         : h->kind == HANDOVER_PRACTICE ? _("practice")
                                                        : "";

    put_cell(file, name_of(h), 24);
    put_cell(file, job_target_name(h->job), 16);
    text_append(level, sizeof level, "%s", h->level.measured ? "" : "-");
    if (h->level.measured) {
        text_append(level, sizeof level, "%s %s", handover_page_number(h->level.final, 2, number),
                    level_unit_name(h->level.unit));
    }
    fprintf(file, "%12s %11s  %d, %d, %d%s%s\n", level,
            isfinite(loss_db(h)) ? handover_page_number(loss_db(h), 2, number) : "-",
            handover_judge_count(h, HANDOVER_MET), handover_judge_count(h, HANDOVER_NOT_MET),
            handover_judge_count(h, HANDOVER_NOT_MEASURED), remark[0] ? "  " : "", remark);
}

/* --- counting ----------------------------------------------------------------------------------
 */

/* The lines that are not met, in a few words. */
static void name_failures(const struct handover *h, char *text, size_t size)
{
    text[0] = '\0';
    for (int i = 0; i < h->check_count; i++) {
        if (h->checks[i].verdict == HANDOVER_NOT_MET) {
            text_append(text, size, "%s%s", text[0] ? ", " : "", _(h->checks[i].what));
        }
    }
}

static void count_loss(struct fleet *fleet, const struct fleet_job *job)
{
    double step = fmax(round(job->loss_db / a_step_db), 0.0);
    int at = fleet->worst_count;

    fleet->measured++;
    fleet->steps[step < FLEET_STEPS - 1 ? (int)step : FLEET_STEPS - 1]++;
    while (at > 0 && fleet->worst[at - 1].loss_db < job->loss_db) {
        at--;
    }
    if (at == FLEET_WORST) {
        return;
    }
    fleet->worst_count += fleet->worst_count < FLEET_WORST;
    memmove(&fleet->worst[at + 1], &fleet->worst[at],
            (size_t)(fleet->worst_count - at - 1) * sizeof *fleet->worst);
    fleet->worst[at] = *job;
}

static bool is_unconfirmed(const struct handover *h)
{
    for (size_t i = 0; i < h->procedure->step_count; i++) {
        if (h->procedure->steps[i].act == DO_CONFIRM && h->steps[i].ending != HANDOVER_CONFIRMED) {
            return true;
        }
    }
    return false;
}

void fleet_add(struct fleet *fleet, const struct handover *handover, FILE *file)
{
    struct fleet_job job = {.loss_db = loss_db(handover),
                            .not_met = handover_judge_count(handover, HANDOVER_NOT_MET)};

    put_row(handover, file);
    fleet->jobs++;
    if (handover->kind == HANDOVER_QUIZ) {
        fleet->quizzes++;
        return;
    }
    text_copy(job.name, sizeof job.name, name_of(handover));
    name_failures(handover, job.why, sizeof job.why);
    fleet->practice += handover->kind == HANDOVER_PRACTICE;
    fleet->unfinished += !handover->finished;
    fleet->unconfirmed += is_unconfirmed(handover);
    fleet->met += handover_judge_count(handover, HANDOVER_MET);
    fleet->not_met += job.not_met;
    fleet->not_measured += handover_judge_count(handover, HANDOVER_NOT_MEASURED);
    if (isfinite(job.loss_db)) {
        count_loss(fleet, &job);
    }
    if (job.not_met > 0) {
        fleet->failed_jobs++;
        if (fleet->failed_count < FLEET_WORST) {
            fleet->failed[fleet->failed_count++] = job;
        }
    }
}

void fleet_refuse(struct fleet *fleet)
{
    fleet->refused++;
}

/* --- what it comes to --------------------------------------------------------------------------
 */

double fleet_quantile_db(const struct fleet *fleet, double share)
{
    /* the smallest loss that enough jobs do not exceed */
    int wanted = (int)ceil(share * fleet->measured), so_far = 0;

    if (fleet->measured == 0) {
        return NAN;
    }
    for (int i = 0; i < FLEET_STEPS; i++) {
        so_far += fleet->steps[i];
        if (so_far >= wanted && so_far > 0) {
            return i * a_step_db;
        }
    }
    return (FLEET_STEPS - 1) * a_step_db;
}

/* How many lost from one bound, included, to another. */
static int count_between(const struct fleet *fleet, int from, int to)
{
    int count = 0;

    for (int i = from; i < to; i++) {
        count += fleet->steps[i];
    }
    return count;
}

static void put_spread(const struct fleet *fleet, FILE *file)
{
    static const int bounds[] = {0, 5, 10, 20, 50, 100, FLEET_STEPS};
    enum { BINS = sizeof bounds / sizeof *bounds - 1 };

    handover_page_head(file, _("Loss: final below best, dB"));
    if (fleet->measured == 0) {
        handover_page_row(file, "", _("none was measured in decibels"));
        return;
    }
    for (int i = 0; i < BINS; i++) {
        int count = count_between(fleet, bounds[i], bounds[i + 1]);
        char label[32];
        if (i + 1 < BINS) {
            snprintf(label, sizeof label, _("%.2f to %.2f"), bounds[i] * a_step_db,
                     (bounds[i + 1] - 1) * a_step_db);
        } else {
            snprintf(label, sizeof label, _("%.2f and more"), bounds[i] * a_step_db);
        }
        fputs("  ", file);
        handover_page_pad(file, label, 16);
        fprintf(file, "%6d ", count);
        for (int n = (BAR * count + fleet->measured - 1) / fleet->measured; n > 0; n--) {
            putc('#', file);
        }
        putc('\n', file);
    }
    handover_page_row(file, _("half of them"), _("%.2f or less"), fleet_quantile_db(fleet, 0.5));
    handover_page_row(file, _("9 of 10"), _("%.2f or less"), fleet_quantile_db(fleet, 0.9));
    handover_page_row(file, _("99 of 100"), _("%.2f or less"), fleet_quantile_db(fleet, 0.99));
    handover_page_row(file, _("not measured"), _("%d of %d"),
                      fleet->jobs - fleet->quizzes - fleet->measured, fleet->jobs - fleet->quizzes);
}

static void put_outliers(const struct fleet *fleet, FILE *file)
{
    double low = fleet_quantile_db(fleet, 0.25), high = fleet_quantile_db(fleet, 0.75);
    double bound = high + fence * fmax(high - low, a_step_db);
    int told = 0;

    handover_page_head(file, _("What stands out"));
    for (int i = 0; i < fleet->worst_count && fleet->worst[i].loss_db > bound; i++) {
        handover_page_row(file, told++ == 0 ? _("loss") : "", _("%s: %.2f dB, beyond %.2f"),
                          fleet->worst[i].name, fleet->worst[i].loss_db, bound);
    }
    for (int i = 0; i < fleet->failed_count; i++) {
        handover_page_row(file, i == 0 ? _("not met") : "", "%s: %s", fleet->failed[i].name,
                          fleet->failed[i].why);
    }
    if (fleet->failed_jobs > fleet->failed_count) {
        handover_page_row(file, "", _("and %d jobs more"),
                          fleet->failed_jobs - fleet->failed_count);
    }
    if (told == 0 && fleet->failed_jobs == 0) {
        handover_page_row(file, "", _("nothing"));
    }
}

int fleet_finish(const struct fleet *fleet, FILE *file)
{
    handover_page_head(file, _("Together"));
    handover_page_row(file, _("logs"), _("%d; %d could not be read"), fleet->jobs + fleet->refused,
                      fleet->refused);
    handover_page_row(file, _("of these"),
                      _("%d on a simulated mount, %d quizzes, %d not finished"), fleet->practice,
                      fleet->quizzes, fleet->unfinished);
    handover_page_row(file, _("cautions"), _("not all confirmed in %d"), fleet->unconfirmed);
    handover_page_row(file, _("judgement"), _("%d met, %d not met, %d not measured"), fleet->met,
                      fleet->not_met, fleet->not_measured);
    put_spread(fleet, file);
    put_outliers(fleet, file);
    return ferror(file) ? -EIO : 0;
}
