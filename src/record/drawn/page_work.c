/*
 * page_work.c - what else came up: the tightening, what the sources failed in, what was noted, and
 * the score of a practice.
 */
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"

static const double between = 12.0, key_width = 32.0, upper_share = 0.6, list_gap = 4.0;

struct table_row *page_add_row(struct page *page, enum paper_pen pen, const char *key)
{
    struct table_row *row;

    if (page->row_count == TABLE_ROWS) {
        page->lost++;
        page->row_count--;
    }
    row = &page->rows[page->row_count++];
    row->pen = pen;
    text_copy(row->cells[0], sizeof row->cells[0], key);
    row->cells[1][0] = '\0';
    return row;
}

/* A heading and the rows at hand, or a word when there are none. Returns the height taken. */
static double put_list(struct page *page, struct paper_box box, double first_width,
                       const char *heading, const char *none)
{
    /* a quiz has the page for itself */
    enum paper_style style = page->handover->kind == HANDOVER_QUIZ ? STYLE_BODY : STYLE_SMALL;
    double top = box.y, height = table_heading(page->paper, box.x, box.y, box.width, heading);

    box.y += height;
    box.height -= height;
    if (page->row_count == 0 && page->lost == 0) {
        box.y +=
            paper_text(page->paper, style, PEN_SOFT, ALIGN_LEFT, box.x, box.y, box.width, 2, none);
    } else {
        box.y += table_list(page->paper, style, box, first_width, page->rows, page->row_count,
                            page->lost);
    }
    page->row_count = page->lost = 0;
    return box.y - top;
}

static double put_fastenings(struct page *page, struct paper_box box)
{
    const struct handover *h = page->handover;
    char text[WORDS_SIZE], error[WORDS_SIZE];

    for (int i = 0; i < h->fastening_count; i++) {
        struct table_row *row =
            page_add_row(page, PEN_DARK, words_time(text, h, h->fastenings[i].t));
        text_append(row->cells[1], TABLE_CELL_SIZE, _("round %d: "), h->fastenings[i].round);
        if (h->fastenings[i].alarm) {
            text_append(row->cells[1], TABLE_CELL_SIZE, _("it fell while a bolt was turned; "));
        }
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s",
                    words_level(text, h->fastenings[i].after, h->level.unit));
        if (isfinite(h->fastenings[i].loss_db)) {
            text_append(row->cells[1], TABLE_CELL_SIZE,
                        h->fastenings[i].loss_db < 0.0 ? _(", %s above that before")
                                                       : _(", %s below that before"),
                        words_level(text, fabs(h->fastenings[i].loss_db), LEVEL_DB));
        }
        for (int axis = 0; axis < 2; axis++) {
            if (isfinite(h->fastenings[i].drift_deg[axis])) {
                text_append(row->cells[1], TABLE_CELL_SIZE, ", %s %s", axis_word((enum axis)axis),
                            words_degrees(text, h->fastenings[i].drift_deg[axis], true));
            }
            if (isfinite(h->fastenings[i].off_deg[axis])) {
                /* TRANSLATORS: ", azimuth +0.05° ± 0.03° off by pushing" */
                text_append(row->cells[1], TABLE_CELL_SIZE, _(", %s %s ± %s off by pushing"),
                            axis_word((enum axis)axis),
                            words_degrees(text, h->fastenings[i].off_deg[axis], true),
                            words_degrees(error, h->fastenings[i].off_error_deg[axis], false));
            }
        }
    }
    page->lost += h->fastenings_lost;
    return put_list(page, box, key_width, _("Tightening"), _("Not measured: no bolt was watched."));
}

static double put_faults(struct page *page, struct paper_box box)
{
    static const char *const statuses[] = {[SOURCE_UP] = N_("is up"),
                                           [SOURCE_DOWN] = N_("went down"),
                                           [SOURCE_SILENT] = N_("fell silent"),
                                           [SOURCE_BAD] = N_("sent what can't be read")};
    const struct handover *h = page->handover;
    char text[WORDS_SIZE];

    for (int i = 0; i < h->fault_count; i++) {
        const struct record_source *source = &h->faults[i].source;
        struct table_row *row = page_add_row(page, PEN_DARK, words_time(text, h, h->faults[i].t));
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s %s%s%s", source->name,
                    _(statuses[source->status]), source->why[0] ? ": " : "", source->why);
    }
    page->lost += h->faults_lost;
    snprintf(text, sizeof text, _("Faults of sources; %lu lines or values refused"), h->refused);
    return put_list(page, box, key_width, h->refused > 0 ? text : _("Faults of sources"),
                    _("None."));
}

static double put_notes(struct page *page, struct paper_box box)
{
    const struct handover *h = page->handover;
    char text[WORDS_SIZE];

    for (int i = 0; i < h->note_count; i++) {
        struct table_row *row = page_add_row(page, PEN_DARK, words_time(text, h, h->notes[i].t));
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s%s", h->notes[i].mark ? _("mark: ") : "",
                    h->notes[i].text);
    }
    page->lost += h->notes_lost;
    return put_list(page, box, key_width, _("Notes"), _("None."));
}

static double put_score(struct page *page, struct paper_box box)
{
    const struct handover *h = page->handover;
    char heading[WORDS_SIZE];

    for (int i = 0; i < h->score.count; i++) {
        struct table_row *row = page_add_row(page, PEN_DARK, "");
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s", h->score.sentences[i]);
    }
    page->lost += h->score.lost;
    snprintf(heading, sizeof heading, _("Score: %.0f of 100"), h->score.points);
    return put_list(page, box, 0.0, heading, "");
}

/* Two lists under each other: the upper one leaves the lower one what it needs, or its share. */
static double put_two(struct page *page, struct paper_box box,
                      double (*upper)(struct page *, struct paper_box),
                      double (*lower)(struct page *, struct paper_box))
{
    struct paper_box part = box;
    double used;

    paper_rehearse_begin(page->paper);
    part.height = fmax(box.height - lower(page, box) - list_gap, upper_share * box.height);
    paper_rehearse_end(page->paper);
    used = upper(page, part) + list_gap;
    part.y = box.y + used;
    part.height = box.height - used;
    return used + lower(page, part);
}

double page_work(struct page *page, struct paper_box box)
{
    double width = 0.5 * (box.width - between);
    struct paper_box column = {box.x, box.y, width, box.height};
    double left, right;

    if (page->handover->kind == HANDOVER_QUIZ) {
        return put_two(page, box, put_score, put_notes);
    }
    left = put_two(page, column, put_fastenings, put_faults);
    column.x += width + between;
    right = page->handover->score.known ? put_two(page, column, put_score, put_notes)
                                        : put_notes(page, column);
    return fmax(left, right);
}
