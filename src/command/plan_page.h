/* plan_page.h - how the pointing sheet's parts write: rows for 80 columns, and JSON keys. Pure. */
#ifndef COMMAND_PLAN_PAGE_H
#define COMMAND_PLAN_PAGE_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

enum { PLAN_PAGE_WIDTH = 80 };

/* A text that grows; what does not fit is cut. */
struct plan_page {
    char *text;
    size_t size;
};

/* "\nBeam\n": a part's head. */
void plan_page_head(const struct plan_page *page, const char *head);

/* "  slant range       38165 km  remark"; a remark is formatted, "" = none. */
void plan_page_row(const struct plan_page *page, const char *what, const char *value,
                   const char *unit, const char *remark, ...) __attribute__((format(printf, 5, 6)));

/* The same of a number with decimals, never "-0.00". */
void plan_page_number(const struct plan_page *page, const char *what, double value, int decimals,
                      const char *unit, const char *remark, ...)
    __attribute__((format(printf, 6, 7)));

/* Words, two blanks in, broken at blanks where the line ends. */
void plan_page_words(const struct plan_page *page, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* "  site        ": two blanks and a label in 12 columns. */
void plan_page_label(const struct plan_page *page, const char *label);

/* The same in the 18 columns of a row. */
void plan_page_wide_label(const struct plan_page *page, const char *label);

/* A text at the right of so many columns. */
void plan_page_cell(const struct plan_page *page, int columns, const char *text);

/* Rounded to decimals, never -0. */
double plan_page_round(double value, int decimals);

/* "22.40 E"; letters are the positive and the negative one. */
void plan_page_half(char *text, size_t size, double deg, const char *letters);

/* Set a key: a number, null when it is not finite; a text, null when empty; a flag. */
void plan_page_put(json_t *object, const char *key, double value);
void plan_page_put_text(json_t *object, const char *key, const char *value);
void plan_page_put_flag(json_t *object, const char *key, bool value);

/* "2026-11-25T14:32:06Z", or null. */
void plan_page_put_time(json_t *object, const char *key, double unix_s);

#endif
