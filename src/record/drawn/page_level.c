/* page_level.c - the level that was left, and what it is worth. */
#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"

static void add_final(struct page *page)
{
    const struct handover_level *level = &page->handover->level;
    struct table_row *row = page_add_row(page, level->measured ? PEN_DARK : PEN_SOFT, "Final");
    char value[WORDS_SIZE];

    if (level->measured) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s",
                    words_level(value, level->final, level->unit));
        if (isfinite(level->final_error)) {
            text_append(row->cells[1], TABLE_CELL_SIZE, " \u00b1 %.2f", level->final_error);
        }
        text_append(row->cells[1], TABLE_CELL_SIZE, ", %d readings", level->final_readings);
    } else if (level->known) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "not measured; %s when the log ends",
                    words_level(value, level->last, level->unit));
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, "not measured: no meter said anything");
    }
}

static void add_compared(struct page *page)
{
    const struct handover_level *level = &page->handover->level;
    struct table_row *row;
    char value[WORDS_SIZE], below[WORDS_SIZE];

    row = page_add_row(page, isfinite(level->best) ? PEN_DARK : PEN_SOFT, "Best");
    text_append(row->cells[1], TABLE_CELL_SIZE, "%s", words_level(value, level->best, level->unit));
    if (isfinite(level->below_best)) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "; final %s",
                    words_below(below, level->below_best, level->unit, "it"));
    }
    row = page_add_row(page, isfinite(level->expected) ? PEN_DARK : PEN_SOFT, "Expected");
    if (isfinite(level->expected)) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "%s",
                    words_level(value, level->expected, level->unit));
        if (isfinite(level->below_expected)) {
            text_append(row->cells[1], TABLE_CELL_SIZE, "; final %s",
                        words_below(below, level->below_expected, level->unit, "it"));
        }
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, "not given");
    }
}

static void add_isolation(struct page *page)
{
    const struct handover *h = page->handover;
    bool known = h->isolation.origin != HANDOVER_UNKNOWN && isfinite(h->isolation.db);
    struct table_row *row = page_add_row(
        page, known && h->isolation.origin != HANDOVER_IMPLIED ? PEN_DARK : PEN_SOFT, "Isolation");

    if (!known) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "not measured");
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, "%.1f dB, %s", h->isolation.db,
                    handover_origin_name(h->isolation.origin));
    }
    if (h->isolation.how[0]) {
        text_append(row->cells[1], TABLE_CELL_SIZE, ": %s", h->isolation.how);
    }
}

static void add_link(struct page *page)
{
    const struct handover *h = page->handover;
    struct table_row *row = page_add_row(page, PEN_SOFT, "Link");

    if (h->link.origin == HANDOVER_UNKNOWN) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "not known%s%s", h->link.why_not[0] ? ": " : "",
                    h->link.why_not);
        return;
    }
    text_append(row->cells[1], TABLE_CELL_SIZE, "Es/N0 %.1f dB, %s", h->link.esn0_db,
                handover_origin_name(h->link.origin));
    if (h->link.choice.best) {
        text_append(row->cells[1], TABLE_CELL_SIZE, ": %s holds with %.1f dB to spare",
                    h->link.choice.best->name, h->link.choice.spare_db);
    } else {
        text_append(row->cells[1], TABLE_CELL_SIZE, ": no modulation holds");
    }
    if (isfinite(h->link.expected_mbps)) {
        text_append(row->cells[1], TABLE_CELL_SIZE, ", %.1f Mbit/s computed",
                    h->link.expected_mbps);
    }
}

static void add_speed(struct page *page)
{
    const struct handover *h = page->handover;
    bool tested = h->speed.origin != HANDOVER_UNKNOWN;
    struct table_row *row = page_add_row(page, tested ? PEN_DARK : PEN_SOFT, "Speed test");

    if (!tested) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "not measured");
        return;
    }
    if (isfinite(h->speed.down_mbps)) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "down %.1f Mbit/s, ", h->speed.down_mbps);
    }
    if (isfinite(h->speed.up_mbps)) {
        text_append(row->cells[1], TABLE_CELL_SIZE, "up %.1f Mbit/s, ", h->speed.up_mbps);
    }
    text_append(row->cells[1], TABLE_CELL_SIZE, "%s",
                h->speed.how[0] ? h->speed.how : handover_origin_name(h->speed.origin));
}

double page_level(struct page *page, double x, double y, double width)
{
    static const double room = 130.0, key_width = 44.0;
    const struct handover_level *level = &page->handover->level;
    char heading[WORDS_SIZE] = "Level";
    double top = y;

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
