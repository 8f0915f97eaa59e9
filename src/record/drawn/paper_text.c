/* Text by Pango, in DejaVu where the machine has it, else in what it has. */
#include <errno.h>
#include <string.h>

#include "base/text.h"
#include "record/drawn/paper.h"
#include "record/drawn/paper_own.h"

enum { CLEAN_SIZE = 2048 };

static const struct {
    const char *family;
    double size; /* points */
    PangoWeight weight;
} looks[STYLE_COUNT] = {
    [STYLE_TITLE] = {"DejaVu Sans, Sans", 15.0, PANGO_WEIGHT_BOLD},
    [STYLE_HEADING] = {"DejaVu Sans, Sans", 8.5, PANGO_WEIGHT_BOLD},
    [STYLE_BODY] = {"DejaVu Sans, Sans", 7.0, PANGO_WEIGHT_NORMAL},
    [STYLE_STRONG] = {"DejaVu Sans, Sans", 7.0, PANGO_WEIGHT_BOLD},
    [STYLE_SMALL] = {"DejaVu Sans, Sans", 6.2, PANGO_WEIGHT_NORMAL},
    [STYLE_SMALL_STRONG] = {"DejaVu Sans, Sans", 6.2, PANGO_WEIGHT_BOLD},
    [STYLE_FIXED] = {"DejaVu Sans Mono, Monospace", 6.5, PANGO_WEIGHT_NORMAL},
};

int paper_text_init(struct paper *paper)
{
    cairo_font_options_t *options = cairo_font_options_create();
    PangoContext *context;
    PangoAttrList *plain;

    paper->fonts = pango_cairo_font_map_new();
    pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(paper->fonts), 72.0);
    context = pango_font_map_create_context(paper->fonts);
    /* letters as they were designed, where the layout puts them: not bent to a screen's pixels */
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    pango_context_set_round_glyph_positions(context, FALSE);
    /* the machine's language must not choose the letters */
    pango_context_set_language(context, pango_language_from_string("en"));
    paper->layout = pango_layout_new(context);
    pango_layout_set_single_paragraph_mode(paper->layout, TRUE);
    pango_layout_set_wrap(paper->layout, PANGO_WRAP_WORD_CHAR);
    /* a hyphen that is not there could belong to a name */
    plain = pango_attr_list_new();
    pango_attr_list_insert(plain, pango_attr_insert_hyphens_new(FALSE));
    pango_layout_set_attributes(paper->layout, plain);
    pango_attr_list_unref(plain);
    for (int i = 0; i < STYLE_COUNT; i++) {
        paper->styles[i] = pango_font_description_new();
        pango_font_description_set_family_static(paper->styles[i], looks[i].family);
        pango_font_description_set_weight(paper->styles[i], looks[i].weight);
        pango_font_description_set_size(paper->styles[i], (int)(looks[i].size * PANGO_SCALE));
    }
    g_object_unref(context);
    cairo_font_options_destroy(options);
    return 0;
}

void paper_text_finish(struct paper *paper)
{
    for (int i = 0; i < STYLE_COUNT; i++) {
        if (paper->styles[i]) {
            pango_font_description_free(paper->styles[i]);
        }
    }
    g_clear_object(&paper->layout);
    g_clear_object(&paper->fonts);
}

/*
 * Unicode's marks that turn or isolate the direction of what follows (UAX 9: U+202A to U+202E,
 * U+2066 to U+2069), all of three bytes: a number after one would read backwards.
 */
static void stop_turning(char *text)
{
    unsigned char *from = (unsigned char *)text, *to = from;

    while (*from) {
        bool turns = from[0] == 0xe2 && ((from[1] == 0x80 && from[2] >= 0xaa && from[2] <= 0xae) ||
                                         (from[1] == 0x81 && from[2] >= 0xa6 && from[2] <= 0xa9));
        *to++ = turns ? '?' : *from;
        from += turns ? 3 : 1;
    }
    *to = '\0';
}

static void clean(char text[CLEAN_SIZE], const char *from)
{
    text_sanitize(text, CLEAN_SIZE, from, strlen(from));
    stop_turning(text);
}

static double height_of(PangoLayout *layout)
{
    int width, height;

    pango_layout_get_size(layout, &width, &height);
    return (double)height / PANGO_SCALE;
}

/* Left and right are the page's, also for text that runs the other way. */
static PangoAlignment alignment_of(enum paper_align align, PangoLayout *layout)
{
    bool turned = pango_layout_get_direction(layout, 0) == PANGO_DIRECTION_RTL;

    if (align == ALIGN_MIDDLE) {
        return PANGO_ALIGN_CENTER;
    }
    return (align == ALIGN_RIGHT) != turned ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT;
}

/* width < 0: as wide as it is */
static void set_text(struct paper *paper, enum paper_style style, enum paper_align align,
                     double width, int lines, const char *text)
{
    pango_layout_set_font_description(paper->layout, paper->styles[style]);
    pango_layout_set_width(paper->layout, width < 0.0 ? -1 : (int)(width * PANGO_SCALE));
    pango_layout_set_height(paper->layout, -lines);
    pango_layout_set_ellipsize(paper->layout,
                               width < 0.0 ? PANGO_ELLIPSIZE_NONE : PANGO_ELLIPSIZE_END);
    pango_layout_set_text(paper->layout, text, -1);
    pango_layout_set_alignment(paper->layout, alignment_of(align, paper->layout));
}

double paper_text(struct paper *paper, enum paper_style style, enum paper_pen pen,
                  enum paper_align align, double x, double y, double width, int lines,
                  const char *text)
{
    char shown[CLEAN_SIZE];

    clean(shown, text);
    if (shown[0] == '\0') {
        return 0.0;
    }
    set_text(paper, style, align, width, lines, shown);
    if (paper->rehearsing > 0) {
        return height_of(paper->layout);
    }
    paper_set_pen(paper, pen);
    cairo_move_to(paper->cairo, x, y);
    pango_cairo_update_layout(paper->cairo, paper->layout);
    pango_cairo_show_layout(paper->cairo, paper->layout);
    g_string_append(paper->words, shown);
    g_string_append_c(paper->words, '\n');
    return height_of(paper->layout);
}

double paper_text_width(struct paper *paper, enum paper_style style, const char *text)
{
    char shown[CLEAN_SIZE];
    int width, height;

    clean(shown, text);
    set_text(paper, style, ALIGN_LEFT, -1.0, 1, shown);
    pango_layout_get_size(paper->layout, &width, &height);
    return (double)width / PANGO_SCALE;
}

double paper_line_height(struct paper *paper, enum paper_style style)
{
    set_text(paper, style, ALIGN_LEFT, -1.0, 1, "Ag");
    return height_of(paper->layout);
}
