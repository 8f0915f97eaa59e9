/*
 * page_judgement.c - line by line: what was demanded, what there is, whether that will do, and when
 * the step ended. The numbers are the steps', as under the trend.
 */
#include <math.h>
#include <stdio.h>

#include "base/tongue.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"

enum { COLUMNS = 7 };

static const double shape_width = 9.0;

static void set_columns(struct table_column columns[COLUMNS], double width)
{
    static const struct table_column fixed[COLUMNS] = {
        {9.0, ALIGN_LEFT}, {56.0, ALIGN_LEFT}, {10.0, ALIGN_RIGHT}, {92.0, ALIGN_LEFT},
        {0.0, ALIGN_LEFT}, {0.0, ALIGN_LEFT},  {32.0, ALIGN_RIGHT},
    };
    double rest = width - (COLUMNS - 1) * table_gap;

    for (int i = 0; i < COLUMNS; i++) {
        columns[i] = fixed[i];
        rest -= fixed[i].width;
    }
    columns[4].width = 0.4 * rest;
    columns[5].width = 0.6 * rest;
}

/* How a table's rows are written. */
struct table_look {
    enum paper_style style, strong;
    int lines; /* most a cell may take */
};

static double put_check(struct page *page, const struct table_look *look,
                        const struct table_column columns[COLUMNS],
                        const struct handover_check *check, double x, double y)
{
    static const struct {
        enum paper_shape shape;
        enum paper_pen pen;
    } looks[] = {
        [HANDOVER_MET] = {SHAPE_TICK, PEN_DARK},
        [HANDOVER_NOT_MET] = {SHAPE_CROSS, PEN_ALARM},
        [HANDOVER_NOT_MEASURED] = {SHAPE_DASH, PEN_SOFT},
    };
    const struct handover *h = page->handover;
    const struct handover_step *step = check->step >= 0 ? &h->steps[check->step] : NULL;
    double line = paper_line_height(page->paper, look->style), size = 0.7 * line;
    char number[WORDS_SIZE] = "", when[WORDS_SIZE] = "";
    const char *cells[COLUMNS] = {NULL,         NULL,         number, _(check->what),
                                  check->limit, check->found, when};
    bool bad = check->verdict == HANDOVER_NOT_MET;

    if (step) {
        snprintf(number, sizeof number, "%d", check->step + 1);
        words_time(when, h, step->ended_t);
    }
    paper_shape(page->paper, looks[check->verdict].shape, x, y + 0.5 * (line - size), size);
    paper_text(page->paper, bad ? look->strong : look->style, looks[check->verdict].pen, ALIGN_LEFT,
               x + shape_width + table_gap, y, columns[1].width, 1,
               _(handover_verdict_name(check->verdict)));
    return table_put_row(page->paper, look->style, bad ? PEN_DARK : looks[check->verdict].pen, x, y,
                         columns, COLUMNS, cells, look->lines);
}

static double put_checks(struct page *page, const struct table_look *look, double x, double y,
                         double width)
{
    const struct handover *h = page->handover;
    const char *heads[COLUMNS] = {"",
                                  "",
                                  "",
                                  _("what"),
                                  _("asked for"),
                                  _("found"),
                                  isfinite(h->begun_utc_s) ? _("at UTC") : _("at")};
    struct table_column columns[COLUMNS];
    double top = y;

    set_columns(columns, width);
    y += table_put_row(page->paper, STYLE_SMALL, PEN_SOFT, x, y, columns, COLUMNS, heads, 1) + 0.5;
    for (int i = 0; i < h->check_count; i++) {
        paper_line(page->paper, PEN_RULE, 0.25, false, x, y, x + width, y);
        y += put_check(page, look, columns, &h->checks[i], x, y) + 0.6;
    }
    return y - top;
}

double page_judgement(struct page *page, double x, double y, double width, double wish, double room)
{
    /* every line is kept: smaller for the sake of the rest of the page, shorter only for its own */
    static const struct table_look looks[] = {{STYLE_BODY, STYLE_STRONG, 3},
                                              {STYLE_SMALL, STYLE_SMALL_STRONG, 3},
                                              {STYLE_SMALL, STYLE_SMALL_STRONG, 2},
                                              {STYLE_SMALL, STYLE_SMALL_STRONG, 1}};
    enum { LAST_LOOK = sizeof looks / sizeof *looks - 1 };
    double heading = table_heading(page->paper, x, y, width, _("Judgement"));
    int i = 0;

    y += heading;
    if (page->handover->check_count == 0) {
        return heading + paper_text(page->paper, STYLE_BODY, PEN_SOFT, ALIGN_LEFT, x, y, width, 1,
                                    _("The procedure demands nothing that could be judged."));
    }
    paper_rehearse_begin(page->paper);
    while (i < LAST_LOOK &&
           heading + put_checks(page, &looks[i], x, y, width) > (i == 0 ? wish : room)) {
        i++;
    }
    paper_rehearse_end(page->paper);
    return heading + put_checks(page, &looks[i], x, y, width);
}
