#include "record/drawn/table.h"

#include <math.h>
#include <stdio.h>

#include "base/tongue.h"
const double table_gap = 5.0;

enum { LIST_LINES = 4 };

double table_heading(struct paper *paper, double x, double y, double width, const char *text)
{
    double height = paper_text(paper, STYLE_HEADING, PEN_ACCENT, ALIGN_LEFT, x, y, width, 1, text);

    paper_line(paper, PEN_RULE, 0.6, false, x, y + height + 0.5, x + width, y + height + 0.5);
    return height + 3.0;
}

double table_put_row(struct paper *paper, enum paper_style style, enum paper_pen pen, double x,
                     double y, const struct table_column *columns, int n, const char *const *cells,
                     int lines)
{
    double tallest = 0.0;

    for (int i = 0; i < n; i++) {
        if (cells[i]) {
            tallest = fmax(tallest, paper_text(paper, style, pen, columns[i].align, x, y,
                                               columns[i].width, lines, cells[i]));
        }
        x += columns[i].width + table_gap;
    }
    return tallest;
}

static double put_list_row(struct paper *paper, enum paper_style style, struct paper_box box,
                           double first_width, const struct table_row *row)
{
    const struct table_column columns[] = {{first_width, ALIGN_LEFT},
                                           {box.width - first_width - table_gap, ALIGN_LEFT}};
    const char *cells[] = {row->cells[0], row->cells[1]};

    if (first_width <= 0.0) {
        return paper_text(paper, style, row->pen, ALIGN_LEFT, box.x, box.y, box.width, LIST_LINES,
                          row->cells[1]);
    }
    return table_put_row(paper, style, row->pen, box.x, box.y, columns, 2, cells, LIST_LINES);
}

double table_list(struct paper *paper, enum paper_style style, struct paper_box box,
                  double first_width, const struct table_row *rows, int n, int lost)
{
    double line = paper_line_height(paper, style), bottom = box.y + box.height, top = box.y;
    char more[64];

    for (int i = 0; i < n; i++) {
        bool last = i + 1 == n && lost == 0;
        struct paper_box ahead = box;
        double height;
        paper_rehearse_begin(paper);
        height = put_list_row(paper, style, ahead, first_width, &rows[i]);
        paper_rehearse_end(paper);
        if (box.y + height + (last ? 0.0 : line) > bottom + 0.01) {
            lost += n - i;
            break;
        }
        put_list_row(paper, style, box, first_width, &rows[i]);
        box.y += height + 1.0;
    }
    if (lost > 0) {
        snprintf(more, sizeof more, _("and %d more, see the log"), lost);
        box.y += paper_text(paper, style, PEN_DARK, ALIGN_LEFT, box.x, box.y, box.width, 1, more);
    }
    return box.y - top;
}
