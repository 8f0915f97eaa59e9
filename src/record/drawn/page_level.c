/* page_level.c - the level that was left, and what it is worth. */
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"
#include "record/handover_page.h"

enum { NUMBER_SIZE = 32 };

static void add_final(struct page *page)
{
    const struct handover_level *level = &page->handover->level;
    struct table_row *row = page_add_row(page, level->measured ? PEN_DARK : PEN_SOFT, _("Final"));
    char value[WORDS_SIZE];

    if (level->measured) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s",
                    words_level(value, level->final, level->unit));
        if (isfinite(level->final_error)) {
            text_append(row->cells[1], TABLE_CELL_SIZE, " ± %.2f", level->final_error);
        }
        text_append(row->cells[1], TABLE_CELL_SIZE, _(", %d readings"), level->final_readings);
    } else if (level->known) {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("not measured; %s when the log ends"),
                    words_level(value, level->last, level->unit));
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("not measured: no meter said anything"));
    }
}

static void add_compared(struct page *page)
{
    const struct handover_level *level = &page->handover->level;
    struct table_row *row;
    char value[WORDS_SIZE], below[WORDS_SIZE];

    row = page_add_row(page, isfinite(level->best) ? PEN_DARK : PEN_SOFT, _("Best"));
    text_append(row->cells[1], TABLE_CELL_SIZE, "%s", words_level(value, level->best, level->unit));
    if (isfinite(level->below_best)) {
        text_append(row->cells[1], TABLE_CELL_SIZE,
                    level->below_best < 0.0 ? _("; final %s above it") : _("; final %s below it"),
                    words_level(below, fabs(level->below_best), level->unit));
    }
    row = page_add_row(page, isfinite(level->expected) ? PEN_DARK : PEN_SOFT, _("Expected"));
    if (isfinite(level->expected)) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s",
                    words_level(value, level->expected, level->unit));
        if (isfinite(level->below_expected)) {
            text_append(row->cells[1], TABLE_CELL_SIZE,
                        level->below_expected < 0.0 ? _("; final %s above it")
                                                    : _("; final %s below it"),
                        words_level(below, fabs(level->below_expected), level->unit));
        }
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("not given"));
    }
}

static void add_isolation(struct page *page)
{
    const struct handover *h = page->handover;
    bool known = h->isolation.origin != HANDOVER_UNKNOWN && isfinite(h->isolation.db);
    bool looked_at = known && h->isolation.origin != HANDOVER_IMPLIED;
    struct table_row *row = page_add_row(page, looked_at ? PEN_DARK : PEN_SOFT, _("Isolation"));
    char db[NUMBER_SIZE];

    if (known) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s dB, %s",
                    handover_page_number(h->isolation.db, 1, db),
                    _(handover_origin_name(h->isolation.origin)));
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("not measured"));
    }
    if (h->isolation.how[0]) {
        text_append(row->cells[1], TABLE_CELL_SIZE, ": %s", h->isolation.how);
    }
}

static void add_link(struct page *page)
{
    const struct handover *h = page->handover;
    struct table_row *row = page_add_row(page, PEN_SOFT, _("Link"));
    char number[NUMBER_SIZE];

    if (h->link.origin == HANDOVER_UNKNOWN) {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("not known%s%s"),
                    h->link.why_not[0] ? ": " : "", h->link.why_not);
        return;
    }
    text_append(row->cells[1], TABLE_CELL_SIZE,
                "Es/N0 %s dB, %s: ", handover_page_number(h->link.esn0_db, 1, number),
                _(handover_origin_name(h->link.origin)));
    if (h->link.choice.best) {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("%s holds with %s dB to spare"),
                    h->link.choice.best->name,
                    handover_page_number(h->link.choice.spare_db, 1, number));
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("no modulation holds"));
    }
    if (isfinite(h->link.expected_mbps)) {
        text_append(row->cells[1], TABLE_CELL_SIZE, _(", %s Mbit/s computed"),
                    handover_page_number(h->link.expected_mbps, 1, number));
    } else if (h->link.why_not[0]) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "; %s", h->link.why_not);
    }
}

static void add_speed(struct page *page)
{
    const struct handover *h = page->handover;
    bool tested = h->speed.origin != HANDOVER_UNKNOWN;
    struct table_row *row = page_add_row(page, tested ? PEN_DARK : PEN_SOFT, _("Speed test"));
    char down[NUMBER_SIZE], up[NUMBER_SIZE];

    if (!tested) {
        text_append(row->cells[1], TABLE_CELL_SIZE, _("not measured"));
        return;
    }
    text_append(row->cells[1], TABLE_CELL_SIZE, _("down %s%s, up %s%s; %s"),
                handover_page_number(h->speed.down_mbps, 1, down),
                isfinite(h->speed.down_mbps) ? " Mbit/s" : "",
                handover_page_number(h->speed.up_mbps, 1, up),
                isfinite(h->speed.up_mbps) ? " Mbit/s" : "",
                h->speed.how[0] ? h->speed.how : _(handover_origin_name(h->speed.origin)));
}

double page_level(struct page *page, double x, double y, double width)
{
    static const double room = 130.0, key_width = 44.0;
    const struct handover_level *level = &page->handover->level;
    char heading[WORDS_SIZE];
    double top = y;

    text_copy(heading, sizeof heading, _("Level"));
    if (level->quantity[0]) {
        text_append(heading, sizeof heading, ": %s", level->quantity);
    }
    y += table_heading(page->paper, x, y, width, heading);
    page->row_count = page->lost = 0;
    add_final(page);
    add_compared(page);
    add_isolation(page);
    add_link(page);
    add_speed(page);
    y += table_list(page->paper, STYLE_BODY, (struct paper_box){x, y, width, room}, key_width,
                    page->rows, page->row_count, page->lost);
    return y - top;
}
