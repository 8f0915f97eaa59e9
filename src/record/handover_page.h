/* handover_page.h - how the text face writes: heads, and rows of a label and words that wrap. */
#ifndef RECORD_HANDOVER_PAGE_H
#define RECORD_HANDOVER_PAGE_H

#include <stdio.h>

enum { HANDOVER_PAGE_WIDTH = 79, HANDOVER_PAGE_LABEL = 20 };

/* A blank line, and a head with a line under it. */
void handover_page_head(FILE *file, const char *head);

/* "  label             words", what does not fit goes on beneath the words. */
void handover_page_row(FILE *file, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A text in so many columns, filled up with blanks. */
void handover_page_pad(FILE *file, const char *text, int columns);

/* The same with the blanks before it. */
void handover_page_right(FILE *file, const char *text, int columns);

/* "12.35", "-0.20", never "-0.00"; "not measured" when it is not finite. */
const char *handover_page_number(double value, int decimals, char ret[32]);

/* Rounded to decimals, never -0. */
double handover_page_round(double value, int decimals);

/* "2:05" or "1:02:05" into the session; "-" when it is not known. */
const char *handover_page_clock(double t, char ret[32]);

#endif
