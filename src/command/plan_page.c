#include "command/plan_page.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "sky/utc.h"
#include "view/glyphs.h"

enum { MOST_WORDS = 640 };

void plan_page_head(const struct plan_page *page, const char *head)
{
    text_append(page->text, page->size, "\n%s\n", head);
}

/* Columns, not bytes: what is missing of so many. */
static int missing(const char *text, int columns)
{
    int used = glyphs_columns(text);

    return used < columns ? columns - used : 0;
}

void plan_page_label(const struct plan_page *page, const char *label)
{
    text_append(page->text, page->size, "  %s%*s", label, missing(label, 12), "");
}

void plan_page_wide_label(const struct plan_page *page, const char *label)
{
    text_append(page->text, page->size, "  %s%*s", label, missing(label, 18), "");
}

void plan_page_cell(const struct plan_page *page, int columns, const char *text)
{
    text_append(page->text, page->size, "%*s%s", missing(text, columns), "", text);
}

static void put_row(const struct plan_page *page, const char *what, const char *value,
                    const char *unit, const char *remark)
{
    text_append(page->text, page->size, "  %s%*s%8s %s%s%s\n", what, missing(what, 18), "", value,
                unit, remark[0] ? "  " : "", remark);
}

void plan_page_row(const struct plan_page *page, const char *what, const char *value,
                   const char *unit, const char *remark, ...)
{
    char text[PLAN_PAGE_WIDTH];
    va_list arguments;

    va_start(arguments, remark);
    vsnprintf(text, sizeof text, remark, arguments);
    va_end(arguments);
    put_row(page, what, value, unit, text);
}

double plan_page_round(double value, int decimals)
{
    double unit = pow(10.0, decimals);

    return round(value * unit) / unit + 0.0;
}

void plan_page_number(const struct plan_page *page, const char *what, double value, int decimals,
                      const char *unit, const char *remark, ...)
{
    char text[PLAN_PAGE_WIDTH], number[32];
    va_list arguments;

    va_start(arguments, remark);
    vsnprintf(text, sizeof text, remark, arguments);
    va_end(arguments);
    snprintf(number, sizeof number, "%.*f", decimals, plan_page_round(value, decimals));
    put_row(page, what, number, unit, text);
}

void plan_page_words(const struct plan_page *page, const char *format, ...)
{
    char text[MOST_WORDS], *word, *rest = text;
    size_t column = 0;
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    while ((word = strsep(&rest, " ")) != NULL) {
        size_t n = strlen(word);
        if (column > 0 && column + 1 + n > PLAN_PAGE_WIDTH - 1) {
            text_append(page->text, page->size, "\n");
            column = 0;
        }
        text_append(page->text, page->size, "%s%s", column == 0 ? "  " : " ", word);
        column += n + (column == 0 ? 2 : 1);
    }
    text_append(page->text, page->size, "\n");
}

void plan_page_half(char *text, size_t size, double deg, const char *letters)
{
    snprintf(text, size, "%.2f %c", fabs(deg), deg < 0.0 ? letters[1] : letters[0]);
}

void plan_page_put(json_t *object, const char *key, double value)
{
    json_object_set_new(object, key, isfinite(value) ? json_real(value) : json_null());
}

void plan_page_put_text(json_t *object, const char *key, const char *value)
{
    json_object_set_new(object, key, value[0] ? json_string(value) : json_null());
}

void plan_page_put_flag(json_t *object, const char *key, bool value)
{
    json_object_set_new(object, key, json_boolean(value));
}

void plan_page_put_time(json_t *object, const char *key, double unix_s)
{
    char text[UTC_TEXT_SIZE];

    plan_page_put_text(object, key, utc_format(unix_s, 0, text));
}
