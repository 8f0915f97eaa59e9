/* paper_own.h - what the two halves of paper share: paper.c (lines) and paper_text.c. */
#ifndef RECORD_DRAWN_PAPER_OWN_H
#define RECORD_DRAWN_PAPER_OWN_H

#include <cairo.h>
#include <pango/pangocairo.h>

#include "record/drawn/paper.h"

enum { STYLE_COUNT = STYLE_FIXED + 1 };

struct paper {
    enum drawing_kind kind;
    FILE *file;               /* borrowed */
    cairo_surface_t *surface; /* owned, as all below */
    cairo_t *cairo;
    PangoFontMap *fonts;
    PangoLayout *layout;
    PangoFontDescription *styles[STYLE_COUNT];
    GString *words;   /* all text of the page, a line a text: what an SVG is described with */
    GString *picture; /* SVG: the document as the library gives it */
    char title[256];
    int pages;
    int rehearsing; /* > 0: nothing is drawn */
    int error;      /* -errno of the file; 0 = none */
};

void paper_set_pen(struct paper *paper, enum paper_pen pen);

/* Make ready what text needs, and give it back. 0; -ENOMEM. */
int paper_text_init(struct paper *paper);
void paper_text_finish(struct paper *paper);

#endif
