/* page_head.c - what the record is of: site, target, antenna, when; and what it comes to. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"
#include "record/handover_judge.h"
#include "sky/utc.h"

enum { ROWS = 4 };

static const double key_width = 50.0, middle_gap = 14.0;

static void put_place(const struct handover *h, char text[WORDS_SIZE])
{
    text[0] = '\0';
    if (!isfinite(h->site.lat_deg) || !isfinite(h->site.lon_deg)) {
        text_append(text, WORDS_SIZE, _("not known"));
        return;
    }
    text_append(text, WORDS_SIZE, "%.5f° %s, %.5f° %s", fabs(h->site.lat_deg),
                h->site.lat_deg < 0.0 ? _("S") : _("N"), fabs(h->site.lon_deg),
                h->site.lon_deg < 0.0 ? _("W") : _("E"));
    if (isfinite(h->site.height_m)) {
        text_append(text, WORDS_SIZE, _(", %.0f m above the ellipsoid"), h->site.height_m);
    }
    if (h->site.origin == HANDOVER_MEASURED) {
        text_append(text, WORDS_SIZE,
                    tongue_say_count("; by a receiver, %lu fix", "; by a receiver, %lu fixes",
                                     h->site.fixes),
                    h->site.fixes);
        if (isfinite(h->site.fix.error_m)) {
            text_append(text, WORDS_SIZE, _(", sure to %.1f m"), h->site.fix.error_m);
        }
    } else {
        text_append(text, WORDS_SIZE, _("; as given, not measured"));
    }
}

static void put_target(const struct handover *h, char text[WORDS_SIZE])
{
    static const char *const polarisations[POLARISATION_COUNT] = {
        [POLARISATION_V] = N_("vertical"),
        [POLARISATION_H] = N_("horizontal"),
        [POLARISATION_CIRCULAR] = N_("circular"),
    };
    const struct job *job = h->job;

    text[0] = '\0';
    if (!job->target.given) {
        text_append(text, WORDS_SIZE, _("not given"));
        return;
    }
    text_append(text, WORDS_SIZE, _("%s at %.2f° %s"), job_target_name(job),
                fabs(job->target.satellite.lon_deg),
                job->target.satellite.lon_deg < 0.0 ? _("W") : _("E"));
    if (job->target.polarisation_given) {
        text_append(text, WORDS_SIZE, _(", %s polarisation"),
                    _(polarisations[job->target.polarisation]));
    }
}

static void put_antenna(const struct handover *h, char text[WORDS_SIZE])
{
    const struct job *job = h->job;
    double wide = job_beam_width_deg(job), high = job_beam_height_deg(job);

    text[0] = '\0';
    text_append(text, WORDS_SIZE, "%s", job->antenna.kind == JOB_DISH ? _("dish") : _("panel"));
    if (isfinite(job->antenna.width_m)) {
        text_append(text, WORDS_SIZE, " %.2f m", job->antenna.width_m);
    }
    if (isfinite(job->antenna.height_m) && job->antenna.height_m != job->antenna.width_m) {
        text_append(text, WORDS_SIZE, _(" by %.2f m"), job->antenna.height_m);
    }
    if (isfinite(job->antenna.frequency_ghz)) {
        text_append(text, WORDS_SIZE, ", %.3f GHz", job->antenna.frequency_ghz);
    }
    if (isfinite(wide) && isfinite(high)) {
        text_append(text, WORDS_SIZE, _(", beam %.2f° by %.2f°"), wide, high);
    }
}

static void put_kit(const struct handover *h, char text[WORDS_SIZE])
{
    static const char *const froms[] = {
        [JOB_FROM_SENSOR] = N_("by a sensor"),
        [JOB_FROM_SCALE] = N_("by its scale"),
        [JOB_FROM_NUDGES] = N_("by turns of its bolt"),
    };
    const struct job *job = h->job;

    text[0] = '\0';
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        bool next_same =
            axis + 1 < AXIS_COUNT && job->mount.axes[axis + 1].from == job->mount.axes[axis].from;
        text_append(text, WORDS_SIZE, "%s", axis_word((enum axis)axis));
        if (!next_same) {
            text_append(text, WORDS_SIZE, " %s", _(froms[job->mount.axes[axis].from]));
        }
        text_append(text, WORDS_SIZE, "%s", axis + 1 < AXIS_COUNT ? ", " : "");
    }
    for (size_t i = 0; i < job->meter_count; i++) {
        text_append(text, WORDS_SIZE, _("; meter %s"), job->meters[i].name);
    }
}

static void put_procedure(const struct handover *h, char text[WORDS_SIZE])
{
    text[0] = '\0';
    text_append(text, WORDS_SIZE, "%s, %s", h->procedure->name,
                h->finished ? _("brought to its end") : _("not brought to its end"));
}

static void put_when(const struct handover *h, char text[WORDS_SIZE])
{
    char from[UTC_TEXT_SIZE], lasted[WORDS_SIZE];

    words_duration(lasted, h->duration_s);
    text[0] = '\0';
    utc_format(h->begun_utc_s, -1, from);
    if (from[0]) {
        /* "2026-11-25T14:32Z" as people write it */
        text_append(text, WORDS_SIZE, _("%.10s %.5s UTC, lasted %s"), from, from + 11, lasted);
    } else {
        text_append(text, WORDS_SIZE, _("no clock told; lasted %s"), lasted);
    }
}

static void put_identity(const struct handover *h, char text[WORDS_SIZE])
{
    text[0] = '\0';
    if (!h->identity.grounds[0]) {
        text_append(text, WORDS_SIZE, _("not identified"));
    } else {
        text_append(text, WORDS_SIZE, "%s%s", h->identity.sure ? "" : _("not sure: "),
                    h->identity.grounds);
    }
}

