/* PDF 1.5 and SVG 1.1 by Cairo; its manual: cairographics.org/manual. */
#include "record/drawn/paper.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "record/drawn/paper_own.h"

static const double reading_size = 1.5, pointer_size = 4.0, dashes[] = {4.0, 3.0};

void paper_set_pen(struct paper *paper, enum paper_pen pen)
{
    static const double inks[][3] = {
        [PEN_DARK] = {0.0, 0.0, 0.0},    [PEN_SOFT] = {0.35, 0.35, 0.35},
        [PEN_RULE] = {0.72, 0.72, 0.72}, [PEN_ACCENT] = {0.0, 0.2, 0.55},
        [PEN_ALARM] = {0.6, 0.0, 0.0},
    };

    cairo_set_source_rgb(paper->cairo, inks[pen][0], inks[pen][1], inks[pen][2]);
}

/* An error is kept for the end: told of one, Cairo 1.16 trips over what it has not written. */
static cairo_status_t write_out(void *closure, const unsigned char *data, unsigned length)
{
    struct paper *paper = closure;

    if (paper->kind == DRAWING_SVG) {
        g_string_append_len(paper->picture, (const char *)data, length);
    } else if (paper->error == 0 && fwrite(data, 1, length, paper->file) != length) {
        paper->error = errno ? -errno : -EIO;
    }
    return CAIRO_STATUS_SUCCESS;
}

static void start_pdf(struct paper *paper, const char *maker)
{
    paper->surface =
        cairo_pdf_surface_create_for_stream(write_out, paper, PAPER_WIDTH, PAPER_HEIGHT);
    cairo_pdf_surface_set_metadata(paper->surface, CAIRO_PDF_METADATA_TITLE, paper->title);
    cairo_pdf_surface_set_metadata(paper->surface, CAIRO_PDF_METADATA_CREATOR, maker);
    /* empty = none: the time of writing says nothing of the job, and would make each file another
     */
    cairo_pdf_surface_set_metadata(paper->surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
}

/* How many pages there will be is not known yet: they are kept, and written at the end. */
static void start_svg(struct paper *paper)
{
    paper->surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, NULL);
}

static void destroy(struct paper *paper)
{
    paper_text_finish(paper);
    if (paper->cairo) {
        cairo_destroy(paper->cairo);
    }
    if (paper->surface) {
        cairo_surface_destroy(paper->surface);
    }
    g_string_free(paper->words, TRUE);
    g_string_free(paper->picture, TRUE);
    free(paper);
}

int paper_open(struct paper **ret, enum drawing_kind kind, FILE *file, const char *title,
               const char *maker)
{
    struct paper *paper = calloc(1, sizeof *paper);

    if (!paper) {
        return -ENOMEM;
    }
    paper->kind = kind;
    paper->file = file;
    paper->words = g_string_new(NULL);
    paper->picture = g_string_new(NULL);
    text_sanitize(paper->title, sizeof paper->title, title, strlen(title));
    if (kind == DRAWING_PDF) {
        start_pdf(paper, maker);
    } else {
        start_svg(paper);
    }
    paper->cairo = cairo_create(paper->surface);
    if (cairo_status(paper->cairo) != CAIRO_STATUS_SUCCESS || paper_text_init(paper) < 0) {
        destroy(paper);
        return -ENOMEM;
    }
    cairo_set_line_join(paper->cairo, CAIRO_LINE_JOIN_ROUND);
    *ret = paper;
    return 0;
}

void paper_start_page(struct paper *paper, const char *name)
{
    char clean[256], link[32] = "";

    paper->pages++;
    if (paper->kind == DRAWING_PDF) {
        text_sanitize(clean, sizeof clean, name, strlen(name));
        text_append(link, sizeof link, "page=%d", paper->pages);
        cairo_pdf_surface_add_outline(paper->surface, CAIRO_PDF_OUTLINE_ROOT, clean, link,
                                      CAIRO_PDF_OUTLINE_FLAG_OPEN);
    } else {
        /* what shows an SVG may stand on any colour */
        paper_fill(paper, 1.0, (struct paper_box){0.0, 0.0, PAPER_WIDTH, PAPER_HEIGHT});
    }
}

