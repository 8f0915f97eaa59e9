/* module.c - the drawing as a module: records in, pages out. */
#include <errno.h>
#include <stdlib.h>

#include "base/tongue.h"
#include "record/drawing.h"
#include "record/drawn/page.h"
#include "record/drawn/paper.h"

struct drawing {
    enum drawing_kind kind;
    struct paper *paper; /* owned */
    int pages;
    struct page page;
};

static int start(struct drawing **ret, enum drawing_kind kind, FILE *file, const char *maker)
{
    struct drawing *drawing = calloc(1, sizeof *drawing);
    int r;

    if (!drawing) {
        return -ENOMEM;
    }
    drawing->kind = kind;
    r = paper_open(&drawing->paper, kind, file, _("Pointing record"), maker);
    if (r < 0) {
        free(drawing);
        return r;
    }
    *ret = drawing;
    return 0;
}

static int add(struct drawing *drawing, const struct handover *handover)
{
    if (drawing->kind == DRAWING_SVG && drawing->pages > 0) {
        return -EMLINK;
    }
    drawing->pages++;
    page_put(&drawing->page, drawing->paper, handover);
    return 0;
}

static int finish(struct drawing *drawing)
{
    int r;

    if (!drawing) {
        return 0;
    }
    r = paper_close(drawing->paper);
    free(drawing);
    return r;
}

extern const struct drawing_ops peakward_drawing;
const struct drawing_ops peakward_drawing = {start, add, finish};
