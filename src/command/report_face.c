#include "command/report_face.h"

#include <string.h>
#include <strings.h>

#include "base/text.h"
#include "record/handover_csv.h"
#include "record/handover_json.h"
#include "record/handover_text.h"

static const struct report_face faces[] = {
    {.name = "text",
     .ending = ".txt",
     .is_text = true,
     .write = handover_text,
     .takes_many = true,
     .sums_up = true},
    {.name = "json",
     .ending = ".json",
     .write = handover_json,
     .write_next = handover_json,
     .takes_many = true},
    {.name = "csv",
     .ending = ".csv",
     .write = handover_csv,
     .write_next = handover_csv_row,
     .takes_many = true},
    {.name = "pdf", .ending = ".pdf", .drawing = DRAWING_PDF, .takes_many = true},
    {.name = "svg", .ending = ".svg", .drawing = DRAWING_SVG},
};

enum { FACES = sizeof faces / sizeof *faces };

const struct report_face *report_face_of(const char *name)
{
    size_t i = 0;

    while (i + 1 < FACES && strcmp(faces[i].name, name) != 0) {
        i++;
    }
    return &faces[i];
}

const struct report_face *report_face_by_ending(const char *path)
{
    size_t n = strlen(path);

    for (size_t i = 0; i < FACES; i++) {
        size_t length = strlen(faces[i].ending);
        if (n > length && strcasecmp(path + n - length, faces[i].ending) == 0) {
            return &faces[i];
        }
    }
    return NULL;
}

void report_face_endings(char *text, size_t size)
{
    text[0] = '\0';
    for (size_t i = 0; i < FACES; i++) {
        text_append(text, size, "%s%s", i > 0 ? " " : "", faces[i].ending);
    }
}
