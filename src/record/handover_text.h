/* handover_text.h - the handover as a page of plain text, 79 columns, UTF-8. */
#ifndef RECORD_HANDOVER_TEXT_H
#define RECORD_HANDOVER_TEXT_H

#include <stdio.h>

#include "record/handover.h"

/* Write it. 0, or -errno when the file can't be written. */
int handover_text(const struct handover *handover, FILE *file);

/* Its two halves: the antenna and its signal, then the work that was done. */
void handover_text_antenna(const struct handover *handover, FILE *file);
void handover_text_work(const struct handover *handover, FILE *file);

#endif
