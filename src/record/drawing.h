/*
 * drawing.h - the record as drawn pages. What draws is a module of its own, loaded when it is
 * needed: its libraries would cost every screen some megabytes of memory.
 */
#ifndef RECORD_DRAWING_H
#define RECORD_DRAWING_H

#include <stdio.h>

struct handover;

enum drawing_kind { DRAWING_PDF, DRAWING_SVG };

enum { DRAWING_WHY_SIZE = 512 };

struct drawing; /* a document that is being drawn */

/* What the module gives; its symbol is DRAWING_SYMBOL. */
struct drawing_ops {
    /*
     *   file     borrowed; written to until finish()
     *   maker    who writes it, with the version
     *   returns  0; -ENOMEM
     */
    int (*start)(struct drawing **ret, enum drawing_kind kind, FILE *file, const char *maker);

    /* One page more. 0; -EMLINK when the kind has room for one page only. */
    int (*add)(struct drawing *drawing, const struct handover *handover);

    /* Write the rest and free; NULL is allowed. 0; -ENOMEM; -EIO or the file's own error. */
    int (*finish)(struct drawing *drawing);
};

#define DRAWING_SYMBOL "peakward_drawing"

/* The module; NULL and why = a phrase with what to do when there is none. */
const struct drawing_ops *drawing_load(char why[DRAWING_WHY_SIZE]);

#endif
