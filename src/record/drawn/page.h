/* page.h - one record as one page: its parts, each in a file of its own. */
#ifndef RECORD_DRAWN_PAGE_H
#define RECORD_DRAWN_PAGE_H

#include "record/drawn/paper.h"
#include "record/drawn/table.h"
#include "record/handover.h"

struct page {
    struct paper *paper;               /* borrowed */
    const struct handover *handover;   /* borrowed */
    struct table_row rows[TABLE_ROWS]; /* room for the part at hand */
    int row_count, lost;
};

/* A whole record: one page, or two where a long procedure leaves no room for the pictures. */
void page_put(struct page *page, struct paper *paper, const struct handover *handover);

/* "Pointing record", or what it is a record of else. */
const char *page_title(const struct handover *handover);

/* The name of a page: the site's, else the target's. */
const char *page_name(const struct handover *handover);

/*
 * The parts. Those that return a height take what they need; the judgement does with what is wished
 * when smaller letters are enough for that, and with the room that there is in any case. Those with
 * a box stay inside, and say what they had no room for.
 */
double page_head(struct page *page, double x, double y, double width);
double page_judgement(struct page *page, double x, double y, double width, double wish,
                      double room);
double page_angles(struct page *page, double x, double y, double width);
double page_level(struct page *page, double x, double y, double width);
void page_lobes(struct page *page, struct paper_box box);
void page_trend(struct page *page, struct paper_box box);
double page_work(struct page *page, struct paper_box box);
double page_proof(struct page *page, double x, double y, double width);

/* Pictures that show more than why there are none. */
bool page_has_lobes(const struct handover *handover);
bool page_has_trend(const struct handover *handover);

/* A row of the list at hand; the newest is counted as lost when there is no room. */
struct table_row *page_add_row(struct page *page, enum paper_pen pen, const char *key);

#endif
