/* The picture of the sky as a drawing. SVG 1.1, W3C recommendation of 2011. */
#include "command/plan_picture.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "sky/angle.h"
#include "sky/utc.h"

/* A landscape page's width in drawing units, with room for the numbers around the sky. */
static const double width = 800.0, height = 420.0, left = 50.0, top_edge = 40.0, bottom = 380.0,
                    right_edge = 780.0;

static double x_of(double right_deg)
{
    return left + (right_deg / plan_picture_half_deg + 1.0) * 0.5 * (right_edge - left);
}

static double y_of(const struct plan_picture *picture, double up_deg)
{
    return bottom - up_deg / picture->top_deg * (bottom - top_edge);
}

/* Text from a job: what SVG reads as its own is spelt out. */
static void put_text(FILE *file, double x, double y, const char *anchor, const char *text)
{
    fprintf(file, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">", x, y, anchor);
    for (; *text; text++) {
        switch (*text) {
        case '&':
            fputs("&amp;", file);
            break;
        case '<':
            fputs("&lt;", file);
            break;
        case '>':
            fputs("&gt;", file);
            break;
        default:
            putc(*text, file);
        }
    }
    fputs("</text>\n", file);
}

static void put_scales(const struct plan_picture *p, FILE *file)
{
    char text[16];

    fputs("<g font-size=\"11\" stroke-width=\"0.5\" stroke=\"none\">\n", file);
    for (double up = 0.0; up <= p->top_deg; up += 10.0) {
        fprintf(file, "<path d=\"M%.1f %.1fH%.1f\" stroke=\"#bbb\" fill=\"none\"/>\n", left,
                y_of(p, up), right_edge);
        snprintf(text, sizeof text, "%.0f\u00b0", up);
        put_text(file, left - 6.0, y_of(p, up) + 4.0, "end", text);
    }
    for (double azimuth = 10.0 * ceil((p->middle_deg - plan_picture_half_deg) / 10.0);
         azimuth <= p->middle_deg + plan_picture_half_deg; azimuth += 10.0) {
        double x = x_of(azimuth - p->middle_deg);
        fprintf(file, "<path d=\"M%.1f %.1fV%.1f\" stroke=\"#bbb\" fill=\"none\"/>\n", x, top_edge,
                bottom);
        snprintf(text, sizeof text, "%.0f\u00b0", angle_wrap_deg(azimuth));
        put_text(file, x, bottom + 16.0, "middle", text);
    }
    fputs("</g>\n", file);
}

/* A line through points, broken where it leaves the sides or jumps from one to the other. */
static void put_way(const struct plan_picture *p, FILE *file,
                    const struct plan_picture_point *points, size_t n, const char *style)
{
    bool drawing = false;

    fprintf(file, "<path %s fill=\"none\" d=\"", style);
    for (size_t i = 0; i < n; i++) {
        bool inside = fabs(points[i].right_deg) <= 1.5 * plan_picture_half_deg;
        if (inside) {
            fprintf(file, "%c%.1f %.1f", drawing ? 'L' : 'M', x_of(points[i].right_deg),
                    y_of(p, points[i].up_deg));
        }
        drawing = inside;
    }
    fputs("\"/>\n", file);
}

/* Filled from the horizon up, a strip a quarter of a degree wide each, where it is known. */
static void put_skyline(const struct plan_picture *p, FILE *file)
{
    static const double step = 0.25;

    fputs("<path fill=\"#777\" stroke=\"none\" d=\"", file);
    for (double right = -plan_picture_half_deg; right < plan_picture_half_deg; right += step) {
        double high = plan_picture_skyline_deg(p, right + 0.5 * step);
        if (high > 0.0) {
            fprintf(file, "M%.2f %.1fV%.1fH%.2fV%.1fZ", x_of(right), bottom, y_of(p, high),
                    x_of(right + step), bottom);
        }
    }
    fputs("\"/>\n", file);
}

