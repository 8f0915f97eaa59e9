#include "record/drawn/chart.h"

#include <math.h>
#include <stdio.h>

#include "base/ticks.h"
#include "sky/angle.h"

/* Room for the numbers at the left, points; and a tick for so many of them up and across. */
static const double numbers_width = 26.0, up_apart = 10.0, across_apart = 30.0;

enum { NUMBER_SIZE = 48 };

void chart_set(struct chart *chart, struct paper *paper, struct paper_box box, double left,
               double right, double low, double high, double least)
{
    double line = paper_line_height(paper, STYLE_SMALL);

    chart->box = (struct paper_box){box.x + numbers_width, box.y + line + 2.0,
                                    box.width - numbers_width - 4.0, box.height - 2.0 * line - 4.0};
    chart->left = left;
    chart->right = right;
    ticks_round_edges(low, high, least, (int)fmax(chart->box.height / up_apart, 2.0), &chart->low,
                      &chart->high, &chart->up_step);
    chart->compass = false;
    chart->up_title = "";
    chart_set_unit(chart, 1.0, "");
}

void chart_set_unit(struct chart *chart, double unit, const char *sign)
{
    int most = (int)fmax(chart->box.width / across_apart, 2.0);

    chart->across_unit = unit;
    chart->across_sign = sign;
    chart->across_step = unit * ticks_round_step((chart->right - chart->left) / unit, most);
}

double chart_x(const struct chart *chart, double across)
{
    return chart->box.x + (across - chart->left) / (chart->right - chart->left) * chart->box.width;
}

double chart_y(const struct chart *chart, double up)
{
    return chart->box.y + (chart->high - up) / (chart->high - chart->low) * chart->box.height;
}

static void put_up(const struct chart *chart, struct paper *paper, double line)
{
    int decimals = ticks_decimals(chart->up_step);
    long count = lround((chart->high - chart->low) / chart->up_step);
    char text[NUMBER_SIZE];

    for (long i = 0; i <= count; i++) {
        double value = chart->low + (double)i * chart->up_step, y = chart_y(chart, value);
        if (i > 0 && i < count) {
            paper_line(paper, PEN_RULE, 0.25, false, chart->box.x, y,
                       chart->box.x + chart->box.width, y);
        }
        snprintf(text, sizeof text, "%.*f", decimals, fabs(value) < 1e-9 ? 0.0 : value); /* no -0 */
        paper_text(paper, STYLE_SMALL, PEN_DARK, ALIGN_RIGHT, chart->box.x - numbers_width,
                   y - 0.5 * line, numbers_width - 3.0, 1, text);
    }
}

static void put_across(const struct chart *chart, struct paper *paper)
{
    double bottom = chart->box.y + chart->box.height, unit = chart->across_unit;
    int decimals = ticks_decimals(chart->across_step / unit);
    long first = lround(ceil(chart->left / chart->across_step - 1e-9));
    long last = lround(floor(chart->right / chart->across_step + 1e-9));
    char text[NUMBER_SIZE];

    for (long i = first; i <= last; i++) {
        double value = (double)i * chart->across_step, x = chart_x(chart, value);
        double shown = chart->compass ? angle_wrap_deg(value) : value / unit, half;
        if (x > chart->box.x + 0.5 && x < chart->box.x + chart->box.width - 0.5) {
            paper_line(paper, PEN_RULE, 0.25, false, x, chart->box.y, x, bottom);
        }
        snprintf(text, sizeof text, "%.*f%s", decimals, fabs(shown) < 1e-9 ? 0.0 : shown,
                 chart->across_sign);
        half = 0.5 * paper_text_width(paper, STYLE_SMALL, text) + 1.0;
        paper_text(paper, STYLE_SMALL, PEN_DARK, ALIGN_MIDDLE, x - half, bottom + 1.5, 2.0 * half,
                   1, text);
    }
}

void chart_put_frame(const struct chart *chart, struct paper *paper)
{
    double line = paper_line_height(paper, STYLE_SMALL);

    put_up(chart, paper, line);
    put_across(chart, paper);
    paper_text(paper, STYLE_SMALL, PEN_SOFT, ALIGN_LEFT, chart->box.x - numbers_width + 3.0,
               chart->box.y - line - 3.0, chart->box.width, 1, chart->up_title);
    paper_frame(paper, PEN_SOFT, 0.5, chart->box);
}

void chart_put_none(struct paper *paper, struct paper_box box, const char *text)
{
    double inset = 8.0, height;

    paper_frame(paper, PEN_RULE, 0.5, box);
    paper_rehearse_begin(paper);
    height = paper_text(paper, STYLE_BODY, PEN_SOFT, ALIGN_MIDDLE, 0.0, 0.0,
                        box.width - 2.0 * inset, 8, text);
    paper_rehearse_end(paper);
    paper_text(paper, STYLE_BODY, PEN_SOFT, ALIGN_MIDDLE, box.x + inset,
               box.y + 0.5 * (box.height - height), box.width - 2.0 * inset, 8, text);
}