static double put_rows(struct page *page, double x, double y, double width)
{
    static const struct {
        const char *key;
        void (*put)(const struct handover *h, char text[WORDS_SIZE]);
        bool of_quiz; /* the others say what was never looked at in one */
    } rows[2][ROWS] = {
        {{N_("Site"), put_place}, {N_("Target"), put_target, true}, {N_("Identity"), put_identity}},
        {{N_("When"), put_when, true},
         {N_("Procedure"), put_procedure},
         {N_("Antenna"), put_antenna},
         {N_("Angles, meter"), put_kit}},
    };
    bool quiz = page->handover->kind == HANDOVER_QUIZ;
    double half = 0.5 * (width - middle_gap);
    const struct table_column columns[] = {{key_width, ALIGN_LEFT},
                                           {half - key_width - table_gap, ALIGN_LEFT}};
    double lowest = 0.0;

    for (int side = 0; side < 2; side++) {
        double top = y;
        for (int i = 0; i < ROWS && rows[side][i].key; i++) {
            char text[WORDS_SIZE];
            const char *cells[] = {NULL, text};
            double left = x + side * (half + middle_gap);
            if (quiz && !rows[side][i].of_quiz) {
                continue;
            }
            rows[side][i].put(page->handover, text);
            paper_text(page->paper, STYLE_SMALL, PEN_SOFT, ALIGN_LEFT, left, top + 1.2, key_width,
                       1, _(rows[side][i].key));
            top +=
                table_put_row(page->paper, STYLE_BODY, PEN_DARK, left, top, columns, 2, cells, 3) +
                1.5;
        }
        lowest = fmax(lowest, top - y);
    }
    return lowest;
}

/* What must not be overlooked beside the verdicts. */
static void put_cautions(const struct handover *h, char text[2 * WORDS_SIZE])
{
    text[0] = '\0';
    if (!h->finished && h->kind != HANDOVER_QUIZ) {
        text_append(text, 2 * WORDS_SIZE, _("The log ends before the procedure did. "));
    }
    if (h->log.differs > 0) {
        text_append(
            text, 2 * WORDS_SIZE,
            _("The log was recorded by %s; %s would have advised otherwise in %lu places: fits "
              "and levels here are its own, not those shown then."),
            h->log.software[0] ? h->log.software : _("another version"), h->software,
            h->log.differs);
    }
}

static enum paper_shape sum_shape(const struct handover *h)
{
    if (handover_judge_count(h, HANDOVER_NOT_MET) > 0) {
        return SHAPE_CROSS;
    }
    return handover_judge_count(h, HANDOVER_NOT_MEASURED) > 0 || !h->finished || h->check_count == 0
               ? SHAPE_DASH
               : SHAPE_TICK;
}

/* What the judgement comes to, in a frame: the one line that is read from across the table. */
static double put_sum(struct page *page, double x, double y, double width)
{
    static const double size = 10.0, inset = 4.0;
    const struct handover *h = page->handover;
    double left = x + size + 2.5 * inset, top = y,
           line = paper_line_height(page->paper, STYLE_HEADING);
    char text[2 * WORDS_SIZE];

    snprintf(text, sizeof text, _("%d met, %d not met, %d not measured"),
             handover_judge_count(h, HANDOVER_MET), handover_judge_count(h, HANDOVER_NOT_MET),
             handover_judge_count(h, HANDOVER_NOT_MEASURED));
    y += inset;
    paper_shape(page->paper, sum_shape(h), x + inset, y + 0.5 * (line - size), size);
    y += paper_text(page->paper, STYLE_HEADING, PEN_DARK, ALIGN_LEFT, left, y,
                    width - (left - x) - inset, 1, text);
    put_cautions(h, text);
    y += paper_text(page->paper, STYLE_STRONG, PEN_DARK, ALIGN_LEFT, left, y,
                    width - (left - x) - inset, 3, text);
    y += inset;
    paper_frame(page->paper, PEN_DARK, sum_shape(h) == SHAPE_CROSS ? 1.4 : 0.7,
                (struct paper_box){x, top, width, y - top});
    return y - top;
}

/* A record of practice must never pass for one of a mount. */
static const struct {
    const char *title, *words;
} kinds[] = {
    [HANDOVER_INSTALL] = {N_("Pointing record"), ""},
    [HANDOVER_PRACTICE] = {N_("Practice record"),
                           N_("Practice on a simulated mount: no antenna was pointed.")},
    [HANDOVER_QUIZ] = {N_("Quiz record"),
                       N_("Questions about another session's recording: no antenna was pointed.")},
};

const char *page_title(const struct handover *handover)
{
    return _(kinds[handover->kind].title);
}

double page_head(struct page *page, double x, double y, double width)
{
    const struct handover *h = page->handover;
    const char *title = page_title(h);
    double top = y, room = paper_text_width(page->paper, STYLE_TITLE, title) + 2.0;

    y += fmax(paper_text(page->paper, STYLE_TITLE, PEN_DARK, ALIGN_LEFT, x, y, room, 1, title),
              paper_text(page->paper, STYLE_TITLE, PEN_ACCENT, ALIGN_RIGHT, x + room + 14.0, y,
                         width - room - 14.0, 2, page_name(h)));
    y += paper_text(page->paper, STYLE_STRONG, PEN_ALARM, ALIGN_LEFT, x, y, width, 1,
                    _(kinds[h->kind].words));
    paper_line(page->paper, PEN_DARK, 1.0, false, x, y + 1.0, x + width, y + 1.0);
    y += 5.0;
    y += put_rows(page, x, y, width) + 2.0;
    if (h->kind != HANDOVER_QUIZ) {
        y += put_sum(page, x, y, width);
    }
    return y - top;
}