static bool is_inside(const struct plan_picture *p, const struct plan_picture_point *at)
{
    return fabs(at->right_deg) <= plan_picture_half_deg && at->up_deg >= 0.0 &&
           at->up_deg <= p->top_deg;
}

static void put_hours(const struct plan_picture *p, FILE *file)
{
    for (size_t i = 0; i < p->sun_count; i++) {
        struct utc_date date;
        char text[16];
        if (utc_split(p->sun_s + 600.0 * (double)i, &date) < 0 || date.minute != 0 ||
            !is_inside(p, &p->sun[i])) {
            continue;
        }
        fprintf(file, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"2.5\" fill=\"#c60\"/>\n",
                x_of(p->sun[i].right_deg), y_of(p, p->sun[i].up_deg));
        snprintf(text, sizeof text, "%02d h", date.hour);
        put_text(file, x_of(p->sun[i].right_deg), y_of(p, p->sun[i].up_deg) + 16.0, "middle", text);
    }
}

static void put_mark(const struct plan_picture *p, FILE *file, const struct plan_picture_mark *mark,
                     bool target, double lift)
{
    double x = x_of(mark->at.right_deg), y = y_of(p, mark->at.up_deg);

    if (!is_inside(p, &mark->at)) {
        return;
    }
    if (target) {
        fprintf(file, "<path d=\"M%.1f %.1fh16m-8 -8v16\" stroke=\"#000\" stroke-width=\"2\"/>\n",
                x - 8.0, y);
    }
    fprintf(file, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%d\" fill=\"#fff\" stroke=\"#000\"/>\n", x,
            y, target ? 5 : 4);
    put_text(file, x, y - lift, "middle", mark->name);
}

static void put_title(const struct plan_picture *p, FILE *file)
{
    char text[2 * JOB_NAME_SIZE + 80], name[2 * JOB_NAME_SIZE + 2], day[UTC_TEXT_SIZE];

    utc_format(p->sun_s + 0.5 * UTC_DAY_S, -2, day);
    snprintf(name, sizeof name, "%s%s%s", p->job->site.name, p->job->site.name[0] ? ": " : "",
             p->target.name);
    if (p->sun_count > 0) {
        snprintf(text, sizeof text, _("%s, the sun on %s"), name, day);
    } else {
        text_copy(text, sizeof text, name);
    }
    fputs("<g font-size=\"15\" font-weight=\"bold\">\n", file);
    put_text(file, left, 24.0, "start", text);
    fputs("</g>\n", file);
}

void plan_picture_svg(const struct plan_picture *p, FILE *file)
{
    fprintf(file,
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
            "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"%gmm\" "
            "height=\"%gmm\" viewBox=\"0 0 %g %g\" font-family=\"sans-serif\" font-size=\"11\">\n"
            "<rect width=\"%g\" height=\"%g\" fill=\"#fff\"/>\n"
            "<clipPath id=\"sky\"><path d=\"M%g %gH%gV%gH%gZ\"/></clipPath>\n",
            width / 3.0, height / 3.0, width, height, width, height, left, top_edge, right_edge,
            bottom, left);
    put_scales(p, file);
    fputs("<g clip-path=\"url(#sky)\">\n", file);
    put_way(p, file, p->sun, p->sun_count, "stroke=\"#c60\" stroke-dasharray=\"6 3\"");
    put_way(p, file, p->arc, PLAN_PICTURE_ARC, "stroke=\"#06c\"");
    put_skyline(p, file);
    fputs("</g>\n", file);
    put_hours(p, file);
    for (size_t i = 0; i < p->neighbour_count; i++) {
        put_mark(p, file, &p->neighbours[i], false, i % 2 ? 22.0 : 10.0);
    }
    put_mark(p, file, &p->target, true, 34.0);
    put_title(p, file);
    put_text(file, right_edge, height - 6.0, "end",
             _("Azimuth true, elevation with the air's bending. Never look into the sun."));
    fputs("</svg>\n", file);
}
