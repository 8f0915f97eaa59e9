/* report_face.h - the kinds of record that can be handed over: one row each. */
#ifndef COMMAND_REPORT_FACE_H
#define COMMAND_REPORT_FACE_H

#include <stdbool.h>
#include <stdio.h>

#include "record/drawing.h"
#include "record/handover.h"

struct report_face {
    const char *name;   /* "text" */
    const char *ending; /* ".txt" */
    bool is_text;       /* for people: folded to ASCII where the locale has no more */
    /* 0 or -errno; NULL = pages of that kind, drawn by a module (record/drawing.h) */
    int (*write)(const struct handover *handover, FILE *file);
    int (*write_next)(const struct handover *handover, FILE *file); /* of another log behind it */
    enum drawing_kind drawing;
    bool takes_many; /* logs, one behind the other */
    bool sums_up;    /* of several logs a summary (record/fleet.h) */
};

/* The face of a name; it is one of them. */
const struct report_face *report_face_of(const char *name);

/* The face that a file's name asks for, or NULL. */
const struct report_face *report_face_by_ending(const char *path);

/* ".txt .json .csv" for a sentence. */
void report_face_endings(char *text, size_t size);

#endif
