/* The page's part about the work: cautions, steps, bolts, the trend, notes, faults. */
#include "record/handover_text.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/handover_page.h"
#include "sky/utc.h"

static const char *when(const struct handover_step *step, char ret[64])
{
    char utc[UTC_TEXT_SIZE], clock[32];

    ret[0] = '\0';
    text_append(ret, 64, "%s", handover_page_clock(step->ended_t, clock));
    if (isfinite(step->ended_utc_s)) {
        text_append(ret, 64, ", %s", utc_format(step->ended_utc_s, 0, utc));
    }
    return ret;
}

static void put_confirmations(const struct handover *h, FILE *file)
{
    char at[64];

    handover_page_head(file, _("Cautions and confirmations"));
    for (size_t i = 0; i < h->procedure->step_count; i++) {
        const struct procedure_step *step = &h->procedure->steps[i];
        if (step->act != DO_CONFIRM) {
            continue;
        }
        if (h->steps[i].ending == HANDOVER_CONFIRMED) {
            handover_page_row(file, _(step->name), _("confirmed at %s"), when(&h->steps[i], at));
        } else {
            handover_page_row(file, _(step->name), _("NOT confirmed: %s"),
                              _(handover_ending_name(h->steps[i].ending)));
        }
        handover_page_row(file, "", "\"%s\"", _(step->text));
    }
    handover_page_row(file, "",
                      _("Local codes and licensed practice decide what may be done on a "
                        "site; this page does not."));
}

static void put_steps(const struct handover *h, FILE *file)
{
    handover_page_head(file, _("Steps"));
    for (size_t i = 0; i < h->procedure->step_count; i++) {
        const struct handover_step *step = &h->steps[i];
        char begun[32], ended[32], text[160];
        if (h->procedure->steps[i].act == DO_CONFIRM) {
            continue;
        }
        text[0] = '\0';
        if (step->visits > 0) {
            /* TRANSLATORS: how a step ended, and from when to when it was worked on */
            text_append(text, sizeof text, _("%s, %s to %s"), _(handover_ending_name(step->ending)),
                        handover_page_clock(step->began_t, begun),
                        handover_page_clock(step->ended_t, ended));
        } else {
            text_append(text, sizeof text, _("%s to %s"), _(handover_ending_name(step->ending)),
                        handover_page_clock(step->ended_t, ended));
        }
        if (step->visits > 1) {
            text_append(text, sizeof text, "%s", _(", more than once"));
        }
        handover_page_row(file, _(h->procedure->steps[i].name), "%s%s%s", text,
                          step->result[0] ? ": " : "", step->result);
    }
}

static void put_fastenings(const struct handover *h, FILE *file)
{
    const char *unit = level_unit_symbol(h->level.unit, true);

    handover_page_head(file, _("Bolts"));
    if (h->fastening_count == 0) {
        handover_page_row(file, "", _("no fastening was watched"));
    }
    for (int i = 0; i < h->fastening_count; i++) {
        const struct handover_fastening *f = &h->fastenings[i];
        char clock[32], before[32], after[32], text[240] = "";
        if (f->alarm) {
            text_append(text, sizeof text, _("the level fell by %.2f dB while a bolt was turned"),
                        handover_page_round(f->loss_db, 2));
        } else {
            text_append(text, sizeof text,
                        f->loss_db < 0.0 ? _("round %d, %s %s before, %s after: %.2f dB gained")
                                         : _("round %d, %s %s before, %s after: %.2f dB lost"),
                        f->round, handover_page_number(f->before, 2, before), unit,
                        handover_page_number(f->after, 2, after), fabs(f->loss_db));
            if (isfinite(f->loss_error_db)) {
                text_append(text, sizeof text, " \u00b1 %.2f", f->loss_error_db);
            }
            for (int axis = 0; axis < 2; axis++) {
                if (isfinite(f->drift_deg[axis])) {
                    text_append(text, sizeof text, _(", %s moved %+.2f°"),
                                axis_word((enum axis)axis),
                                handover_page_round(f->drift_deg[axis], 2));
                }
                if (isfinite(f->off_deg[axis])) {
                    /* TRANSLATORS: ", azimuth +0.05 ± 0.03° off by pushing" */
                    text_append(text, sizeof text, _(", %s %+.2f ± %.2f° off by pushing"),
                                axis_word((enum axis)axis),
                                handover_page_round(f->off_deg[axis], 2), f->off_error_deg[axis]);
                }
            }
        }
        handover_page_row(file, handover_page_clock(f->t, clock), "%s", text);
    }
}

/* The trend as a row of figures: a face with a picture shows more. */
static void put_trend(const struct handover *h, FILE *file)
{
    enum { ROWS = 12 };
    const struct handover_trend *trend = &h->trend;
    char clock[32], low[32], high[32];

    if (trend->count == 0) {
        return;
    }
    handover_page_head(file, _("Trend: lowest and highest level"));
    for (int row = 0; row < ROWS; row++) {
        int from = trend->count * row / ROWS, to = trend->count * (row + 1) / ROWS;
        float lowest = NAN, highest = NAN;
        for (int i = from; i < to; i++) {
            lowest = fminf(lowest, trend->pieces[i].low);
            highest = fmaxf(highest, trend->pieces[i].high);
        }
        if (from == to) {
            continue;
        }
        if (isfinite(lowest)) {
            handover_page_row(file, handover_page_clock(from * trend->piece_s, clock),
                              _("%s to %s"), handover_page_number(lowest, 1, low),
                              handover_page_number(highest, 1, high));
        } else {
            handover_page_row(file, handover_page_clock(from * trend->piece_s, clock),
                              _("no reading"));
        }
    }
}

static void put_notes(const struct handover *h, FILE *file)
{
    char clock[32];

    if (h->note_count == 0) {
        return;
    }
    handover_page_head(file, _("Notes"));
    if (h->notes_lost > 0) {
        handover_page_row(file, "", _("(%d earlier ones are only in the log)"), h->notes_lost);
    }
    for (int i = 0; i < h->note_count; i++) {
        handover_page_row(file, handover_page_clock(h->notes[i].t, clock),
                          h->notes[i].mark ? _("mark: %s") : "%s", h->notes[i].text);
    }
}

static void put_faults(const struct handover *h, FILE *file)
{
    static const char *const words[] = {[SOURCE_UP] = "up",
                                        [SOURCE_DOWN] = N_("went down"),
                                        [SOURCE_SILENT] = N_("fell silent"),
                                        [SOURCE_BAD] = N_("sent what can't be read")};
    char clock[32];

    handover_page_head(file, _("Sources"));
    if (h->fault_count == 0) {
        handover_page_row(file, "", _("no source failed"));
    }
    if (h->faults_lost > 0) {
        handover_page_row(file, "", _("(%d earlier faults are only in the log)"), h->faults_lost);
    }
    for (int i = 0; i < h->fault_count; i++) {
        const struct record_source *source = &h->faults[i].source;
        handover_page_row(file, handover_page_clock(h->faults[i].t, clock), "%s %s%s%s",
                          source->name, _(words[source->status]), source->why[0] ? ": " : "",
                          source->why);
    }
    if (h->refused > 0) {
        handover_page_row(file, "", _("%lu lines or values were refused"), h->refused);
    }
}

void handover_text_work(const struct handover *handover, FILE *file)
{
    put_confirmations(handover, file);
    put_steps(handover, file);
    put_fastenings(handover, file);
    put_trend(handover, file);
    put_notes(handover, file);
    put_faults(handover, file);
}