void paper_end_page(struct paper *paper)
{
    if (paper->kind == DRAWING_PDF) {
        cairo_show_page(paper->cairo);
    } else {
        cairo_translate(paper->cairo, 0.0, PAPER_HEIGHT);
    }
}

/* The kept pages as one picture, the later ones under the first. */
static cairo_status_t make_picture(struct paper *paper)
{
    cairo_surface_t *svg = cairo_svg_surface_create_for_stream(write_out, paper, PAPER_WIDTH,
                                                               PAPER_HEIGHT * paper->pages);
    cairo_t *cairo = cairo_create(svg);
    cairo_status_t status;

    cairo_svg_surface_set_document_unit(svg, CAIRO_SVG_UNIT_PT);
    cairo_set_source_surface(cairo, paper->surface, 0.0, 0.0);
    cairo_paint(cairo);
    status = cairo_status(cairo);
    cairo_destroy(cairo);
    cairo_surface_finish(svg);
    status = status == CAIRO_STATUS_SUCCESS ? cairo_surface_status(svg) : status;
    cairo_surface_destroy(svg);
    return status;
}

/* The picture with its title and its words put in behind the opening <svg ...>. */
static int write_svg(struct paper *paper)
{
    const char *picture = paper->picture->str, *tag = strstr(picture, "<svg");
    const char *inside = tag ? strchr(tag, '>') : NULL;
    char *title = g_markup_escape_text(paper->title, -1);
    char *words = g_markup_escape_text(paper->words->str, -1);
    int r = 0;

    if (!inside ||
        fprintf(paper->file, "%.*s\n<title>%s</title>\n<desc>%s</desc>",
                (int)(inside + 1 - picture), picture, title, words) < 0 ||
        fputs(inside + 1, paper->file) == EOF) {
        r = errno ? -errno : -EIO;
    }
    g_free(title);
    g_free(words);
    return r;
}

static int error_of(cairo_status_t status)
{
    return status == CAIRO_STATUS_SUCCESS ? 0 : status == CAIRO_STATUS_NO_MEMORY ? -ENOMEM : -EIO;
}

int paper_close(struct paper *paper)
{
    int r;

    if (!paper) {
        return 0;
    }
    r = error_of(cairo_status(paper->cairo));
    if (paper->kind == DRAWING_SVG && r == 0) {
        r = error_of(make_picture(paper));
    }
    cairo_surface_finish(paper->surface);
    r = r == 0 ? error_of(cairo_surface_status(paper->surface)) : r;
    if (paper->kind == DRAWING_SVG && r == 0) {
        r = write_svg(paper);
    }
    if (r == 0 && (fflush(paper->file) == EOF || ferror(paper->file))) {
        r = errno ? -errno : -EIO;
    }
    r = paper->error < 0 ? paper->error : r;
    destroy(paper);
    return r;
}

void paper_rehearse_begin(struct paper *paper)
{
    paper->rehearsing++;
}

void paper_rehearse_end(struct paper *paper)
{
    paper->rehearsing--;
}

static void stroke(struct paper *paper, enum paper_pen pen, double width)
{
    if (paper->rehearsing > 0) {
        cairo_new_path(paper->cairo);
        return;
    }
    paper_set_pen(paper, pen);
    cairo_set_line_width(paper->cairo, width);
    cairo_stroke(paper->cairo);
}

void paper_line(struct paper *paper, enum paper_pen pen, double width, bool dashed, double x0,
                double y0, double x1, double y1)
{
    cairo_set_dash(paper->cairo, dashes, dashed ? 2 : 0, 0.0);
    cairo_move_to(paper->cairo, x0, y0);
    cairo_line_to(paper->cairo, x1, y1);
    stroke(paper, pen, width);
    cairo_set_dash(paper->cairo, NULL, 0, 0.0);
}

void paper_frame(struct paper *paper, enum paper_pen pen, double width, struct paper_box box)
{
    cairo_rectangle(paper->cairo, box.x, box.y, box.width, box.height);
    stroke(paper, pen, width);
}

