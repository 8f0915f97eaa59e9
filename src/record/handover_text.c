/* The page's head, its judgement and its foot; the parts between are in two files beside this. */
#include "base/tongue.h"
#include "record/handover_text.h"

#include <errno.h>
#include <math.h>

#include "base/text.h"
#include "record/handover_judge.h"
#include "record/handover_page.h"
#include "sky/utc.h"

/* "position, set skew", or that nothing was. */
static void put_skipped(const struct handover *h, FILE *file)
{
    char names[PROCEDURE_STEPS * (PROCEDURE_NAME_SIZE + 2)] = "";

    for (size_t i = 0; i < h->procedure->step_count; i++) {
        if (h->steps[i].ending == HANDOVER_SKIPPED) {
            text_append(names, sizeof names, "%s%s", names[0] ? ", " : "",
                        _(h->procedure->steps[i].name));
        }
    }
    handover_page_row(file, _("skipped"), "%s", names[0] ? names : _("no step"));
}

static void put_head(const struct handover *h, FILE *file)
{
    static const char *const titles[] = {
        [HANDOVER_INSTALL] = N_("POINTING RECORD"),
        [HANDOVER_PRACTICE] = N_("PRACTICE RECORD - a simulated mount, no antenna was pointed"),
        [HANDOVER_QUIZ] = N_("QUIZ RECORD - questions about a recorded session"),
    };
    const struct job *job = h->job;
    char begun[UTC_TEXT_SIZE], clock[32];

    fprintf(file, "%s\n\n", _(titles[h->kind]));
    handover_page_row(file, _("site"), "%s",
                      job->site.name[0] ? job->site.name : _("(no name given)"));
    handover_page_row(file, _("target"),
                      job->target.polarisation == POLARISATION_CIRCULAR
                          ? _("%s at %.2f° %s, %s")
                          : _("%s at %.2f° %s, %s polarisation"),
                      job_target_name(job), fabs(job->target.satellite.lon_deg),
                      job->target.satellite.lon_deg < 0.0 ? "W" : "E",
                      polarisation_name(job->target.polarisation));
    handover_page_row(file, _("begun"), _("%s; took %s"),
                      isfinite(h->begun_utc_s) ? utc_format(h->begun_utc_s, 0, begun)
                                               : _("at a time not known, no clock told it"),
                      handover_page_clock(h->duration_s, clock));
    if (h->kind == HANDOVER_QUIZ) {
        return;
    }
    put_skipped(h, file);
    if (!h->finished) {
        handover_page_row(file, _("NOT FINISHED"), _("the log ends before the procedure did"));
    }
    if (h->log.differs > 0) {
        handover_page_row(
            file, _("CAUTION"),
            _("the log was recorded by %s; this version would have advised otherwise "
              "in %lu places, so the fits of lobes and bolts below are its own, or missing; "
              "the version that recorded it has them as they were"),
            h->log.software[0] ? h->log.software : _("another version"), h->log.differs);
    }
}

static void put_judgement(const struct handover *h, FILE *file)
{
    char head[96];

    if (h->check_count == 0) {
        return;
    }
    snprintf(head, sizeof head, _("Judgement: %d met, %d not met, %d not measured"),
             handover_judge_count(h, HANDOVER_MET), handover_judge_count(h, HANDOVER_NOT_MET),
             handover_judge_count(h, HANDOVER_NOT_MEASURED));
    handover_page_head(file, head);
    for (int i = 0; i < h->check_count; i++) {
        const struct handover_check *check = &h->checks[i];
        fputs("  ", file);
        handover_page_pad(file,
                          check->verdict == HANDOVER_NOT_MET
                              ? _("NOT MET")
                              : _(handover_verdict_name(check->verdict)),
                          13);
        fprintf(file, " %s\n", _(check->what));
        handover_page_row(file, "", _("asked: %s"), check->limit);
        handover_page_row(file, "", _("found: %s"), check->found[0] ? check->found : _("nothing"));
    }
}

static void put_score(const struct handover *h, FILE *file)
{
    if (h->score.count == 0) {
        return;
    }
    handover_page_head(file, _("Score"));
    if (h->score.lost > 0) {
        handover_page_row(file, "", _("(%d earlier lines are only in the log)"), h->score.lost);
    }
    for (int i = 0; i < h->score.count; i++) {
        handover_page_row(file, "", "%s", h->score.sentences[i]);
    }
}

static void put_foot(const struct handover *h, FILE *file)
{
    handover_page_head(file, _("Log and signatures"));
    handover_page_row(file, _("log"), _("%s, %lu records, %llu bytes"), h->log.path, h->log.records,
                      (unsigned long long)h->log.bytes);
    fprintf(file, "  SHA-256 %s\n", h->log.sha256[0] ? h->log.sha256 : _("not computed"));
    handover_page_row(file, _("recorded by"), "%s",
                      h->log.software[0] ? h->log.software : _("a version that does not say"));
    handover_page_row(file, _("this record by"), "%s", h->software);
    for (int i = 0; i < 2; i++) {
        fputs("\n  ", file);
        handover_page_pad(file, i == 0 ? _("technician") : _("taken over"), 12);
        fputs(_(" name ______________________  date ____________\n"
                "               signature ______________________________________\n"),
              file);
    }
}

int handover_text(const struct handover *handover, FILE *file)
{
    put_head(handover, file);
    put_score(handover, file);
    if (handover->kind != HANDOVER_QUIZ) {
        put_judgement(handover, file);
        handover_text_antenna(handover, file);
        handover_text_work(handover, file);
    }
    put_foot(handover, file);
    return ferror(file) ? -EIO : 0;
}