void paper_fill(struct paper *paper, double grey, struct paper_box box)
{
    if (paper->rehearsing == 0) {
        cairo_rectangle(paper->cairo, box.x, box.y, box.width, box.height);
        cairo_set_source_rgb(paper->cairo, grey, grey, grey);
        cairo_fill(paper->cairo);
    }
}

void paper_curve(struct paper *paper, enum paper_pen pen, double width, bool dashed,
                 struct paper_box box, const struct paper_point *points, size_t n)
{
    bool drawing = false;

    cairo_save(paper->cairo);
    cairo_rectangle(paper->cairo, box.x, box.y, box.width, box.height);
    cairo_clip(paper->cairo);
    cairo_set_dash(paper->cairo, dashes, dashed ? 2 : 0, 0.0);
    for (size_t i = 0; i < n; i++) {
        /* far outside is as good as just outside, and no number that a viewer trips over */
        double y = fmin(fmax(points[i].y, box.y - box.height), box.y + 2.0 * box.height);
        if (isnan(points[i].y) || !isfinite(points[i].x)) {
            drawing = false;
            continue;
        }
        if (drawing) {
            cairo_line_to(paper->cairo, points[i].x, y);
        } else {
            cairo_move_to(paper->cairo, points[i].x, y);
        }
        drawing = true;
    }
    stroke(paper, pen, width);
    cairo_restore(paper->cairo);
}

void paper_reading(struct paper *paper, enum paper_pen pen, double x, double y, int way)
{
    double r = reading_size;

    if (way == 0) {
        cairo_new_sub_path(paper->cairo);
        cairo_arc(paper->cairo, x, y, r, 0.0, 2.0 * M_PI);
    } else {
        double tip = way > 0 ? 1.3 * r : -1.3 * r;
        cairo_move_to(paper->cairo, x + tip, y);
        cairo_line_to(paper->cairo, x - 0.7 * tip, y - r);
        cairo_line_to(paper->cairo, x - 0.7 * tip, y + r);
        cairo_close_path(paper->cairo);
    }
    stroke(paper, pen, 0.45);
}

void paper_pointer(struct paper *paper, enum paper_pen pen, double x, double y)
{
    cairo_move_to(paper->cairo, x, y);
    cairo_line_to(paper->cairo, x - 0.6 * pointer_size, y - pointer_size);
    cairo_line_to(paper->cairo, x + 0.6 * pointer_size, y - pointer_size);
    cairo_close_path(paper->cairo);
    if (paper->rehearsing == 0) {
        paper_set_pen(paper, pen);
        cairo_fill(paper->cairo);
    }
    cairo_new_path(paper->cairo);
}

void paper_shape(struct paper *paper, enum paper_shape shape, double x, double y, double size)
{
    static const struct {
        enum paper_pen pen;
        double points[4][2]; /* pairs of ends; the same twice = no line */
    } shapes[] = {
        [SHAPE_TICK] = {PEN_DARK, {{0.1, 0.55}, {0.4, 0.85}, {0.4, 0.85}, {0.95, 0.1}}},
        [SHAPE_CROSS] = {PEN_ALARM, {{0.12, 0.12}, {0.88, 0.88}, {0.88, 0.12}, {0.12, 0.88}}},
        [SHAPE_DASH] = {PEN_SOFT, {{0.1, 0.5}, {0.9, 0.5}, {0.9, 0.5}, {0.9, 0.5}}},
    };

    cairo_set_line_cap(paper->cairo, CAIRO_LINE_CAP_ROUND);
    for (int i = 0; i < 4; i += 2) {
        cairo_move_to(paper->cairo, x + size * shapes[shape].points[i][0],
                      y + size * shapes[shape].points[i][1]);
        cairo_line_to(paper->cairo, x + size * shapes[shape].points[i + 1][0],
                      y + size * shapes[shape].points[i + 1][1]);
    }
    stroke(paper, shapes[shape].pen, shape == SHAPE_CROSS ? 0.26 * size : 0.16 * size);
    cairo_set_line_cap(paper->cairo, CAIRO_LINE_CAP_BUTT);
}
